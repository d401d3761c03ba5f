/**
 * The states of knowledge that a plan passes: what was answered, what is apart, how likely each fault is.
 *
 * Weights are not normalised: a state's weights sum to the probability of coming there, so that a state's minutes
 * weighed by it are sums of its branches'. States with the same answers and set-ups are one state; where every
 * chance is 0 or 1 and the order is free, states with the same faults left and the same set-ups are.
 */
import { endedWith, type PlanStop, planRules, reachedFrom, TINY } from "./plan-rules.ts";
import type { PlanProblem, WrittenPlace } from "./problem.ts";

export interface PlanState {
  /** Of what was shown, among the states with the same set-ups. */
  readonly key: string | number;
  /** Outcome of each test, -1 where it was not made. */
  readonly answers: Int16Array;
  readonly weights: Float64Array;
  /** Faults whose weight is not 0. */
  readonly alive: Int32Array;
  /** Their sum: the probability of coming here. */
  readonly mass: number;
  readonly made: number;
  /** Undefined where the work goes on. */
  readonly stop: PlanStop | undefined;
  /**
   * Tests that may be made now: all while the written order goes on, else those that tell faults apart or open the
   * way.
   */
  readonly actions: readonly number[];
  /** Where the written order stands once it knows what was shown. */
  readonly place: WrittenPlace | undefined;
}

export interface PlanStep {
  readonly outcome: number;
  /** Of this outcome, set-ups included. */
  readonly minutes: number;
  readonly state: PlanState;
}

export interface PlanSpace {
  readonly problem: PlanProblem;
  /** Every chance is 0 or 1. */
  readonly crisp: boolean;
  /** Tests that can come up at all: those that wait for each other can't. */
  readonly possible: ReadonlySet<number>;
  readonly start: PlanState;
  /** What was done so far: of each state made, its faults times the tests. No clock is asked. */
  readonly work: () => number;
  /** Whether a test may be made in a state, out of turn too. */
  readonly allows: (state: PlanState, test: number) => boolean;
  /** What a test can lead to, without outcomes that no fault left allows. */
  readonly steps: (state: PlanState, test: number) => readonly PlanStep[];
}

