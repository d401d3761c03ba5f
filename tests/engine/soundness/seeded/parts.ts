/** What the small procedures of the suite have in common; all names and numbers are invented. */

export interface SoundCase {
  readonly id: string;
  readonly text: string;
  /** Texts that it calls, by id. */
  readonly called?: Readonly<Record<string, string>>;
  /** Equipment sheets that it lists, by id. */
  readonly sheets?: Readonly<Record<string, string>>;
}

/** A procedure's text: the head that every one needs, then its own parts. */
export function written(id: string, complaint: string, parts: string): string {
  return `procedure: ${id}\ntitle: ${complaint}\nrevision: 1\ncomplaint: ${complaint}\n${parts.trim()}\n`;
}

export function sound(
  id: string,
  complaint: string,
  parts: string,
  beside: Pick<SoundCase, "called" | "sheets"> = {},
): SoundCase {
  return { id, text: written(id, complaint, parts), ...beside };
}

/** A meter for volts, ohms, amperes and bar. */
export const METER = `instruments:
  meter:
    title: Handheld meter
    accuracy:
      voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V }
      resistance: { reading: 0.9 %, counts: 2, resolution: 0.1 Ohm, leads: 0.2 Ohm }
      current: { reading: 1 %, counts: 5, resolution: 0.01 A }
      pressure: { reading: 1 %, counts: 1, resolution: 0.01 bar }
      temperature: { reading: 2 %, counts: 10, resolution: 0.1 degC }`;

/** The verification that most conclusions lead to, and its ends. */
export const AFTER = `  again:
    ask: Is the complaint gone?
    answers:
      gone: { goto: mended }
      there: { goto: refer }
  mended: { end: fixed }
  refer: { end: referred }`;

export const MEND = `repairs:
  mend: { minutes: 20, do: [ { say: Mend it by the maker's method. } ] }`;
