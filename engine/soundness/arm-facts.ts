import { evaluateExpression } from "../procedure/expression.ts";
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
  const facts = new Map<string, readonly FactValue[]>();
  let combinations = 1;
  for (const { if: condition } of branch.arms) {
    if (condition === undefined) continue;
    if (condition.readings.length + condition.elapsed.length > 0 || /\breading\b/.test(condition.text))
      return undefined;
    for (const id of condition.facts) {
      const choices = choicesOf(procedure.facts.get(id));
      if (choices === undefined) return undefined;
      if (!facts.has(id)) combinations *= choices.length;
      facts.set(id, choices);
    }
  }
  if (combinations > MOST_CHOICES) return undefined;
  const byArm = new Map<number, ArmFacts>();
  for (let combination = 0; combination < combinations; combination += 1) {
    const chosen = pick(facts, combination);
    const arm = armTaken(branch, chosen);
    if (arm !== undefined && !byArm.has(arm)) byArm.set(arm, chosen);
  }
  return byArm;
}

function choicesOf(fact: Fact | undefined): readonly FactValue[] | undefined {
  if (fact === undefined || fact.list || fact.measure !== undefined) return undefined;
  if (fact.given !== undefined) return [fact.given];
  return [...fact.choices.map((choice) => choice.id), UNKNOWN];
}

function pick(facts: ReadonlyMap<string, readonly FactValue[]>, combination: number): ArmFacts {
  const chosen = new Map<string, FactValue>();
  let rest = combination;
  for (const [id, choices] of facts) {
    chosen.set(id, choices[rest % choices.length] ?? UNKNOWN);
    rest = Math.floor(rest / choices.length);
  }
  return chosen;
}

/** The arm that a run with these facts takes; undefined where a condition can't be evaluated. */
function armTaken(branch: Branch, facts: ArmFacts): number | undefined {
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
