/** Asking line by line, for terminals without cursor (`TERM=dumb`): choices have numbers. */
import { createInterface } from "node:readline/promises";
import { type Asker, Left } from "./asker.ts";
import type { Screen } from "./screen.ts";

/** `leave` ends whatever is asked, and so does the end of the input. */
export function plainAsker(screen: Screen, leave: AbortSignal): Asker {
  const lines = createInterface({ input: process.stdin, output: process.stdout, terminal: false });
  const gone = new AbortController();
  lines.once("close", () => gone.abort());
  const ending = AbortSignal.any([leave, gone.signal]);

  const line = async (message: string): Promise<string> => {
    try {
      return (await lines.question(message, { signal: ending })).trim();
    } catch {
      throw new Left();
    }
  };

  return {
    async choose(choices) {
      const ordered = [...choices.filter((one) => !one.quiet), ...choices.filter((one) => one.quiet)];
      screen.show(
        ordered.map(({ name }, index) => ({ text: name, first: `${String(index + 1).padStart(2)}. ` })),
      );
      for (;;) {
        const typed = await line("Number: ");
        const chosen = /^\d+$/.test(typed)
          ? ordered[Number(typed) - 1]
          : ordered.find(({ word }) => word !== undefined && word === typed.toLowerCase());
        if (chosen !== undefined) return chosen.value;
        screen.show([`Type a number from 1 to ${ordered.length}.`]);
      }
    },
    async type(message, wrong) {
      for (;;) {
        const typed = await line(`${message}: `);
        const why = wrong(typed);
        if (why === undefined) return typed;
        screen.show([why]);
      }
    },
    async count({ seconds, running, over }) {
      const began = Date.now();
      const up = new AbortController();
      const timer = setTimeout(() => up.abort(), seconds * 1000);
      try {
        await lines.question(`${running} ${seconds} s. Enter ends it sooner. `, {
          signal: AbortSignal.any([ending, up.signal]),
        });
      } catch {
        if (!up.signal.aborted || ending.aborted) throw new Left();
        screen.gap();
        screen.show([over]);
      } finally {
        clearTimeout(timer);
      }
      return (Date.now() - began) / 1000;
    },
    close: () => lines.close(),
  };
}
