import type { Branch, FactValue, Procedure } from "../procedure/model.ts";
import { type ArmFacts, armTaken, choicesIn, choicesOf, combinationsOf, countOf } from "./arm-facts.ts";
import { perStep } from "./per-step.ts";
import { armsByFacts, isUnknown } from "./possible-arms.ts";
import type { OfStep, StepLists } from "./step-lists.ts";

/**
 * What choices a run can have given to the facts that conditions hang on. A set of combinations is the bits of one
 * number: a fact is asked once, so that a run keeps to one combination on its whole way.
 */
export interface FactSpace {
  /** Every combination. */
  readonly whole: bigint;
  /**
   * The combinations that take an arm of a branch. Where it hangs on readings too, those with which some reading
   * takes it; all of them where that was too much to try.
   */
  taking(branch: Branch, arm: number): bigint;
  /** The first combination of a set, the choices as written first and `unknown` last. */
  first(set: bigint): ArmFacts;
}

/** Above so many combinations they are not told apart. */
const MOST_COMBINATIONS = 512;

/** Facts of conditions that hang on readings too are told apart up to so many combinations. */
const MOST_WITH_READINGS = 64;

/**
 * The facts of all conditions that hang on choices alone, and of those that hang on readings too as long as there
 * are few; nothing is told apart where the first are too many.
 */
export function factSpace(procedure: Procedure, steps: StepLists): FactSpace {
  const branches = steps.where(isConditional).flatMap(({ step }) => conditionalOf(procedure, step));
  const facts = new Map<string, readonly FactValue[]>();
  for (const branch of branches)
    for (const [id, choices] of choicesIn(procedure, branch) ?? []) facts.set(id, choices);
  for (const branch of branches)
    for (const id of branch.arms.flatMap((arm) => arm.if?.facts ?? [])) {
      const choices = facts.has(id) ? undefined : choicesOf(procedure.facts.get(id));
      if (choices !== undefined && countOf(facts) * choices.length <= MOST_WITH_READINGS)
        facts.set(id, choices);
    }
  if (facts.size === 0 || countOf(facts) > MOST_COMBINATIONS) return NOTHING_TOLD_APART;
  const combinations = [...combinationsOf(facts)];
  const having = new Map([...facts.keys()].map((id) => [id, setsByValue(combinations, id)]));
  const whole = (1n << BigInt(combinations.length)) - 1n;
  const taking = new Map<Branch, readonly bigint[]>();
  return {
    whole,
    taking: (branch, arm) => {
      const known = taking.get(branch) ?? takingByArm(procedure, branch, having, whole);
      taking.set(branch, known);
      return known[arm] ?? whole;
    },
    first(set) {
      const at = combinations.findIndex((_, number) => (set >> BigInt(number)) & 1n);
      return combinations[at] ?? NO_FACTS;
    },
  };
}

const NO_FACTS: ArmFacts = new Map();

/** For procedures without such conditions, or with too many. */
export const NOTHING_TOLD_APART: FactSpace = { whole: 1n, taking: () => 1n, first: () => NO_FACTS };

const conditionalOf = perStep((_, step): readonly Branch[] =>
  [...step.outcomes.values()].filter(({ arms }) => arms.length > 1),
);

const isConditional: OfStep = (procedure, step) => conditionalOf(procedure, step).length > 0;

function setsByValue(combinations: readonly ArmFacts[], id: string): ReadonlyMap<FactValue, bigint> {
  const sets = new Map<FactValue, bigint>();
  for (const [number, combination] of combinations.entries()) {
    const value = combination.get(id);
    if (value !== undefined) sets.set(value, (sets.get(value) ?? 0n) | (1n << BigInt(number)));
  }
  return sets;
}

function takingByArm(
  procedure: Procedure,
  branch: Branch,
  having: ReadonlyMap<string, ReadonlyMap<FactValue, bigint>>,
  whole: bigint,
): readonly bigint[] {
  const facts = choicesIn(procedure, branch);
  if (facts === undefined) return takingByReadings(procedure, branch, having, whole);
  const sets = branch.arms.map(() => 0n);
  for (const combination of combinationsOf(facts)) {
    const arm = armTaken(branch, combination);
    if (arm === undefined) continue;
    let set = whole;
    for (const [id, value] of combination) set &= having.get(id)?.get(value) ?? whole;
    sets[arm] = (sets[arm] ?? 0n) | set;
  }
  return sets;
}

/** Where an arm hangs on more than choices: what choices some readings can take it with. */
function takingByReadings(
  procedure: Procedure,
  branch: Branch,
  having: ReadonlyMap<string, ReadonlyMap<FactValue, bigint>>,
  whole: bigint,
): readonly bigint[] {
  const step = procedure.steps.get(branch.step);
  if (step === undefined || !branch.arms.some((arm) => arm.if?.facts.some((id) => having.has(id)))) return [];
  const combinations = armsWithReadings(procedure, step).get(branch);
  if (combinations === undefined) return [];
  const sets = branch.arms.map(() => 0n);
  for (const { facts, arms } of combinations) {
    let set = whole;
    for (const [id, value] of facts) set &= havingSet(having.get(id), value) ?? whole;
    for (const arm of arms) sets[arm] = (sets[arm] ?? 0n) | set;
  }
  return sets;
}

function havingSet(
  sets: ReadonlyMap<FactValue, bigint> | undefined,
  value: Parameters<typeof isUnknown>[0],
): bigint | undefined {
  for (const [each, set] of sets ?? [])
    if (each === value || (isUnknown(each) && isUnknown(value))) return set;
  return undefined;
}

const armsWithReadings = perStep(
  (procedure, step) =>
    new Map(
      conditionalOf(procedure, step)
        .filter((branch) => choicesIn(procedure, branch) === undefined)
        .map((branch) => [branch, armsByFacts(procedure, branch)] as const),
    ),
);
