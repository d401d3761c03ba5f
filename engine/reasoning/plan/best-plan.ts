/** The best order of tests that can be found, and how much better any could be. */
import { informationBound, type PlanBound, planBound } from "./plan-bound.ts";
import { exactPlan, type PlanPolicy } from "./plan-exact.ts";
import { greedyPolicy } from "./plan-greedy.ts";
import { type PlanSpace, type PlanState, planSpace } from "./plan-space.ts";
import type { PlanProblem } from "./problem.ts";

export interface BestPlan {
  /** On average; where the plan was too large to follow to its end, not less than it really takes. */
  readonly minutes: number;
  /** No order takes less on average. The plan's own minutes where it is proven best. */
  readonly lowerBound: number;
  readonly exact: boolean;
  readonly space: PlanSpace;
  readonly policy: PlanPolicy;
}

/** How much a search may do for the proof, then for trying out, as its space counts it: faults times tests. */
export interface PlanBudget {
  readonly exact: number;
  readonly tried: number;
}

/** Some seconds for the proof where the states can be gone through at all, else one or two for trying out. */
function planBudget({ tests }: PlanProblem): PlanBudget {
  return { exact: tests.length <= MOST_PROVEN ? 60_000_000 : 4_000_000, tried: 20_000_000 };
}

/** The states are about the third power of this. */
const MOST_PROVEN = 16;

/** The best plan that the budget allows. */
export function bestPlan(problem: PlanProblem, budget: PlanBudget = planBudget(problem)): BestPlan {
  const space = planSpace(problem);
  const bound = planBound(space);
  const tried = greedyPolicy(space, budget.tried);
  const found = minutesAtMost(space, tried, 10 * budget.tried);
  const own = problem.written && minutesAtMost(space, writtenPolicy, 20 * budget.tried);
  const [policy, minutes] = own !== undefined && own <= found ? [writtenPolicy, own] : [tried, found];
  if (minutes <= bound(space.start) * (1 + SAME))
    return { minutes, lowerBound: minutes, exact: true, space, policy };
  const exact = exactPlan(space, bound, space.work() + budget.exact, minutes);
  if (exact !== undefined) return { ...exact, lowerBound: exact.minutes, exact: true, space };
  const lowerBound = Math.min(minutes, lookAhead(space, bound));
  return { minutes, lowerBound, exact: false, space, policy };
}

/** The written order; where it has come to a conclusion that is not proven, whatever still tells something. */
export function writtenPolicy({ place, actions }: PlanState): number {
  return place?.kind === "asks" ? place.test : (actions[0] ?? -1);
}

/** Rounding of a sum of minutes. */
const SAME = 1e-12;

/** The bound of the start, from the bounds of what its tests lead to. */
function lookAhead(space: PlanSpace, cheap: PlanBound): number {
  const { start } = space;
  const own = Math.max(cheap(start), informationBound(space, start));
  // Each state takes faults times faults times tests to bound: a large problem is not looked into.
  const each = start.alive.length ** 2 * space.problem.tests.length;
  if (start.stop !== undefined || start.actions.length * each > 4e6) return own;
  const least = start.actions.map((test) =>
    space
      .steps(start, test)
      .reduce(
        (sum, { state, minutes }) =>
          sum + state.mass * minutes + Math.max(cheap(state), informationBound(space, state)),
        0,
      ),
  );
  return Math.max(own, Math.min(...least));
}

/** Minutes of a policy on average; a branch that is too rare to follow counts with all tests that are left. */
function minutesAtMost(space: PlanSpace, policy: PlanPolicy, most: number): number {
  const { tests, setUps } = space.problem;
  const worst = tests.map((test, number) =>
    Math.max(...test.outcomes.map(({ minutes }, outcome) => minutes + setUps.cost(number, outcome, 0))),
  );
  const rest = (state: PlanState): number =>
    worst.reduce((sum, each, test) => sum + (state.answers[test] === -1 ? state.mass * each : 0), 0);
  const upTo = (rare: number): number => {
    const known = new Map<PlanState, number>();
    const minutes = (state: PlanState): number => {
      if (state.stop !== undefined) return 0;
      if (state.mass < rare || space.work() > most) return rest(state);
      const before = known.get(state);
      if (before !== undefined) return before;
      let sum = 0;
      for (const step of space.steps(state, policy(state)))
        sum += step.state.mass * step.minutes + minutes(step.state);
      known.set(state, sum);
      return sum;
    };
    return minutes(space.start);
  };
  // The likely branches first: what is left when the work is spent is the rare ones.
  let least = Number.POSITIVE_INFINITY;
  for (const rare of RARE) {
    least = Math.min(least, upTo(rare));
    if (space.work() > most) break;
  }
  return least;
}

const RARE = [1e-2, 1e-3, 1e-4, 1e-5, 0] as const;
