/**
 * A lower bound for tests that may err: what it takes to conclude each group, weighed by how often it can be.
 *
 * Every path ends in one of three ways, and the bound is the cheapest mix of them that is possible:
 *
 * - It concludes a group g. Then for each rival fault f the odds of f against g are at most (1 - c) / c. One test
 *   lowers their logarithm by no more than the largest of log(P(o | i) / P(o | f)) over its outcomes o and the
 *   faults i of g. The tests of the path, each made once, must bring the fall that is needed: their minutes are not
 *   less than those of the fractional knapsack, and where the tests that need few set-ups can't bring it, one that
 *   needs more is among them. The rival that takes most counts. And since a share c of the paths that conclude g has
 *   a fault of g behind it, at most P(g) / c of all paths conclude g.
 * - It ends early by certain answers, as the written order does: it has made their tests, and comes no oftener than
 *   they are all shown.
 * - Nothing tells faults apart any more. As no outcome is ruled out by a fault (asked of a problem beforehand),
 *   every test that tells something has been made. With a written order, that order has come to a conclusion there,
 *   which more answers than its own leave unproven.
 */
import { hasFewLeaves, leafShares } from "./leaf-shares.ts";
import { TINY } from "./plan-rules.ts";
import type { PlanSpace, PlanState } from "./plan-space.ts";
import type { PlanAnswer } from "./problem.ts";

/** Faults times groups times tests: a bound that takes longer than what it saves is none. */
const MOST_LOOKED_AT = 30_000;

/** Undefined where an outcome is certain under some fault, and for a problem too large to ask it of every state. */
export function conclusionBound(space: PlanSpace): ((state: PlanState) => number) | undefined {
  const { problem, possible } = space;
  const tests = [...possible];
  if (problem.weights.length * problem.groups.length * tests.length > MOST_LOOKED_AT) return undefined;
  if (!hasFewLeaves(space)) return undefined;
  const all = problem.tests.map((test) => test.outcomes.map((outcome) => outcome.chances));
  if (tests.some((test) => all[test]?.some((row) => row.some((p) => p <= 0)))) return undefined;
  const present = [...space.start.alive];
  const minutes = problem.tests.map((test) => Math.min(...test.outcomes.map((outcome) => outcome.minutes)));
  // No fault is ever ruled out, so what tells faults apart at the start does so to the end.
  const telling = new Set(
    tests.filter((test) =>
      all[test]?.some(
        (row) =>
          Math.max(...present.map((fault) => row[fault] ?? 0)) -
            Math.min(...present.map((fault) => row[fault] ?? 0)) >
          TINY,
      ),
    ),
  );
  const needed = Math.log(problem.certainty / (1 - problem.certainty));
  const rivals = problem.groups.map((group) =>
    problem.weights.map((_, fault) => {
      const falls = new Float64Array(problem.tests.length);
      if (group.includes(fault)) return undefined;
      for (const test of tests)
        for (const row of all[test] ?? [])
          for (const one of group)
            falls[test] = Math.max(falls[test] ?? 0, Math.log((row[one] ?? 1) / (row[fault] ?? 1)));
      const useful = tests.filter((test) => (falls[test] ?? 0) > 0);
      const worth = (test: number) => (minutes[test] ?? 0) / (falls[test] ?? 1);
      return { falls, useful: Int32Array.from(useful.sort((a, b) => worth(a) - worth(b))) };
    }),
  );
  const ends = problem.tests.flatMap(({ outcomes }, test) =>
    outcomes.flatMap((outcome, number) => (outcome.ends ? [{ test, outcome: number }] : [])),
  );
  const setUps = new Map<number, { readonly costs: Float64Array; readonly order: Int32Array }>();
  const setUpsAt = (made: number) => {
    const known = setUps.get(made);
    if (known !== undefined) return known;
    const costs = Float64Array.from(problem.tests, (test, number) =>
      Math.min(...test.outcomes.map((_, outcome) => problem.setUps.cost(number, outcome, made))),
    );
    const order = Int32Array.from([...tests].sort((a, b) => (costs[a] ?? 0) - (costs[b] ?? 0)));
    const entry = { costs, order };
    setUps.set(made, entry);
    return entry;
  };

  const ofGroup = (state: PlanState, group: number, mass: number): number => {
    const { costs, order } = setUpsAt(state.made);
    let most = 0;
    for (const fault of state.alive) {
      const rival = rivals[group]?.[fault];
      if (rival === undefined) continue;
      const fall = Math.log((state.weights[fault] ?? 0) / mass) + needed - TINY;
      if (fall <= 0) continue;
      let left = fall;
      let setUp = Number.POSITIVE_INFINITY;
      for (const test of order) {
        if (state.answers[test] !== -1) continue;
        left -= rival.falls[test] ?? 0;
        if (left > 0) continue;
        setUp = costs[test] ?? 0;
        break;
      }
      if (setUp === Number.POSITIVE_INFINITY) return setUp;
      left = fall;
      let own = 0;
      for (const test of rival.useful) {
        if (state.answers[test] !== -1) continue;
        const falls = rival.falls[test] ?? 0;
        own += (minutes[test] ?? 0) * Math.min(1, left / falls);
        left -= falls;
        if (left <= 0) break;
      }
      most = Math.max(most, own + setUp);
    }
    return most;
  };

  return (state) => {
    const ways: { minutes: number; share: number }[] = [];
    const { costs } = setUpsAt(state.made);
    for (const [group, faults] of problem.groups.entries()) {
      let mass = 0;
      for (const fault of faults) mass += state.weights[fault] ?? 0;
      if (mass <= 0) continue;
      const share = mass / state.mass / problem.certainty;
      ways.push({ minutes: ofGroup(state, group, mass), share });
    }
    const until = (answers: readonly PlanAnswer[]): number => {
      let own = 0;
      let most = 0;
      for (const { test } of answers) {
        if (state.answers[test] !== -1) continue;
        own += minutes[test] ?? 0;
        most = Math.max(most, costs[test] ?? 0);
      }
      return own + most;
    };
    // With a written order nothing is given up but where that order stops.
    if (problem.written === undefined) {
      let rest = 0;
      let setUp = 0;
      for (const test of tests)
        if (state.answers[test] === -1 && telling.has(test)) {
          rest += minutes[test] ?? 0;
          setUp = Math.max(setUp, costs[test] ?? 0);
        }
      ways.push({ minutes: rest + setUp, share: 1 });
    }
    for (const { leaf, share } of leafShares(problem, state))
      ways.push({ minutes: until(leaf.answers), share });
    for (const answer of ends) {
      if (state.answers[answer.test] !== -1) continue;
      const row = all[answer.test]?.[answer.outcome];
      let share = 0;
      for (const fault of state.alive)
        share += ((state.weights[fault] ?? 0) / state.mass) * (row?.[fault] ?? 0);
      ways.push({ minutes: until([answer]), share });
    }
    ways.sort((a, b) => a.minutes - b.minutes);
    let open = 1;
    let sum = 0;
    for (const way of ways) {
      const share = Math.min(open, way.share);
      if (share > 0) sum += share * way.minutes;
      open -= share;
      if (open <= 0) break;
    }
    return sum * state.mass * (1 - 1e-9);
  };
}
