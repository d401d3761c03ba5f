/** What a prompt needs of a terminal: a choice, a typed line, a clock. Two ways of asking keep this contract. */

export interface Choice {
  readonly name: string;
  readonly value: string;
  /** A way out of the prompt rather than an answer to it: stands apart from the answers. */
  readonly quiet?: boolean;
  /** May be typed instead of the number, where choices are typed. */
  readonly word?: string;
}

export interface Clock {
  readonly seconds: number;
  /** Stands before the time left. */
  readonly running: string;
  /** Stands in its place once the time is up. */
  readonly over: string;
}

export interface Asker {
  choose(choices: readonly Choice[]): Promise<string>;
  /** The typed text without spaces around it; `wrong` gives the sentence why it can't be taken. */
  type(message: string, wrong: (text: string) => string | undefined): Promise<string>;
  /** Counts down until the time is up or a key is pressed; the seconds that really went by. */
  count(clock: Clock): Promise<number>;
  close(): void;
}

/** The technician left: Ctrl-C, a closed terminal, or a signal to end. */
export class Left extends Error {
  override readonly name = "Left";
}
