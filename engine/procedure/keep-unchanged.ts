import type { NodePath, Procedure, Step, StepId } from "./model.ts";

/**
 * The newer of two readings of a procedure, with every step taken over from the older one that says the same, and
 * all that stands beside the steps where none of it has changed; of a step that has changed in words or evidence
 * alone, its branches. What was reckoned of a step is then found again by the step itself ({@link besideOf} says when
 * that may be).
 */
export function keepUnchanged(older: Procedure, newer: Procedure): Procedure {
  const steps = new Map<StepId, Step>();
  for (const [id, step] of newer.steps) {
    const before = older.steps.get(id);
    steps.set(id, before === undefined ? step : keptOf(before, step));
  }
  const same = BESIDE.every((key) => isSame(older[key], newer[key]));
  return { ...newer, ...(same ? besideOf(older) : {}), steps };
}

function keptOf(before: Step, step: Step): Step {
  if (isSame(before, step)) return before;
  // With other limits or units the same branches can be taken by other readings: what is known of them is of no use.
  return isSameRecord(before, step, WORDS_AND_EVIDENCE) ? { ...step, outcomes: before.outcomes } : step;
}

/** All that a step can refer to, beside other steps. */
const BESIDE = [
  "certainty",
  "decideAt",
  "hazards",
  "instruments",
  "specifications",
  "cautions",
  "setUps",
  "facts",
  "faults",
  "repairs",
  "sheet",
] as const satisfies readonly (keyof Procedure)[];

/** Stands for all that two procedures have beside their steps: one and the same object where that is the same. */
export type Beside = Pick<Procedure, (typeof BESIDE)[number]>;

/** The {@link Beside} of a procedure: the same for procedures whose parts beside the steps are the very same. */
export function besideOf(procedure: Procedure): Beside {
  // Asked step by step of one procedure: thousands of times in a row.
  if (last?.procedure !== procedure) last = { procedure, beside: foundBeside(procedure) };
  return last.beside;
}

let last: { readonly procedure: Procedure; readonly beside: Beside } | undefined;

function foundBeside(procedure: Procedure): Beside {
  const known = KNOWN.get(procedure);
  if (known !== undefined) return known;
  const alike = ALIKE.get(procedure.faults) ?? [];
  const found = alike.find((each) => BESIDE.every((key) => each[key] === procedure[key]));
  const beside = found ?? partsOf(procedure);
  if (found === undefined) ALIKE.set(procedure.faults, [...alike, beside]);
  KNOWN.set(procedure, beside);
  return beside;
}

const KNOWN = new WeakMap<Procedure, Beside>();
const ALIKE = new WeakMap<Procedure["faults"], readonly Beside[]>();

function partsOf(procedure: Procedure): Beside {
  const { certainty, decideAt, hazards, instruments, specifications, cautions } = procedure;
  const { setUps, facts, faults, repairs, sheet } = procedure;
  const parts = { certainty, decideAt, hazards, instruments, specifications, cautions };
  return { ...parts, setUps, facts, faults, repairs, ...(sheet === undefined ? {} : { sheet }) };
}

/** What a step says to people, costs and needs, but does not decide or prove by. */
const WORDS: ReadonlySet<string> = new Set([
  ...["title", "say", "ask", "do", "where", "picture", "tools", "minutes", "waitMinutes", "limitSeconds"],
  ...["needs", "without", "cautions", "hazards"],
]);

const EVIDENCE: ReadonlySet<string> = new Set(["evidence"]);
const WORDS_AND_EVIDENCE: ReadonlySet<string> = new Set([...WORDS, ...EVIDENCE]);

/** In what the steps of two procedures differ whose runs go the same ways. */
export interface Changes {
  /** Words, times and set-ups. */
  readonly words: boolean;
  readonly evidence: boolean;
}

/**
 * What an edit changed; undefined where runs may go other ways since, or something beside the steps changed. The
 * newer procedure has its branches from the older one ({@link keepUnchanged}).
 */
export function changesOf(older: Procedure, newer: Procedure): Changes | undefined {
  if (besideOf(older) !== besideOf(newer) || older.start !== newer.start) return undefined;
  if (older.steps.size !== newer.steps.size) return undefined;
  const changes = { words: false, evidence: false };
  const steps = newer.steps.values();
  for (const before of older.steps.values()) {
    const step = steps.next().value;
    if (step === before) continue;
    if (step?.outcomes !== before.outcomes || !isSameRecord(before, step, WORDS_AND_EVIDENCE))
      return undefined;
    changes.words ||= !isSameRecord(before, step, EVIDENCE);
    changes.evidence ||= !isSame(evidenceOf(before), evidenceOf(step));
  }
  return changes;
}

function evidenceOf(step: Step): unknown {
  return "evidence" in step ? step.evidence : undefined;
}

/** Whether two values of plain data, maps included, say the same. Maps in the same order: what stands first counts. */
function isSame(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return Object.is(a, b);
  if (Array.isArray(a)) return Array.isArray(b) && isSameList(a, b);
  if (a instanceof Map) return b instanceof Map && isSameMap(a, b);
  return !Array.isArray(b) && !(b instanceof Map) && isSameRecord(a, b);
}

function isSameRecord(a: object, b: object | undefined, but?: ReadonlySet<string>): boolean {
  if (b === undefined) return false;
  const [left, right] = [a as Record<string, unknown>, b as Record<string, unknown>];
  let keys = 0;
  for (const key in left) {
    if (but?.has(key)) continue;
    keys += 1;
    const value = right[key];
    const same = key === "node" ? isSamePlace(left[key], value) : isSame(left[key], value);
    if (!same || (value === undefined && !Object.hasOwn(right, key))) return false;
  }
  for (const key in right) if (!but?.has(key)) keys -= 1;
  return keys === 0;
}

/**
 * Whether two parts of one step that say the same stand at the same place: keys and indexes on the way to a part are
 * what the parts around it say, but for a single arm that may stand in a list of its own.
 */
function isSamePlace(a: unknown, b: unknown): boolean {
  const [left, right] = [a as NodePath, b as NodePath | undefined];
  return right !== undefined && left.file === right.file && left.path.length === right.path.length;
}

function isSameList(a: readonly unknown[], b: readonly unknown[]): boolean {
  if (a.length !== b.length) return false;
  for (let at = 0; at < a.length; at += 1) if (!isSame(a[at], b[at])) return false;
  return true;
}

function isSameMap(a: ReadonlyMap<unknown, unknown>, b: ReadonlyMap<unknown, unknown>): boolean {
  if (a.size !== b.size) return false;
  const keys = b.keys();
  for (const [key, value] of a) if (keys.next().value !== key || !isSame(value, b.get(key))) return false;
  return true;
}
