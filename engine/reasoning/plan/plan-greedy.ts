/** An order that is good but not proven best: most bits per minute, tried out some tests ahead where there is room. */
import type { PlanPolicy } from "./plan-exact.ts";
import type { PlanSpace, PlanState } from "./plan-space.ts";

/** So many of the most promising tests are tried out in a state. */
const TRIED = 4;
/** Of all states so rare that what follows hardly counts, none is tried out. */
const RARE = 1e-4;

/** A policy that tries orders out until the space has counted `most` work; after that the plain rule decides. */
export function greedyPolicy(space: PlanSpace, most: number): PlanPolicy {
  const plain = plainPolicy(space);
  const minutes = new Map<PlanState, number>();
  const chosen = new Map<PlanState, number>();
  const room = () => space.work() < most;

  /** Minutes by the plain rule, a rare state's only by its next test. */
  const tryOut = (state: PlanState): number => {
    if (state.stop !== undefined) return 0;
    const known = minutes.get(state);
    if (known !== undefined) return known;
    let sum = 0;
    for (const step of space.steps(state, plain(state)[0] ?? -1))
      sum += step.state.mass * step.minutes + (room() && step.state.mass > RARE ? tryOut(step.state) : 0);
    minutes.set(state, sum);
    return sum;
  };

  return (state) => {
    const known = chosen.get(state);
    if (known !== undefined) return known;
    const ranked = plain(state);
    let best = ranked[0] ?? -1;
    let least = Number.POSITIVE_INFINITY;
    if (room() && state.mass > RARE && ranked.length > 1)
      for (const test of ranked) {
        let sum = 0;
        for (const step of space.steps(state, test))
          sum += step.state.mass * step.minutes + tryOut(step.state);
        if (sum < least) {
          least = sum;
          best = test;
        }
      }
    chosen.set(state, best);
    return best;
  };
}

/** The tests of a state by falling bits per minute, the first few; one that opens the way counts with what it opens. */
function plainPolicy({ problem, possible }: PlanSpace): (state: PlanState) => readonly number[] {
  const rows = problem.tests.map((test) => {
    const chances = test.outcomes.map((outcome) => Float64Array.from(outcome.chances));
    const noise = Float64Array.from(problem.weights, (_, fault) =>
      chances.reduce((bits, row) => bits + bitsOf(row[fault] ?? 0), 0),
    );
    return { chances, noise };
  });
  const opens = problem.tests.map((_, test) =>
    [...possible].filter((later) => problem.tests[later]?.after.includes(test)),
  );
  const ranked = new WeakMap<PlanState, readonly number[]>();

  const gain = (state: PlanState, test: number): number => {
    const row = rows[test];
    if (row === undefined) return 0;
    let bits = 0;
    for (const chances of row.chances) {
      let mass = 0;
      for (const fault of state.alive) mass += (state.weights[fault] ?? 0) * (chances[fault] ?? 0);
      bits += bitsOf(mass / state.mass);
    }
    for (const fault of state.alive)
      bits -= ((state.weights[fault] ?? 0) / state.mass) * (row.noise[fault] ?? 0);
    return bits;
  };
  const minutes = (state: PlanState, test: number): number => {
    let sum = 0;
    for (const [outcome, { minutes: own }] of (problem.tests[test]?.outcomes ?? []).entries()) {
      let mass = 0;
      const chances = rows[test]?.chances[outcome];
      for (const fault of state.alive) mass += (state.weights[fault] ?? 0) * (chances?.[fault] ?? 0);
      sum += (mass / state.mass) * (own + problem.setUps.cost(test, outcome, state.made));
    }
    return sum;
  };
  const worth = (state: PlanState, test: number): number => {
    const cost = minutes(state, test);
    let best = gain(state, test) / Math.max(cost, 1e-9);
    for (const later of opens[test] ?? [])
      if (state.answers[later] === -1)
        best = Math.max(best, gain(state, later) / Math.max(cost + minutes(state, later), 1e-9));
    return best;
  };
  return (state) => {
    const known = ranked.get(state);
    if (known !== undefined) return known;
    const first = state.actions
      .map((test) => ({ test, worth: worth(state, test) }))
      .sort((a, b) => b.worth - a.worth || a.test - b.test)
      .slice(0, TRIED)
      .map(({ test }) => test);
    // The written order's own test may be worth nothing but what it leads to.
    const { place } = state;
    if (place?.kind === "asks" && !first.includes(place.test)) first.push(place.test);
    ranked.set(state, first);
    return first;
  };
}

function bitsOf(share: number): number {
  return share > 0 ? -share * Math.log2(share) : 0;
}
