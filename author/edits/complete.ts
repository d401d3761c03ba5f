/** What may be written at a place of the text: words of the format, or names that the procedure has. */
import { END_WORDS } from "../../engine/procedure/model.ts";
import type { Outline, Section } from "./outline.ts";

export interface Choices {
  /** Offset in the line where the word to be completed begins. */
  readonly from: number;
  readonly words: readonly string[];
  /** What the words are, for the list: `step`, `fault`. */
  readonly what: string;
}

interface Citation {
  readonly section: Section;
  readonly what: string;
}

const STEP: Citation = { section: "steps", what: "step" };
const CITES: ReadonlyMap<string, Citation> = new Map([
  ["goto", STEP],
  ["else", STEP],
  ["verify", STEP],
  ["start", STEP],
  ["after", STEP],
  ["conclude", { section: "faults", what: "fault" }],
  ["cautions", { section: "cautions", what: "caution" }],
  ["needs", { section: "set-ups", what: "set-up" }],
  ["without", { section: "set-ups", what: "set-up" }],
  ["with", { section: "instruments", what: "instrument" }],
  ["specification", { section: "specifications", what: "specification" }],
  ["repair", { section: "repairs", what: "repair" }],
]);

const HAZARDS = [
  "hot",
  "rotating",
  "stored-pressure",
  "electric-energised",
  "electric-high",
  "airbag",
  "fuel",
  "lifting",
  "battery-gas",
  "moving-vehicle",
];
const WORDS: ReadonlyMap<string, readonly string[]> = new Map<string, readonly string[]>([
  ["signal", ["danger", "warning", "caution", "notice"]],
  ["end", END_WORDS],
  ["hazards", HAZARDS],
  ["covers", HAZARDS],
  ["leads", ["subtract", "ask"]],
]);

const ID = "[\\p{L}\\p{N}_/-]*";
/** `key: wo`, or `key: [first, wo`, at the end of what stands before the cursor. */
const VALUE = new RegExp(`(?:^|[\\s{,-])"?([a-z-]+)"?:\\s*(?:\\[(?:[^\\]{}]*,)?\\s*)?(${ID})$`, "u");
/** A key being written on a line of its own. */
const KEY = new RegExp(`^(\\s+)(${ID})$`, "u");
const PARENT = /^(\s*)([a-z-]+):\s*(?:#.*)?$/;

/**
 * Returns what could stand at the cursor, or nothing where there is nothing to offer.
 *
 * `above` are the lines over the cursor's, the nearest last; they tell what a bare key belongs to.
 */
export function choicesAt(before: string, above: readonly string[], outline: Outline): Choices | undefined {
  if (/(^|\s)#/.test(before)) return undefined;
  const value = VALUE.exec(before);
  if (value) {
    const [, key = "", word = ""] = value;
    return choicesFor(key, before.length - word.length, outline);
  }
  const bare = KEY.exec(before);
  if (bare) {
    const [, indent = "", word = ""] = bare;
    if (parentOf(above, indent.length) !== "evidence") return undefined;
    const words = [...outline.names.faults, "otherwise"];
    return { from: before.length - word.length, words, what: "fault" };
  }
  return undefined;
}

function choicesFor(key: string, from: number, outline: Outline): Choices | undefined {
  const words = WORDS.get(key);
  if (words) return { from, words, what: "word" };
  const cites = CITES.get(key);
  return cites && { from, words: outline.names[cites.section], what: cites.what };
}

function parentOf(above: readonly string[], indent: number): string | undefined {
  for (const line of above.toReversed()) {
    if (line.trim() === "" || line.trimStart().startsWith("#")) continue;
    if (line.length - line.trimStart().length >= indent) continue;
    return PARENT.exec(line)?.[2];
  }
  return undefined;
}
