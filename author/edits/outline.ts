/** Where things stand in a procedure's text, sound or not: names to complete and the range of each step. */
import { type Document, isMap, isScalar, isSeq, type Pair, type YAMLMap } from "yaml";

/** Sections whose keys are names that other places cite. */
const SECTIONS = [
  "steps",
  "faults",
  "cautions",
  "set-ups",
  "instruments",
  "specifications",
  "repairs",
  "facts",
] as const;
export type Section = (typeof SECTIONS)[number];

export interface StepRange {
  readonly step: string;
  /** Offset of the step's key. */
  readonly from: number;
  /** Offset behind its last line of substance. */
  readonly to: number;
}

export interface Outline {
  readonly title?: string;
  /** Ids of the equipment sheets it is written for. */
  readonly equipment: readonly string[];
  readonly names: Readonly<Record<Section, readonly string[]>>;
  /** In the order written. */
  readonly steps: readonly StepRange[];
}

/** Returns the names and step ranges that a document holds, as far as it could be read. */
export function outlineOf(document: Document.Parsed): Outline {
  const names = Object.fromEntries(
    SECTIONS.map((section) => [section, pairsOf(topOf(document, section)).flatMap(nameOf)]),
  ) as Record<Section, string[]>;
  const steps = pairsOf(topOf(document, "steps")).flatMap((pair) => {
    const [step] = nameOf(pair);
    const key = rangeOf(pair.key);
    if (step === undefined || !key) return [];
    return [{ step, from: key[0], to: Math.max(key[1], rangeOf(pair.value)?.[1] ?? 0) }];
  });
  const title = textOf(topOf(document, "title"));
  const sheets = topOf(document, "equipment");
  const equipment = isSeq(sheets) ? sheets.items.flatMap((item) => textOf(item) ?? []) : [];
  return { ...(title === undefined ? {} : { title }), equipment, names, steps };
}

/** Returns the step whose lines hold the offset: from its key down to the next step's. */
export function stepAt(steps: readonly StepRange[], offset: number): string | undefined {
  const found = steps.findLast(({ from }) => from <= offset);
  const last = steps.at(-1);
  if (!found || (found === last && offset > found.to)) return undefined;
  return found.step;
}

function topOf(document: Document.Parsed, key: string): unknown {
  return isMap(document.contents) ? document.contents.get(key, true) : undefined;
}

function textOf(node: unknown): string | undefined {
  return isScalar(node) && node.value !== null ? String(node.value) : undefined;
}

function pairsOf(node: unknown): Pair[] {
  return isMap(node) ? (node as YAMLMap).items : [];
}

function nameOf(pair: Pair): string[] {
  return isScalar(pair.key) ? [String(pair.key.value)] : [];
}

function rangeOf(node: unknown): readonly [number, number, number] | undefined {
  const range = (node as { range?: readonly [number, number, number] | null } | null)?.range;
  return range ?? undefined;
}
