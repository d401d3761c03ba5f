/** The cheapest order by dynamic programming over states of knowledge, pruned by bounds from below and above. */
import type { PlanBound } from "./plan-bound.ts";
import type { PlanSpace, PlanState, PlanStep } from "./plan-space.ts";

/** Which test is made in a state; never asked of one that has stopped. */
export type PlanPolicy = (state: PlanState) => number;

export interface ExactPlan {
  /** Minutes on average. */
  readonly minutes: number;
  readonly policy: PlanPolicy;
}

interface Entry {
  /** Not more than the state costs; what it costs once a test is known. */
  low: number;
  /** The best test, -1 while it is not proven. */
  test: number;
  choices?: readonly Choice[];
}

interface Choice {
  readonly test: number;
  readonly steps: readonly PlanStep[];
  /** Minutes of the test itself. */
  readonly minutes: number;
}

/**
 * The best plan, or undefined where it would take more than `most` of the work that a space counts. `atMost` is what
 * some plan is known to take.
 *
 * A state is solved up to a limit: either its cost is found, or that it is not under the limit, which raises its
 * lower bound for good. A test is left as soon as its minutes and the lower bounds of its outcomes reach the limit
 * or the best test known; as no lower bound is ever above the truth, no better test is left.
 */
export function exactPlan(
  space: PlanSpace,
  bound: PlanBound,
  most: number,
  atMost = Number.POSITIVE_INFINITY,
): ExactPlan | undefined {
  const entries = new Map<PlanState, Entry>();
  const entryOf = (state: PlanState): Entry => {
    const known = entries.get(state);
    if (known !== undefined) return known;
    const entry = { low: bound(state), test: -1 };
    entries.set(state, entry);
    return entry;
  };
  const lowOf = (state: PlanState) => (state.stop === undefined ? entryOf(state).low : 0);
  const sumOf = (lows: readonly number[], minutes: number) => lows.reduce((sum, low) => sum + low, minutes);
  const lowsOf = ({ steps }: Choice) => steps.map((step) => lowOf(step.state));
  let spent = false;

  /** Raises the state's lower bound to the limit or over it, or finds its cost. */
  const solve = (state: PlanState, limit: number): void => {
    const entry = entryOf(state);
    if (entry.test >= 0 || entry.low >= limit) return;
    entry.choices ??= choicesOf(space, state);
    const ranked = entry.choices
      .map((choice) => ({ choice, least: sumOf(lowsOf(choice), choice.minutes) }))
      .sort((a, b) => a.least - b.least || a.choice.test - b.choice.test);
    let best = limit;
    let test = -1;
    let low = Number.POSITIVE_INFINITY;
    for (const { choice } of ranked) {
      // Taken anew: what was solved for the tests before may have raised them.
      const lows = lowsOf(choice);
      let least = sumOf(lows, choice.minutes);
      for (const [index, { state: next }] of choice.steps.entries()) {
        if (least >= best) break;
        if (next.stop !== undefined) continue;
        const had = lows[index] ?? 0;
        // A hair over, so that rounding never makes a test look better than a limit that its outcome was left at.
        solve(next, best - least + had + best * 1e-10);
        if (spent) return;
        least += lowOf(next) - had;
      }
      if (space.work() > most) {
        spent = true;
        return;
      }
      low = Math.min(low, least);
      if (least >= best) continue;
      best = least;
      test = choice.test;
    }
    entry.low = Math.max(entry.low, low);
    entry.test = test;
  };

  const { start } = space;
  if (start.stop !== undefined) return { minutes: 0, policy: () => -1 };
  // A little over, so that a plan as good as the known one is found.
  solve(start, atMost + Math.max(1, atMost) * 1e-9);
  const entry = entryOf(start);
  if (spent || entry.test < 0) return undefined;
  return { minutes: entry.low, policy: (state) => entries.get(state)?.test ?? -1 };
}

function choicesOf(space: PlanSpace, state: PlanState): readonly Choice[] {
  return state.actions.map((test) => {
    const steps = space.steps(state, test);
    return { test, steps, minutes: steps.reduce((sum, step) => sum + step.state.mass * step.minutes, 0) };
  });
}