export function planSpace(problem: PlanProblem): PlanSpace {
  const { tests, setUps, written } = problem;
  const chances = tests.map((test) => test.outcomes.map((outcome) => Float64Array.from(outcome.chances)));
  const crisp = chances.every((rows) => rows.every((row) => row.every((p) => p === 0 || p === 1)));
  const possible = possibleTests(problem);
  const needed = neededFor(problem);
  const byFaults = crisp && written === undefined && tests.every((test) => test.after.length === 0);
  const place = placesOf(problem);
  const { allowed, mayCome, stopOf } = planRules(problem, chances);
  /** States by what is made, then by what was shown. */
  const known: Map<string | number, PlanState>[] = [];
  let work = 0;

  const tells = (test: number, alive: Int32Array): boolean => {
    const first = alive[0] ?? -1;
    for (const row of chances[test] ?? []) {
      const chance = row[first] ?? 0;
      for (let index = 1; index < alive.length; index += 1)
        if (Math.abs((row[alive[index] ?? -1] ?? 0) - chance) > TINY) return true;
    }
    return false;
  };

  const actionsOf = (
    answers: Int16Array,
    weights: Float64Array,
    alive: Int32Array,
    place: WrittenPlace | undefined,
  ): readonly number[] => {
    const wanted = new Set<number>();
    for (const test of possible) {
      if (answers[test] !== -1 || wanted.has(test)) continue;
      if (place !== undefined && !mayCome(test, place)) continue;
      // On the way an answer may be wanted that tells nothing now: some conclusion waits for it.
      if (place?.kind !== "asks" && !tells(test, alive)) continue;
      wanted.add(test);
      for (const before of needed[test] ?? []) if (answers[before] === -1) wanted.add(before);
    }
    if (place?.kind === "asks") wanted.add(place.test);
    return [...wanted].filter((test) => allowed(test, answers, weights, place)).sort((a, b) => a - b);
  };

  const keep = (
    key: string | number,
    answers: Int16Array,
    weights: Float64Array,
    made: number,
    from: WrittenPlace | undefined,
  ): PlanState => {
    const place = reachedFrom(from, answers);
    let mass = 0;
    const left: number[] = [];
    for (let fault = 0; fault < weights.length; fault += 1) {
      const weight = weights[fault] ?? 0;
      if (weight <= 0) continue;
      mass += weight;
      left.push(fault);
    }
    const alive = Int32Array.from(left);
    const stop = stopOf(answers, weights, mass, place);
    const actions = stop === undefined ? actionsOf(answers, weights, alive, place) : [];
    const state: PlanState = {
      key,
      answers,
      weights,
      alive,
      mass,
      made,
      actions,
      place,
      stop: stop ?? (actions.length === 0 ? UNRESOLVED : undefined),
    };
    const there = known[made];
    if (there === undefined) known[made] = new Map([[key, state]]);
    else there.set(key, state);
    work += 1 + alive.length * tests.length;
    return state;
  };

  /** What a test leaves of the weights; undefined where no fault left allows the outcome. */
  const weighed = (state: PlanState, row: Float64Array): Float64Array | undefined => {
    const weights = new Float64Array(state.weights.length);
    let any = false;
    for (let index = 0; index < state.alive.length; index += 1) {
      const fault = state.alive[index] ?? -1;
      const weight = (state.weights[fault] ?? 0) * (row[fault] ?? 0);
      weights[fault] = weight;
      any ||= weight > 0;
    }
    return any ? weights : undefined;
  };

  const answered = (state: PlanState, test: number, outcome: number): Int16Array => {
    const answers = state.answers.slice();
    answers[test] = outcome;
    return answers;
  };

  /** The state after an outcome that goes on; undefined where no fault left allows it. */
  const nextOf = (
    state: PlanState,
    test: number,
    outcome: number,
    row: Float64Array,
  ): PlanState | undefined => {
    const made = setUps.next(test, outcome, state.made);
    if (byFaults) {
      const weights = weighed(state, row);
      if (weights === undefined) return undefined;
      const key = keyOfFaults(weights);
      return known[made]?.get(key) ?? keep(key, answered(state, test, outcome), weights, made, state.place);
    }
    // Known states are found by their answers before anything is weighed: most are come to by many orders.
    const key =
      place === undefined
        ? answered(state, test, outcome).join()
        : Number(state.key) + (outcome + 1) * (place[test] ?? 0);
    const same = known[made]?.get(key);
    if (same !== undefined) return same;
    const weights = weighed(state, row);
    return weights && keep(key, answered(state, test, outcome), weights, made, state.place);
  };

  const endOf = (
    state: PlanState,
    test: number,
    outcome: number,
    row: Float64Array,
  ): PlanState | undefined => {
    const weights = weighed(state, row);
    return (
      weights && {
        key: "",
        answers: answered(state, test, outcome),
        weights,
        alive: state.alive,
        mass: weights.reduce((sum, weight) => sum + weight, 0),
        made: setUps.next(test, outcome, state.made),
        stop: endedWith(tests[test]?.outcomes[outcome]?.concludes),
        actions: [],
        place: undefined,
      }
    );
  };

  const total = problem.weights.reduce((sum, weight) => sum + weight, 0);
  return {
    problem,
    crisp,
    possible: new Set(possible),
    start: keep(
      place === undefined || byFaults ? "" : 0,
      new Int16Array(tests.length).fill(-1),
      Float64Array.from(problem.weights, (weight) => (total > 0 ? weight / total : 0)),
      problem.made,
      written?.start,
    ),
    allows: (state, test) => allowed(test, state.answers, state.weights, state.place),
    work: () => work,
    steps: (state, test) => {
      const steps: PlanStep[] = [];
      for (const [outcome, { minutes, ends }] of (tests[test]?.outcomes ?? []).entries()) {
        const row = chances[test]?.[outcome] ?? new Float64Array(0);
        const next = (ends ? endOf : nextOf)(state, test, outcome, row);
        if (next === undefined) continue;
        steps.push({ outcome, minutes: minutes + setUps.cost(test, outcome, state.made), state: next });
      }
      return steps;
    },
  };
}

const UNRESOLVED = { kind: "unresolved" } as const;

function keyOfFaults(weights: Float64Array): string {
  let key = "";
  for (let fault = 0; fault < weights.length; fault += 1) key += (weights[fault] ?? 0) > 0 ? "1" : "0";
  return key;
}

/** What each test's outcome counts in one number for all answers; undefined where none holds them exactly. */
function placesOf({ tests }: PlanProblem): readonly number[] | undefined {
  const places: number[] = [];
  let place = 1;
  for (const { outcomes } of tests) {
    places.push(place);
    place *= outcomes.length + 1;
  }
  return place <= Number.MAX_SAFE_INTEGER ? places : undefined;
}

/** Tests that can be made at all: none that waits for itself. */
function possibleTests({ tests, written }: PlanProblem): readonly number[] {
  // In its own turn a test waits for nothing.
  if (written !== undefined) return [...tests.keys()];
  const possible = new Set<number>();
  for (let grown = true; grown; ) {
    grown = false;
    for (const [test, { after }] of tests.entries())
      if (!possible.has(test) && after.every((before) => possible.has(before))) {
        possible.add(test);
        grown = true;
      }
  }
  return [...possible].sort((a, b) => a - b);
}

/** For each test all that must have been made before it, through others included. */
function neededFor({ tests }: PlanProblem): readonly ReadonlySet<number>[] {
  return tests.map((test) => {
    const all = new Set<number>();
    const waiting = [...test.after];
    for (let one = waiting.pop(); one !== undefined; one = waiting.pop())
      if (!all.has(one)) {
        all.add(one);
        waiting.push(...(tests[one]?.after ?? []));
      }
    return all;
  });
}
