/** A procedure as numbers in flat arrays: what rehearsal, planning and back-test walk millions of times. */
import {
  type Branch,
  END_WORDS,
  type FaultId,
  IMPLIED_ENDS,
  type Outcome,
  type Procedure,
  type Step,
  type StepId,
} from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import { type BulkSetUps, bulkSetUps } from "./bulk-set-ups.ts";

/** What a step does to a walk. */
export const ASKS = 0;
export const CONCLUDES = 1;
export const CALLS = 2;
export const ENDS = 3;

/** Steps, branches, arms and faults are numbers here, in the order written; -1 is a step that is not there. */
export interface BulkProcedure {
  readonly procedure: Procedure;
  readonly steps: readonly Step[];
  readonly indexOf: ReadonlyMap<StepId, number>;
  readonly faults: readonly FaultId[];
  readonly start: number;
  readonly kind: Uint8Array;
  /** Spent when the step is left: its own and its wait; without repairs. */
  readonly minutes: Float64Array;
  readonly repairMinutes: Float64Array;
  /** The first step of a call; the call that an end returns to, -1 at the top, -2 where it is not there. */
  readonly next: Int32Array;
  /** Index in `END_WORDS` of each end. */
  readonly endWord: Uint8Array;
  /** The call's branch that an end returns by, -1 where none is written. */
  readonly returnBranch: Int32Array;
  /** 1 where an `end: fixed` can be reached without another conclusion. */
  readonly fixable: Uint8Array;
  /** Faults of each conclusion. */
  readonly concluded: readonly Int32Array[];
  /** Outcomes of each step in the order written; outcome `n` takes branch `firstBranch[step] + n`. */
  readonly outcomes: readonly (readonly Outcome[])[];
  readonly firstBranch: Int32Array;
  readonly branches: readonly Branch[];
  readonly branchStep: Int32Array;
  /** Branch of `cannot` by step, -1 where there is none. */
  readonly cannot: Int32Array;
  /** 1 for the branches of `cannot` and `stop`, which say nothing about a repair. */
  readonly silent: Uint8Array;
  readonly stops: Uint8Array;
  readonly repaired: Uint8Array;
  /** Arm `n` of a branch is `firstArm[branch] + n`; there is one entry more than branches. */
  readonly firstArm: Int32Array;
  readonly armTo: Int32Array;
  /** -1 without a bound. */
  readonly atMost: Int32Array;
  readonly elseTo: Int32Array;
  /** Where a branch leads that is used up or not written. */
  readonly giveUp: number;
  readonly setUps: BulkSetUps;
}

const KINDS = { ask: ASKS, measure: ASKS, do: ASKS, conclude: CONCLUDES, call: CALLS, end: ENDS } as const;

/** The procedure compiled; the same object for the same procedure. */
export function bulkProcedure(procedure: Procedure): BulkProcedure {
  const known = COMPILED.get(procedure);
  if (known !== undefined) return known;
  const compiled = compile(procedure);
  COMPILED.set(procedure, compiled);
  return compiled;
}

const COMPILED = new WeakMap<Procedure, BulkProcedure>();

function compile(procedure: Procedure): BulkProcedure {
  const steps = [...procedure.steps.values()];
  const indexOf = new Map(steps.map((step, index) => [step.id, index]));
  const at = (id: StepId | undefined) => (id === undefined ? -1 : (indexOf.get(id) ?? -1));
  const faults = [...procedure.faults.keys()];
  const faultAt = new Map(faults.map((id, index) => [id, index]));
  const fixable = reachesFixed(procedure);
  const outcomes = steps.map((step) => [...step.outcomes.keys()]);
  const branches = steps.flatMap((step) => [...step.outcomes.values()]);
  const firstBranch = runningSums(outcomes.map((each) => each.length));
  const firstArm = runningSums(branches.map((branch) => branch.arms.length));
  const branchAt = (index: number, outcome: Outcome) => {
    const number = outcomes[index]?.indexOf(outcome) ?? -1;
    return number < 0 ? -1 : (firstBranch[index] ?? 0) + number;
  };
  return {
    procedure,
    steps,
    indexOf,
    faults,
    start: at(procedure.start),
    kind: Uint8Array.from(steps, (step) => KINDS[step.kind]),
    minutes: Float64Array.from(
      steps,
      (step) => step.minutes + ("waitMinutes" in step ? (step.waitMinutes ?? 0) : 0),
    ),
    repairMinutes: Float64Array.from(steps, (step) =>
      step.kind === "conclude"
        ? step.repairs.reduce((sum, id) => sum + (procedure.repairs.get(id)?.minutes ?? 0), 0)
        : 0,
    ),
    next: Int32Array.from(steps, (step) => {
      if (step.kind === "call") return at(step.entry);
      if (step.kind !== "end" || step.returnsTo === undefined) return -1;
      const call = at(step.returnsTo);
      return call < 0 ? -2 : call;
    }),
    endWord: Uint8Array.from(steps, (step) => (step.kind === "end" ? END_WORDS.indexOf(step.end) : 0)),
    returnBranch: Int32Array.from(steps, (step) =>
      step.kind === "end" && step.returnsTo !== undefined
        ? branchAt(at(step.returnsTo), step.end === "fixed" ? "fault-found" : step.end)
        : -1,
    ),
    fixable: Uint8Array.from(steps, (step) => (fixable.has(step.id) ? 1 : 0)),
    concluded: steps.map((step) =>
      Int32Array.from(step.kind === "conclude" ? step.faults.flatMap((id) => faultAt.get(id) ?? []) : []),
    ),
    outcomes,
    firstBranch,
    branches,
    branchStep: Int32Array.from(branches, (branch) => at(branch.step)),
    cannot: Int32Array.from(steps, (_, index) => branchAt(index, "cannot")),
    silent: Uint8Array.from(branches, ({ outcome }) => (outcome === "cannot" || outcome === "stop" ? 1 : 0)),
    stops: Uint8Array.from(branches, ({ outcome }) => (outcome === "stop" ? 1 : 0)),
    repaired: Uint8Array.from(branches, ({ outcome }) => (outcome === "repaired" ? 1 : 0)),
    firstArm,
    armTo: Int32Array.from(branches.flatMap((branch) => branch.arms.map((arm) => at(arm.goto)))),
    atMost: Int32Array.from(branches, (branch) => branch.atMost ?? -1),
    elseTo: Int32Array.from(branches, (branch) => at(branch.else ?? IMPLIED_ENDS.cannot)),
    giveUp: at(IMPLIED_ENDS.cannot),
    setUps: bulkSetUps(procedure, steps),
  };
}

/** 0, a, a + b, …: one entry more than there are lengths. */
function runningSums(lengths: readonly number[]): Int32Array {
  const sums = new Int32Array(lengths.length + 1);
  for (const [index, length] of lengths.entries()) sums[index + 1] = (sums[index] ?? 0) + length;
  return sums;
}
