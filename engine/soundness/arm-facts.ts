import { evaluateExpression, usesThisReading } from "../procedure/expression.ts";
import { type Beside, besideOf } from "../procedure/keep-unchanged.ts";
import type { Branch, Fact, FactValue, Procedure } from "../procedure/model.ts";
import { HOLDS } from "./formula.ts";
import { possibleArms } from "./possible-arms.ts";

/** Choices of facts that take an arm. */
export type ArmFacts = ReadonlyMap<string, FactValue>;

const ANY_FACTS: ArmFacts = new Map();
const UNKNOWN = { unknown: true } as const;
/** Above so many combinations a branch's conditions are not tried out. */
const MOST_CHOICES = 512;

/**
 * Facts that make a branch take this arm; `never` where nothing does; `open` where that also hangs on readings,
 * measured facts or lists, or on too many facts to try. `never` is exact: every combination of choices, `unknown`
 * included, was evaluated by the function that a run asks; where more than choices counts, no numbers meet the
 * conditions (see {@link possibleArms}).
 */
export function armFacts(procedure: Procedure, branch: Branch, arm: number): ArmFacts | "never" | "open" {
  if (branch.arms.length === 1) return ANY_FACTS;
  const known = TRIED.get(branch);
  const beside = besideOf(procedure);
  const found = known?.beside === beside ? known.byArm : tryOut(procedure, branch);
  if (known?.beside !== beside) TRIED.set(branch, { beside, byArm: found });
  return found.get(arm) ?? "never";
}

type ByArm = ReadonlyMap<number, ArmFacts | "open">;
const TRIED = new WeakMap<Branch, { readonly beside: Beside; readonly byArm: ByArm }>();

function tryOut(procedure: Procedure, branch: Branch): ByArm {
  return byChoices(procedure, branch) ?? openArms(procedure, branch);
}

function openArms(procedure: Procedure, branch: Branch): ByArm {
  return new Map([...possibleArms(procedure, branch, HOLDS)].map((arm) => [arm, "open"]));
}

/** Undefined where more than choices counts. */
function byChoices(procedure: Procedure, branch: Branch): ByArm | undefined {
  const facts = choicesIn(procedure, branch);
  if (facts === undefined || countOf(facts) > MOST_CHOICES) return undefined;
  const byArm = new Map<number, ArmFacts>();
  for (const chosen of combinationsOf(facts)) {
    const arm = armTaken(branch, chosen);
    if (arm !== undefined && !byArm.has(arm)) byArm.set(arm, chosen);
  }
  return byArm;
}

/** What can be chosen for facts, by their ids. */
export type Choices = ReadonlyMap<string, readonly FactValue[]>;

/** The facts of a branch's conditions with their choices; undefined where it hangs on more than choices. */
export function choicesIn(procedure: Procedure, branch: Branch): Choices | undefined {
  const facts = new Map<string, readonly FactValue[]>();
  for (const { if: condition } of branch.arms) {
    if (condition === undefined) continue;
    if (condition.readings.length + condition.elapsed.length > 0 || usesThisReading(condition))
      return undefined;
    for (const id of condition.facts) {
      const choices = choicesOf(procedure.facts.get(id));
      if (choices === undefined) return undefined;
      facts.set(id, choices);
    }
  }
  return facts;
}

/** What can be known of a fact with choices; undefined for any other fact. */
export function choicesOf(fact: Fact | undefined): readonly FactValue[] | undefined {
  if (fact === undefined || fact.list || fact.measure !== undefined) return undefined;
  if (fact.given !== undefined) return [fact.given];
  return [...fact.choices.map((choice) => choice.id), UNKNOWN];
}

/** How many combinations there are. */
export function countOf(facts: Choices): number {
  return [...facts.values()].reduce((product, choices) => product * choices.length, 1);
}

/** Every combination, the first choice of each fact first. */
export function* combinationsOf(facts: Choices): Generator<ArmFacts> {
  const count = countOf(facts);
  for (let combination = 0; combination < count; combination += 1) {
    const chosen = new Map<string, FactValue>();
    let rest = combination;
    for (const [id, choices] of facts) {
      chosen.set(id, choices[rest % choices.length] ?? UNKNOWN);
      rest = Math.floor(rest / choices.length);
    }
    yield chosen;
  }
}

/** The arm that a run with these facts takes; undefined where a condition can't be evaluated. */
export function armTaken(branch: Branch, facts: ArmFacts): number | undefined {
  const scene = {
    fact: (id: string) => facts.get(id),
    reading: () => undefined,
    value: () => undefined,
    elapsed: () => undefined,
  };
  for (const [index, { if: condition }] of branch.arms.entries()) {
    if (condition === undefined) return index;
    const holds = evaluateExpression(condition, scene);
    if (!holds.ok) return holds.why === "unknown-fact" ? branch.arms.length - 1 : undefined;
    if (holds.value === true) return index;
  }
  return branch.arms.length - 1;
}
