/** A key of the reading pad. */
export type ReadingKey =
  | "0"
  | "1"
  | "2"
  | "3"
  | "4"
  | "5"
  | "6"
  | "7"
  | "8"
  | "9"
  | "."
  | "-"
  | "k"
  | "m"
  | "OL"
  | ";"
  | "erase";

const LONGEST = 12;

/** The text after a key; `;` begins one more reading of the same thing, and `erase` goes back to the one before. */
export function pressKey(text: string, key: ReadingKey): string {
  const { before, last } = partsOf(text);
  if (key === ";") return isReading(last) && !last.endsWith("OL") ? `${text.trimEnd()}; ` : text;
  if (key === "erase" && last === "") return before.slice(0, -2);
  return before + pressInLast(last, key);
}

/** The readings that are done, with their semicolons, and the one being typed. */
function partsOf(text: string): { readonly before: string; readonly last: string } {
  const [, before = "", last = text] = /^(.*;\s*)?(.*)$/s.exec(text) ?? [];
  return { before, last };
}

/**
 * One reading's text after a key. `OL` replaces what is there, minus turns the sign, a second point or prefix is not
 * taken, and nothing but `erase` follows a prefix.
 */
function pressInLast(text: string, key: Exclude<ReadingKey, ";">): string {
  if (key === "erase") return text.endsWith("OL") ? text.slice(0, -2) : text.slice(0, -1);
  if (key === "-") return text.startsWith("-") ? text.slice(1) : `-${text}`;
  if (key === "OL") return text.startsWith("-") ? "-OL" : "OL";
  const open = text.endsWith("OL") ? "" : text;
  if (open.length >= LONGEST || /[km]$/.test(open)) return open;
  if (key === ".") return addPoint(open);
  if (key === "k" || key === "m") return /\d/.test(open) ? open + key : open;
  return open + key;
}

function addPoint(text: string): string {
  if (/[.,]/.test(text)) return text;
  return /\d$/.test(text) ? `${text}.` : `${text}0.`;
}

/** The pad's key for a key of a keyboard, or nothing. A comma is a point: decimal commas are typed too. */
export function keyFromKeyboard(key: string): ReadingKey | undefined {
  if (/^\d$/.test(key)) return key as ReadingKey;
  if (key === "." || key === ",") return ".";
  if (key === "-" || key === "\u2212") return "-";
  if (key === "k" || key === "K") return "k";
  if (key === "m") return "m";
  if (key === ";") return ";";
  if (key === "o" || key === "O" || key === "l" || key === "L") return "OL";
  if (key === "Backspace") return "erase";
  return undefined;
}

/** Whether the text holds a reading: a digit, or over range. */
export function isReading(text: string): boolean {
  return /\d/.test(text) || text.endsWith("OL");
}
