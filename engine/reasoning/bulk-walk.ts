/**
 * A run without its record: where it stands, what it took, and nothing that has to be allocated. It walks the
 * branches that `advance` walks (a property test holds the two together), for work that walks millions of runs.
 * Everything before a step (facts, set-ups, cautions) counts as done when the step is come to.
 */
import { END_WORDS } from "../procedure/model.ts";
import { ASKS, type BulkProcedure, CALLS, CONCLUDES } from "./bulk-procedure.ts";

export interface BulkWalk {
  /** -1 where the procedure leads to a step that it does not have. */
  step: number;
  /** Nominal, everything walked. */
  minutes: number;
  /** A number of `BulkSetUps`. */
  made: number;
  /** Index in `END_WORDS`; -1 while the run goes on. */
  end: number;
  /** The conclusion being verified, -1 where there is none. */
  verifying: number;
  clearing: boolean;
  /** Minutes and set-ups when the step was come to, before it was prepared. */
  minutesBefore: number;
  madeBefore: number;
  /** 1 for each fault that a failed verification struck. */
  readonly struck: Uint8Array;
  /** How often each branch was taken, `else` left out; only those with a bound are counted. */
  readonly taken: Int32Array;
  /** Branches that the last event took, in order; `~branch` where it took its `else`. */
  readonly hops: number[];
  /** Branches counted in `taken`, so that it can be cleared. */
  readonly counted: number[];
}

/** Which arm of a branch with conditions holds; -1 where that can't be evaluated. Never asked of one arm. */
export type ArmChooser = (branch: number) => number;

const UNRESOLVED = END_WORDS.indexOf("unresolved");
const FIXED = END_WORDS.indexOf("fixed");
/** As in a run: so many calls and returns are walked without a question. */
const MOST_PASSED = 10_000;

/** A walk that {@link openWalk} can begin. */
export function blankWalk(bulk: BulkProcedure): BulkWalk {
  return {
    step: -1,
    minutes: 0,
    made: 0,
    end: -1,
    verifying: -1,
    clearing: false,
    minutesBefore: 0,
    madeBefore: 0,
    struck: new Uint8Array(bulk.faults.length),
    taken: new Int32Array(bulk.branches.length),
    hops: [],
    counted: [],
  };
}

/** Begins a walk anew at the first step that asks something. */
export function openWalk(bulk: BulkProcedure, walk: BulkWalk, arms: ArmChooser): void {
  walk.minutes = 0;
  walk.made = 0;
  walk.end = -1;
  walk.verifying = -1;
  walk.clearing = false;
  walk.struck.fill(0);
  for (const branch of walk.counted) walk.taken[branch] = 0;
  walk.counted.length = 0;
  walk.hops.length = 0;
  enter(bulk, walk, bulk.start, -1, arms);
}

/** Goes on by an outcome of the step where the walk stands, a number in `outcomes`; -1 is one not written. */
export function stepWalk(bulk: BulkProcedure, walk: BulkWalk, outcome: number, arms: ArmChooser): void {
  const from = walk.step;
  walk.hops.length = 0;
  const branch = outcome < 0 ? -1 : (bulk.firstBranch[from] ?? 0) + outcome;
  // Who leaves the job does not spend the step's minutes.
  if (branch < 0 || bulk.stops[branch] === 0)
    walk.minutes += (bulk.minutes[from] ?? 0) + (bulk.repairMinutes[from] ?? 0);
  if (branch >= 0 && bulk.repaired[branch] === 1) walk.verifying = from;
  enter(bulk, walk, take(bulk, walk, branch, arms), from, arms);
}

/** Minutes so far without the preparation of the step it stands at, everything apart put back. */
export function closedMinutes(bulk: BulkProcedure, walk: BulkWalk): number {
  if (walk.end >= 0) return walk.minutes + bulk.setUps.putBack(walk.made);
  return walk.minutesBefore + bulk.setUps.putBack(walk.madeBefore);
}

