import type { Variable } from "../procedure/expression-names.ts";
import type { Branch, Expression, FactValue, Procedure, StepId } from "../procedure/model.ts";
import { all, compared, constantSum, type Formula, variableSum } from "./formula.ts";
import { casesOf, type Names, translationOf } from "./formula-of.ts";
import { saidOfLists } from "./list-entries.ts";
import { ListsAsked } from "./lists-asked.ts";
import { rational, ZERO } from "./rational.ts";
import {
  outcomeFormula,
  plausibleFormula,
  rangeFormula,
  readingVariable,
  sumInOutcome,
  valueVariable,
} from "./reading-ranges.ts";
import { type Reach, satisfiable } from "./satisfiable.ts";

/** Above so many combinations of facts they are not tried out. */
const MOST_CHOICES = 512;

/**
 * The arms of a branch that some facts, readings and times take; all of them where that was too much to decide.
 * An arm not listed is never taken: exact for linear arithmetic over the numbers as written, and for how long lists
 * are and what codes are in them (what a run reckons
 * in binary can differ in the last digit at a limit itself). `known` says what earlier readings can have been.
 * What is no number (OL less OL) takes no arm in a run; here no comparison with it holds, so that an arm can be
 * listed that only such readings would come to, and none is left out that a run takes.
 */
export function possibleArms(procedure: Procedure, branch: Branch, known: Formula): ReadonlySet<number> {
  const conditions = branch.arms.flatMap((arm) => arm.if ?? []);
  const combinations = factCombinations(procedure, conditions);
  if (combinations === undefined) return new Set(branch.arms.keys());
  const possible = new Set<number>();
  for (const facts of combinations)
    for (const arm of armsTaken(procedure, branch, known, facts, possible)) possible.add(arm);
  return possible;
}

/**
 * The arms that some readings and times take with each combination of the facts that a branch's conditions use, as
 * {@link possibleArms} finds them; undefined where those are too many.
 */
export function armsByFacts(
  procedure: Procedure,
  branch: Branch,
): readonly { readonly facts: Facts; readonly arms: readonly number[] }[] | undefined {
  const combinations = factCombinations(
    procedure,
    branch.arms.flatMap((arm) => arm.if ?? []),
  );
  return combinations?.map((facts) => ({
    facts,
    arms: armsTaken(procedure, branch, all([]), facts, new Set()),
  }));
}

/** What arms these facts lead to, those left out that are found already. */
function armsTaken(
  procedure: Procedure,
  branch: Branch,
  known: Formula,
  facts: Facts,
  found: ReadonlySet<number>,
): readonly number[] {
  const own = procedure.steps.get(branch.step);
  const judged = own?.kind === "measure" ? rangeFormula(procedure, own, new Set([branch.outcome])) : all([]);
  const region: Formula[] = [known, judged, notNegative(branch.arms.flatMap((arm) => arm.if ?? []))];
  const lists = new ListsAsked(procedure);
  const names: Names = {
    ...namesIn(branch.step, facts, own?.kind === "measure" && branch.outcome !== "cannot"),
    size: (variable) => lists.size(variable),
    listed: (variable, code) => lists.listed(variable, code),
  };
  const arms: number[] = [];
  const take = (arm: number, more: readonly Formula[] = []) => {
    if (found.has(arm)) return;
    if (satisfiable(all([...region, ...more, lists.known()]), reachOf) !== false) arms.push(arm);
  };
  for (const [index, arm] of branch.arms.entries()) {
    // A condition on a fact that is not known makes the last arm hold.
    if (arm.if === undefined || arm.if.facts.some((id) => isUnknown(facts.get(id)))) {
      take(arm.if === undefined ? index : branch.arms.length - 1);
      break;
    }
    const [holds, fails] = [saidBy(arm.if, names, true), saidBy(arm.if, names, false)];
    take(index, holds);
    region.push(...fails);
  }
  return arms;
}

/** What a condition that came out so says, of lists in words other than `size` and `in` too. */
function saidBy(condition: Expression, names: Names, truth: boolean): readonly Formula[] {
  const found = translationOf(condition, names);
  if (found === undefined) return [];
  const { translation, tree } = found;
  const formula = translation.truth(tree);
  return [truth ? formula : { kind: "not", part: formula }, saidOfLists(translation, tree, truth)];
}

