/**
 * Minutes that no order can go below.
 *
 * Code bound, where every chance is 0 or 1 and a conclusion needs certainty 1. A strategy is a tree in which each
 * fault comes to one leaf, and a leaf holds only faults that are indistinguishable, or concluded together, or ended
 * by the same answers. Faults joined by any of these are one word; a leaf is within one word, so the tree, its
 * leaves named by their words, is a code with at least one codeword for each word. Huffman's code with as many
 * letters as a test has outcomes at most has the least mean length of all such codes; each letter costs at least
 * the cheapest test left, the first one its set-ups too.
 *
 * Information bound, for all problems. Along a strategy the entropy of the fault falls from H to its mean over the
 * leaves. One test lowers it by no more than its capacity, for which max over faults of D(row || q) is an upper
 * bound whatever the distribution q; so each minute lowers it by at most the best capacity per minute. A leaf that
 * concludes a group with share c or more has at most h(c) + c log g + (1 - c) log (n - g) bits. A leaf where no test
 * tells anything more has, in the mean, no more than all tests together leave: H(F | all tests), which is at most
 * log (1 + 2 sum over pairs of sqrt(w w') times the product of the tests' Bhattacharyya coefficients), because
 * Shannon's entropy is at most Renyi's of order 1/2 and the logarithm is concave. A leaf that ends otherwise has at
 * most log n bits, weighed by the chance that its answers come at all.
 */
import { conclusionBound } from "./conclusion-bound.ts";
import { leafShares } from "./leaf-shares.ts";
import type { PlanSpace, PlanState } from "./plan-space.ts";
import type { PlanProblem, PlanTest } from "./problem.ts";

/** A lower bound of the minutes from a state to its leaves, times the probability of the state. */
export type PlanBound = (state: PlanState) => number;

/** The bound that search uses at every state; exact enough to prune, cheap enough to ask for often. */
export function planBound(space: PlanSpace): PlanBound {
  const { problem } = space;
  const cheapest = problem.tests.map((test) =>
    test.outcomes.reduce((least, outcome) => Math.min(least, outcome.minutes), Number.POSITIVE_INFINITY),
  );
  const words = space.crisp && problem.certainty >= 1 ? wordsOf(space) : undefined;
  const concluding = words === undefined ? conclusionBound(space) : undefined;
  const letters = Math.max(2, ...problem.tests.map((test) => test.outcomes.length));
  const known = new WeakMap<PlanState, number>();
  const reckon = (state: PlanState): number => {
    let first = Number.POSITIVE_INFINITY;
    for (const test of state.actions)
      for (const [outcome, { minutes }] of (problem.tests[test]?.outcomes ?? []).entries())
        first = Math.min(first, minutes + problem.setUps.cost(test, outcome, state.made));
    if (words === undefined) return Math.max(first * state.mass, concluding?.(state) ?? 0);
    let least = Number.POSITIVE_INFINITY;
    for (const [test, minutes] of cheapest.entries())
      if (state.answers[test] === -1) least = Math.min(least, minutes);
    const sums = new Map<number, number>();
    for (const fault of state.alive) {
      const word = words[fault] ?? fault;
      sums.set(word, (sums.get(word) ?? 0) + (state.weights[fault] ?? 0));
    }
    const length = codeLength([...sums.values()], letters);
    return first * state.mass + least * Math.max(0, length - state.mass);
  };
  return (state) => {
    if (state.stop !== undefined) return 0;
    const before = known.get(state);
    if (before !== undefined) return before;
    const bound = reckon(state);
    known.set(state, bound);
    return bound;
  };
}

/**
 * The least mean length of a code for these weights, times their sum (Huffman 1952; with more than two letters,
 * words of weight 0 fill up the last merge).
 */
export function codeLength(weights: readonly number[], letters: number): number {
  if (weights.length <= 1) return 0;
  const leaves = [...weights].sort((a, b) => a - b);
  while ((leaves.length - 1) % (letters - 1) !== 0) leaves.unshift(0);
  const merged: number[] = [];
  let leaf = 0;
  let twig = 0;
  let length = 0;
  const least = (): number => {
    const one = leaves[leaf] ?? Number.POSITIVE_INFINITY;
    const other = merged[twig] ?? Number.POSITIVE_INFINITY;
    if (one <= other) leaf += 1;
    else twig += 1;
    return Math.min(one, other);
  };
  while (leaves.length - leaf + merged.length - twig > 1) {
    let sum = 0;
    for (let letter = 0; letter < letters; letter += 1) sum += least();
    merged.push(sum);
    length += sum;
  }
  return length;
}

