/** Problems whose code bound can be met: the splits of a Huffman code are among the tests. */
import { type PlanProblem, sharedSetUps } from "../../../engine/reasoning/plan/problem.ts";

/** As many tests as faults, each a minute; the same for the same seed. */
export function codedProblem(faults: number, seed: number): PlanProblem {
  const random = generator(seed);
  const weights = Array.from({ length: faults }, () => 1 + Math.floor(random() * 40));
  const anything = () => weights.map(() => (random() < 0.5 ? 1 : 0));
  const rows: { readonly row: readonly number[]; readonly place: number }[] = [];
  let twigs = weights.map((weight, fault) => ({ weight, under: [fault] }));
  while (twigs.length > 1) {
    twigs = twigs.toSorted((a, b) => a.weight - b.weight);
    const [one, other, ...rest] = twigs;
    if (one === undefined || other === undefined) break;
    // What a split says of faults elsewhere does not matter: anything.
    const row = anything().map((any, fault) =>
      one.under.includes(fault) ? 1 : other.under.includes(fault) ? 0 : any,
    );
    rows.push({ row, place: random() });
    twigs = [...rest, { weight: one.weight + other.weight, under: [...one.under, ...other.under] }];
  }
  while (rows.length < faults) rows.push({ row: anything(), place: random() });
  return {
    weights,
    tests: rows
      .toSorted((a, b) => a.place - b.place)
      .map(({ row }, test) => ({
        id: `t${test}`,
        after: [],
        outcomes: [0, 1].map((outcome) => ({
          id: String(outcome),
          minutes: 1,
          ends: false,
          chances: row.map((shown) => (shown === outcome ? 1 : 0)),
        })),
      })),
    setUps: sharedSetUps([], []),
    made: 0,
    groups: weights.map((_, fault) => [fault]),
    certainty: 1,
  };
}

/** Linear congruential, Numerical Recipes' constants: good enough to mix. */
function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}