/** Only readings and values are ever over range. */
function reachOf(variable: string): Reach {
  const infinite = /^(?:reading|value) /.test(variable);
  return { down: infinite, up: infinite };
}

/** Whether some reading gives this outcome; true where that was not decided. The step's value is computed. */
export function isOutcomePossible(procedure: Procedure, id: StepId, outcome: string): boolean {
  const step = procedure.steps.get(id);
  if (step?.kind !== "measure") return true;
  const plausible = plausibleFormula(procedure, step);
  const { value } = step;
  if (value === undefined)
    return satisfiable(all([plausible, outcomeFormula(procedure, step, outcome)])) !== false;
  const others = value.readings.flatMap((each) => {
    const other = procedure.steps.get(each);
    return other?.kind === "measure" && each !== id ? [plausibleFormula(procedure, other)] : [];
  });
  const combinations = factCombinations(procedure, [value]) ?? [new Map()];
  return combinations.some((facts) => {
    if (value.facts.some((each) => isUnknown(facts.get(each)))) return false;
    const cases = casesOf(value, namesIn(id, facts, true));
    if (cases === undefined) return true;
    return cases.some(({ guard, sum }) => {
      const inside = sumInOutcome(procedure, step, outcome, sum);
      return satisfiable(all([plausible, ...others, notNegative([value]), guard, inside]), reachOf) !== false;
    });
  });
}

/** Facts as they can be told, a measured one by {@link MEASURED}. */
export type Facts = ReadonlyMap<string, FactValue | typeof MEASURED>;

/** A number was measured; which one is a variable. */
const MEASURED = { measured: true } as const;
const UNKNOWN = { unknown: true } as const;

export function isMeasured(value: FactValue | typeof MEASURED | undefined): value is typeof MEASURED {
  return value === MEASURED;
}

/** Whether a condition on this fact is not looked at. */
export function isUnknown(value: FactValue | typeof MEASURED | undefined): boolean {
  return value === undefined || (typeof value === "object" && "unknown" in value);
}

/** Every combination of the facts that expressions use; undefined above {@link MOST_CHOICES}. */
export function factCombinations(
  procedure: Procedure,
  expressions: readonly Expression[],
): readonly Facts[] | undefined {
  let combinations: readonly Facts[] = [new Map()];
  for (const id of new Set(expressions.flatMap((each) => each.facts))) {
    const values = valuesOf(procedure, id);
    if (combinations.length * values.length > MOST_CHOICES) return undefined;
    combinations = combinations.flatMap((facts) =>
      values.map((value) => new Map([...facts, [id, value] as const])),
    );
  }
  return combinations;
}

function valuesOf(procedure: Procedure, id: string): readonly (FactValue | typeof MEASURED)[] {
  const fact = procedure.facts.get(id);
  if (fact === undefined) return [UNKNOWN];
  if (fact.given !== undefined) return [fact.given];
  if (fact.list) return [[], UNKNOWN];
  return fact.measure === undefined
    ? [...fact.choices.map((choice) => choice.id), UNKNOWN]
    : [MEASURED, UNKNOWN];
}

/** What names stand for at a step with these facts; `taken` where its own reading is there. */
export function namesIn(step: StepId, facts: Facts, taken: boolean): Names {
  return {
    sum: ({ kind, id }: Variable) => {
      switch (kind) {
        case "this-reading":
          return variableSum(readingVariable(step));
        case "reading":
          return variableSum(readingVariable(id));
        case "value":
          return variableSum(valueVariable(id));
        case "elapsed":
          return variableSum(`elapsed ${id}`);
        case "fact": {
          const value = facts.get(id);
          if (typeof value === "number" && Number.isFinite(value)) return constantSum(rational(value));
          return value === MEASURED ? variableSum(`fact ${id}`) : undefined;
        }
        case "has-reading":
        case "has-value":
          return undefined;
      }
    },
    text: ({ kind, id }) => {
      const value = kind === "fact" ? facts.get(id) : undefined;
      return typeof value === "string" ? value : undefined;
    },
    taken: ({ id }) => taken && id === step,
  };
}

/** No time since a step is below 0. */
function notNegative(expressions: readonly Expression[]): Formula {
  const steps = new Set(expressions.flatMap((each) => each.elapsed));
  return all([...steps].map((id) => compared(constantSum(ZERO), variableSum(`elapsed ${id}`), "<=")));
}