/** Whether a branch has been taken as often as it may be. */
export function isUsedUp(bulk: BulkProcedure, walk: BulkWalk, branch: number): boolean {
  const most = bulk.atMost[branch] ?? -1;
  return most >= 0 && (walk.taken[branch] ?? 0) >= most;
}

/** Takes a branch and tells where it leads; a failed verification strikes what was concluded. */
function take(bulk: BulkProcedure, walk: BulkWalk, branch: number, arms: ArmChooser): number {
  if (branch < 0) return verified(bulk, walk, branch, bulk.giveUp);
  if (isUsedUp(bulk, walk, branch)) {
    walk.hops.push(~branch);
    return verified(bulk, walk, branch, bulk.elseTo[branch] ?? -1);
  }
  const first = bulk.firstArm[branch] ?? 0;
  const count = (bulk.firstArm[branch + 1] ?? 0) - first;
  const arm = count === 1 ? 0 : arms(branch);
  if (arm < 0) {
    const cannot = bulk.cannot[bulk.branchStep[branch] ?? -1] ?? -1;
    if (cannot !== branch) return take(bulk, walk, cannot, arms);
    tally(bulk, walk, branch);
    return verified(bulk, walk, branch, bulk.giveUp);
  }
  tally(bulk, walk, branch);
  return verified(bulk, walk, branch, bulk.armTo[first + arm] ?? -1);
}

function tally(bulk: BulkProcedure, walk: BulkWalk, branch: number): void {
  walk.hops.push(branch);
  if ((bulk.atMost[branch] ?? -1) < 0) return;
  walk.taken[branch] = (walk.taken[branch] ?? 0) + 1;
  walk.counted.push(branch);
}

function verified(bulk: BulkProcedure, walk: BulkWalk, branch: number, target: number): number {
  if (walk.verifying < 0 || (branch >= 0 && bulk.repaired[branch] === 1)) return target;
  if (target >= 0 && bulk.fixable[target] === 1) return target;
  // Leaving the job, or not being able to look, does not show that the repair failed.
  if (branch < 0 || bulk.silent[branch] === 0)
    for (const fault of bulk.concluded[walk.verifying] ?? []) walk.struck[fault] = 1;
  walk.verifying = -1;
  return target;
}

function enter(bulk: BulkProcedure, walk: BulkWalk, target: number, from: number, arms: ArmChooser): void {
  let at = target;
  for (let passed = 0; passed < MOST_PASSED && at >= 0; passed += 1) {
    walk.step = at;
    const kind = bulk.kind[at] ?? ASKS;
    if (kind === ASKS || kind === CONCLUDES) {
      arrive(bulk, walk, at, from, kind);
      return;
    }
    const next = bulk.next[at] ?? -1;
    if (kind === CALLS) {
      at = next;
      continue;
    }
    if (next === -1) {
      walk.end = bulk.endWord[at] ?? UNRESOLVED;
      return;
    }
    if (next < 0) break;
    // A called procedure that ends fixed has verified its repair: where the caller goes on can't fail it.
    if (bulk.endWord[at] === FIXED) walk.verifying = -1;
    at = take(bulk, walk, bulk.returnBranch[at] ?? -1, arms);
  }
  walk.step = at;
  walk.end = UNRESOLVED;
}

function arrive(bulk: BulkProcedure, walk: BulkWalk, at: number, from: number, kind: number): void {
  const last = walk.hops.at(-1);
  const begins =
    walk.verifying >= 0 &&
    walk.verifying === from &&
    last !== undefined &&
    bulk.branchStep[last < 0 ? ~last : last] === from;
  walk.clearing = begins && kind !== CONCLUDES;
  walk.minutesBefore = walk.minutes;
  walk.madeBefore = walk.made;
  walk.minutes += bulk.setUps.minutes(at, walk.made, walk.clearing);
  walk.made = bulk.setUps.after(at, walk.made, walk.clearing);
}
