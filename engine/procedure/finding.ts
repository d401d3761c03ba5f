/**
 * A finding: what an author has to mend or consider. A code, typed parameters and a node of the document;
 * the range is found from the node, the words in `wording.ts`. Nothing matches on words.
 */
import type { LimitWord, NodePath, Outcome, StepId } from "./model.ts";

export type Severity = "error" | "warning" | "note";

/** One step of the way that shows a finding: an outcome, and the reading that gives it where it was a reading. */
export interface WitnessStep {
  readonly step: StepId;
  readonly outcome: Outcome;
  readonly reading?: string;
  /** What open specifications are told before it, by their names. */
  readonly limits?: Readonly<Record<string, Readonly<Partial<Record<LimitWord, string>>>>>;
  /** A condition that the way goes by here, where the facts and readings shown do not meet it. */
  readonly hangsOn?: string;
}

export interface Finding {
  readonly code: FindingCode;
  readonly severity: Severity;
  /** What the sentence is filled with. */
  readonly params: Readonly<Record<string, string | number>>;
  readonly node: NodePath;
  /** Point at the key of the node instead of its value. */
  readonly atKey?: boolean;
  /** Offsets in the text, half-open, where the place is no node of the document. */
  readonly span?: readonly [from: number, to: number];
  readonly step?: StepId;
  readonly witness?: readonly WitnessStep[];
}

/** A finding with its place in the text and its words: what `check` prints and the author's page shows. */
export interface PlacedFinding {
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly message: string;
  /** What to do about it. */
  readonly mend: string;
  readonly file: string;
  /** 1-based. */
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
  /** Offsets in the text, half-open. */
  readonly from: number;
  readonly to: number;
  readonly step?: StepId;
  readonly witness?: readonly WitnessStep[];
  /** The equipment sheet that it shows with; absent where it shows without one. */
  readonly equipment?: string;
  /** Nothing is known to be wrong here, but the proof was not brought to its end. */
  readonly notProven?: true;
}

/** Why a note says that a proof was not brought to its end: the parameter `why`. */
const UNPROVEN: ReadonlySet<unknown> = new Set(["not-proven", "limits-open", "all-struck", "no-reading"]);

/** Whether it says only that something is not proven. */
export function isUnproven({ severity, params }: Pick<Finding, "severity" | "params">): boolean {
  return severity === "note" && UNPROVEN.has(params.why);
}

export const FINDING_CODES = [
  // Text and shape.
  "not-procedure",
  "unknown-name",
  "missing-key",
  "wrong-shape",
  "bad-quantity",
  "bad-expression",
  "plain-hint",
  // Names and flow.
  "unknown-step",
  "dead-end",
  "unreachable-step",
  "endless-loop",
  "impossible-branch",
  // Readings.
  "reading-gap",
  "reading-overlap",
  "unit-mismatch",
  "reference-mismatch",
  "reading-not-taken",
  "instrument-too-coarse",
  // Faults and evidence.
  "unsupported-conclusion",
  "fault-never-found",
  "faults-not-told-apart",
  "no-verification",
  "evidence-sum",
  "no-evidence",
  "certain-evidence",
  // Safety and set-ups.
  "missing-caution",
  "set-up-not-put-back",
  "set-up-conflict",
  "set-up-made-again",
  "hazard-not-referred",
  // A part of the format that nothing acts on yet.
  "not-acted-on",
] as const;
export type FindingCode = (typeof FINDING_CODES)[number];
