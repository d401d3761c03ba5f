/** What an order finds: how often it ends with the fault, with another, or with none. */
import { type BulkProcedure, CONCLUDES } from "../bulk-procedure.ts";
import type { PlanPolicy } from "./plan-exact.ts";
import type { PlanStop } from "./plan-rules.ts";
import type { PlanSpace, PlanState } from "./plan-space.ts";
import { meanMinutes, type WrittenWay } from "./written-ways.ts";

/** Shares of the runs; they sum to 1. */
export interface FoundShares {
  /** A conclusion names the fault. */
  readonly isolated: number;
  /** It names others. */
  readonly wrong: number;
  readonly unresolved: number;
}

/** P(fault and found), fault by fault. */
export interface Found {
  readonly minutes: number;
  readonly right: Float64Array;
  readonly wrong: Float64Array;
  /** States followed. */
  readonly states: number;
}

/** Branches that come less often are not followed: what they find counts as nothing, what they take neither. */
const RAREST = [1e-9, 1e-6] as const;
const MOST_STATES = 60_000;

/** The order followed to its ends; undefined where it has more states than can be followed. */
export function followed(space: PlanSpace, policy: PlanPolicy, most = MOST_STATES): Found | undefined {
  for (const rare of RAREST) {
    const found = followedTo(space, policy, rare, most);
    if (found !== undefined) return found;
  }
  return undefined;
}

function followedTo(space: PlanSpace, policy: PlanPolicy, rare: number, most: number): Found | undefined {
  const { problem } = space;
  const right = new Float64Array(problem.weights.length);
  const wrong = new Float64Array(problem.weights.length);
  let minutes = 0;
  let states = 0;
  const on = (state: PlanState): void => {
    states += 1;
    if (state.stop !== undefined) {
      const faults = namedBy(space, state.stop);
      if (faults !== undefined)
        for (const fault of state.alive) {
          const sum = faults.includes(fault) ? right : wrong;
          sum[fault] = (sum[fault] ?? 0) + (state.weights[fault] ?? 0);
        }
      return;
    }
    if (state.mass < rare || states > most) return;
    for (const step of space.steps(state, policy(state))) {
      minutes += step.state.mass * step.minutes;
      on(step.state);
    }
  };
  on(space.start);
  return states > most ? undefined : { minutes, right, wrong, states };
}

/** The faults that a stop names; undefined where it names none. */
function namedBy({ problem }: PlanSpace, stop: PlanStop): readonly number[] | undefined {
  if (stop.kind === "concluded") return problem.groups[stop.group];
  return stop.kind === "ended" ? stop.faults : undefined;
}

/** What the written order takes and finds, by its own ways. */
export function foundByWays(bulk: BulkProcedure, written: readonly WrittenWay[]): Found {
  const right = new Float64Array(bulk.faults.length);
  const wrong = new Float64Array(bulk.faults.length);
  for (const way of written) {
    if (bulk.kind[way.step] !== CONCLUDES) continue;
    for (const [fault, weight] of way.weights.entries()) {
      const sum = bulk.concluded[way.step]?.includes(fault) === true ? right : wrong;
      sum[fault] = (sum[fault] ?? 0) + weight;
    }
  }
  return { minutes: meanMinutes(written), right, wrong, states: written.length };
}

export function sharesOf({ right, wrong }: Pick<Found, "right" | "wrong">): FoundShares {
  const isolated = right.reduce((sum, each) => sum + each, 0);
  const other = wrong.reduce((sum, each) => sum + each, 0);
  return { isolated, wrong: other, unresolved: Math.max(0, 1 - isolated - other) };
}

/** An order may find a fault in so much fewer of its runs, for every change of order shifts a little. */
const AS_OFTEN = 0.9;

/** What comes less often is not followed far enough to be compared. */
const TOO_RARE = 1e-5;

/** Faults, by number, that one order finds clearly less often than another. */
export function lostFaults(found: Found, written: Found): readonly number[] {
  return [...written.right.keys()].filter(
    (fault) =>
      (written.right[fault] ?? 0) > TOO_RARE &&
      (found.right[fault] ?? 0) < AS_OFTEN * (written.right[fault] ?? 0),
  );
}