/** For each fault the number of its word: faults that a leaf can hold together have the same. */
function wordsOf({ problem, possible }: PlanSpace): readonly number[] {
  const { weights, tests, groups, written } = problem;
  const words = weights.map((_, fault) => fault);
  const join = (faults: readonly number[]): void => {
    const [first] = faults;
    if (first === undefined) return;
    const joined = new Set(faults.map((fault) => words[fault]));
    const word = words[first] ?? first;
    for (const [fault, own] of words.entries()) if (joined.has(own)) words[fault] = word;
  };
  const same = new Map<string, number[]>();
  for (const fault of words.keys()) {
    const key = [...possible]
      .map((test) => tests[test]?.outcomes.findIndex((outcome) => outcome.chances[fault] === 1))
      .join();
    const alike = same.get(key);
    if (alike === undefined) same.set(key, [fault]);
    else alike.push(fault);
  }
  for (const alike of same.values()) join(alike);
  for (const group of groups) join(group);
  const all = [...words.keys()];
  for (const test of tests)
    for (const outcome of test.outcomes)
      if (outcome.ends) join(all.filter((fault) => outcome.chances[fault] === 1));
  for (const { answers } of written?.leaves ?? [])
    join(
      all.filter((fault) =>
        answers.every(({ test, outcome }) => tests[test]?.outcomes[outcome]?.chances[fault] === 1),
      ),
    );
  return words;
}

/** The information bound of a state that has not stopped, times its probability. */
export function informationBound({ problem, possible }: PlanSpace, state: PlanState): number {
  if (state.stop !== undefined) return 0;
  const faults = [...state.alive];
  const shares = faults.map((fault) => (state.weights[fault] ?? 0) / state.mass);
  const tests = problem.tests.filter((_, test) => possible.has(test) && state.answers[test] === -1);
  let rate = 0;
  for (const test of tests) {
    const bits = capacityAtMost(test, faults);
    const minutes = Math.min(...test.outcomes.map((outcome) => outcome.minutes));
    if (bits > 0) rate = Math.max(rate, minutes > 0 ? bits / minutes : Number.POSITIVE_INFINITY);
  }
  if (!(rate > 0) || rate === Number.POSITIVE_INFINITY) return 0;
  const bits =
    entropy(shares) -
    concludedBits(problem, faults) -
    leftBits(tests, faults, shares) -
    endedBits(problem, state, faults, shares);
  return (state.mass * Math.max(0, bits)) / rate;
}

function capacityAtMost(test: PlanTest, faults: readonly number[]): number {
  const rows = faults.map((fault) => test.outcomes.map((outcome) => outcome.chances[fault] ?? 0));
  const middle = test.outcomes.map(
    (_, outcome) => rows.reduce((sum, row) => sum + (row[outcome] ?? 0), 0) / rows.length,
  );
  // Any q will do; of these two the better one is taken. Halfway between the extremes fits two kinds of rows.
  const between = test.outcomes.map((_, outcome) => {
    const column = rows.map((row) => row[outcome] ?? 0);
    return (Math.min(...column) + Math.max(...column)) / 2;
  });
  const sum = between.reduce((all, each) => all + each, 0);
  const far = (q: readonly number[]) =>
    Math.max(
      ...rows.map((row) =>
        row.reduce((bits, p, outcome) => bits + (p > 0 ? p * Math.log2(p / (q[outcome] ?? 1)) : 0), 0),
      ),
    );
  return Math.min(
    far(middle),
    far(between.map((each) => each / sum)),
    Math.log2(Math.max(1, test.outcomes.length)),
  );
}

/** Bits that a leaf with a conclusion can have at most. */
function concludedBits({ groups, certainty }: PlanProblem, faults: readonly number[]): number {
  let most = 0;
  for (const group of groups) {
    const inside = faults.filter((fault) => group.includes(fault)).length;
    const outside = faults.length - inside;
    if (inside === 0) continue;
    const share = Math.max(certainty, inside / faults.length);
    const bits =
      outside === 0
        ? Math.log2(inside)
        : entropy([share, 1 - share]) + share * Math.log2(inside) + (1 - share) * Math.log2(outside);
    most = Math.max(most, bits);
  }
  return most;
}

/** Bits that all tests together leave at most. */
function leftBits(tests: readonly PlanTest[], faults: readonly number[], shares: readonly number[]): number {
  let sum = 0;
  for (const [a, one] of faults.entries())
    for (const [b, other] of faults.entries()) {
      if (b <= a) continue;
      let alike = Math.sqrt((shares[a] ?? 0) * (shares[b] ?? 0));
      for (const test of tests) {
        let coefficient = 0;
        for (const { chances } of test.outcomes)
          coefficient += Math.sqrt((chances[one] ?? 0) * (chances[other] ?? 0));
        alike *= Math.min(1, coefficient);
        if (alike === 0) break;
      }
      sum += alike;
    }
  return Math.log2(1 + 2 * sum);
}

/** Ends of the written order, its conclusions where they may be left unproven, and ends inside calls. */
function endedBits(
  problem: PlanProblem,
  state: PlanState,
  faults: readonly number[],
  shares: readonly number[],
): number {
  let chance = leafShares(problem, state).reduce((sum, { share }) => sum + share, 0);
  for (const [test, { outcomes }] of problem.tests.entries())
    for (const { ends, chances } of outcomes)
      if (ends && state.answers[test] === -1)
        for (const [index, fault] of faults.entries()) chance += (shares[index] ?? 0) * (chances[fault] ?? 0);
  return Math.min(1, chance) * Math.log2(Math.max(1, faults.length));
}

/** Bits of a distribution. */
function entropy(shares: readonly number[]): number {
  return shares.reduce((bits, share) => bits - (share > 0 ? share * Math.log2(share) : 0), 0);
}
