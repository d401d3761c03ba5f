import { evaluateExpression, usesThisReading } from "../procedure/expression.ts";
import type { Branch, Expression, FactValue, MeasureStep, Procedure, StepId } from "../procedure/model.ts";
import type { Analysis } from "./analysis.ts";
import { all, compared, constantSum, type Formula, variableSum } from "./formula.ts";
import { conditionOf } from "./formula-of.ts";
import { limitSpan } from "./limit-value.ts";
import { rational } from "./rational.ts";
import { judgedLimits, outcomeFormula, plausibleFormula, readingVariable } from "./reading-ranges.ts";
import { satisfiable } from "./satisfiable.ts";
import { atVisit, type FirstWalk, type Wanted } from "./witness-values.ts";

type Value = string | number | readonly string[];

/** What a condition goes by: a reading at one of its visits, or a fact. */
interface Tried {
  readonly name: string;
  readonly values: readonly Value[];
  /** Those of them that are clear of every limit. */
  readonly clear: readonly Value[];
}

/** A branch on the way, with the visits that its readings are of. */
interface Passed {
  readonly branch: Branch;
  readonly arm: number;
  readonly place: number;
  readonly visits: ReadonlyMap<StepId, number>;
}

/**
 * Readings and facts with which the last condition on a way holds, where it says more than sums can, as the product
 * of two readings: plain numbers of their bands, choices and the codes that it names are tried for one of them, then
 * for two at once, the others as they were on the first walk. Undefined where none was found, or the condition is one
 * that sums can decide.
 */
export function triedOn(analysis: Analysis, way: readonly number[], first: FirstWalk): Wanted | undefined {
  const { procedure, flow } = analysis;
  const end = flow.edges[way.at(-1) ?? -1];
  if (end?.branch === undefined || typeof end.arm !== "number") return undefined;
  if (!conditionsTo(end.branch, end.arm).some(isMoreThanSums)) return undefined;
  const passed: Passed[] = [];
  const outcomes = new Map<string, string>();
  const visits = new Map<StepId, number>();
  for (const [place, id] of way.entries()) {
    const { branch, arm } = flow.edges[id] ?? {};
    if (branch === undefined) continue;
    const { outcome } = branch;
    const step = procedure.steps.get(branch.step);
    if (step?.kind === "measure" && outcome !== "cannot" && outcome !== "stop") {
      const visit = (visits.get(step.id) ?? 0) + 1;
      visits.set(step.id, visit);
      outcomes.set(atVisit(step.id, visit), outcome);
    }
    if (typeof arm === "number" && branch.arms.length > 1)
      passed.push({ branch, arm, place, visits: new Map(visits) });
  }
  const last = passed.at(-1);
  if (last === undefined) return undefined;
  // The last is the one that most values fail at.
  passed.reverse();
  const tried = triedIn(procedure, last, outcomes, first);
  const holds = (values: ReadonlyMap<string, Value>) =>
    passed.every((each) => takes(procedure, each, values, first));
  // A reading at a limit is too close to call: those clear of it go first.
  const clear = tried.map((each) => ({ ...each, values: each.clear }));
  let left = MOST_COMBINATIONS;
  for (const some of [clear, tried])
    for (const values of combinationsOf(some)) {
      if (left === 0) return undefined;
      left -= 1;
      if (holds(values)) return wantedOf(procedure, values, visits, first);
    }
  return undefined;
}

/** More combinations of values are not tried for one condition. */
const MOST_COMBINATIONS = 5_000;

function conditionsTo({ arms }: Branch, arm: number): readonly Expression[] {
  return arms.slice(0, arm + 1).flatMap((each) => each.if ?? []);
}

function isMoreThanSums(condition: Expression): boolean {
  const open = (formula: Formula): boolean => {
    switch (formula.kind) {
      case "free":
        return true;
      case "known":
      case "compared":
        return false;
      case "not":
        return open(formula.part);
      case "and":
      case "or":
        return formula.parts.some(open);
    }
  };
  return open(
    conditionOf(condition, {
      sum: ({ kind, id }) => variableSum(`${kind} ${id}`),
      text: () => "",
      taken: () => true,
      size: ({ id }) => variableSum(`size ${id}`),
      listed: () => all([]),
    }),
  );
}

/** What the last branch goes by, with the values to try. */
function triedIn(
  procedure: Procedure,
  last: Passed,
  outcomes: ReadonlyMap<string, string>,
  first: FirstWalk,
): readonly Tried[] {
  const conditions = conditionsTo(last.branch, last.arm);
  const own = conditions.some(usesThisReading) ? [last.branch.step] : [];
  const tried: Tried[] = [];
  for (const id of new Set([...own, ...conditions.flatMap((each) => each.readings)])) {
    const step = procedure.steps.get(id);
    const name = atVisit(id, last.visits.get(id) ?? 0);
    const outcome = outcomes.get(name);
    if (step?.kind !== "measure" || outcome === undefined) continue;
    const known = first.readings.get(name);
    const anchors = [...(known === undefined ? [] : [known]), ...endsOf(procedure, step, outcome)];
    const near = anchors.flatMap((at) => NEAR.map((factor) => Number((at * factor).toPrecision(6))));
    const fitting = [...near, ...PLAIN].filter((value) => fits(procedure, step, outcome, value));
    const isClear = (value: number) =>
      [0.98, 1.02].every((factor) => fits(procedure, step, outcome, Number((value * factor).toPrecision(6))));
    tried.push({ name, values: fitting, clear: fitting.filter(isClear) });
  }
  for (const id of new Set(conditions.flatMap((each) => each.facts))) {
    const fact = procedure.facts.get(id);
    if (fact === undefined || fact.given !== undefined) continue;
    const values = fact.measure
      ? PLAIN
      : fact.list
        ? listsIn(conditions)
        : fact.choices.map((each) => each.id);
    tried.push({ name: factName(id), values, clear: values });
  }
  return tried;
}

/** Whether a reading of a step has an outcome by its fixed limits; where its value is computed, it may. */
function fits(procedure: Procedure, step: MeasureStep, outcome: string, value: number): boolean {
  const is = compared(variableSum(readingVariable(step.id)), constantSum(rational(value)), "==");
  return (
    satisfiable(all([plausibleFormula(procedure, step), outcomeFormula(procedure, step, outcome), is])) !==
    false
  );
}

/** The fixed limits of an outcome, in the reading unit. */
function endsOf(procedure: Procedure, step: MeasureStep, outcome: string): readonly number[] {
  const limits = step.value === undefined ? judgedLimits(procedure, step, outcome) : undefined;
  const span = limits && limitSpan(procedure, limits, step.readingUnit);
  return span === undefined
    ? []
    : [span.low, span.high].flatMap(({ least, most }) =>
        least === most && Number.isFinite(least) ? [least] : [],
      );
}

/** No code, one of those that the conditions name, all of them, and one more. */
function listsIn(conditions: readonly Expression[]): readonly (readonly string[])[] {
  const named = new Set(
    conditions.flatMap(({ text }) =>
      [...text.matchAll(/"([^"\\]*)"|'([^'\\]*)'/g)].map((each) => each[1] ?? each[2] ?? ""),
    ),
  );
  const codes = [...named].filter((code) => code !== "" && !/\s/.test(code));
  return [[], ...codes.map((code) => [code]), codes, [...codes, OTHER_CODE], [OTHER_CODE]];
}

const OTHER_CODE = "X0001";

/** Each value by itself; then two at once, some of each. */
function* combinationsOf(tried: readonly Tried[]): Generator<ReadonlyMap<string, Value>> {
  for (const { name, values } of tried) for (const value of values) yield new Map([[name, value]]);
  const some = tried.map(({ name, values }) => ({ name, values: spread(values) }));
  for (const [at, one] of some.entries())
    for (const other of some.slice(at + 1))
      for (const a of one.values)
        for (const b of other.values)
          yield new Map([
            [one.name, a],
            [other.name, b],
          ]);
}

/** So many of each are tried two at once. */
const MOST_PAIRED = 24;

function spread(values: readonly Value[]): readonly Value[] {
  const every = Math.ceil(values.length / MOST_PAIRED);
  return values.filter((_, at) => at % every === 0);
}

/** Whether a run with these values, and all else as on the first walk, takes the arm. */
function takes(
  procedure: Procedure,
  { branch, arm, place, visits }: Passed,
  values: ReadonlyMap<string, Value>,
  first: FirstWalk,
): boolean {
  const reading = (id: StepId) => {
    const name = atVisit(id, visits.get(id) ?? 0);
    const value = values.get(name) ?? first.readings.get(name);
    return typeof value === "number" ? value : undefined;
  };
  const own = reading(branch.step);
  const scene = {
    fact: (id: string): FactValue | undefined =>
      procedure.facts.get(id)?.given ?? values.get(factName(id)) ?? first.facts.get(id),
    reading,
    value: (id: StepId) => {
      const step = procedure.steps.get(id);
      const isPlain = step?.kind === "measure" && step.value === undefined && step.unit === step.readingUnit;
      return isPlain ? reading(id) : undefined;
    },
    elapsed: (step: StepId) => first.elapsed(place, step),
    ...(own === undefined ? {} : { thisReading: own }),
  };
  const end = branch.arms.length - 1;
  for (const [index, { if: condition }] of branch.arms.entries()) {
    if (condition === undefined) return index === arm;
    const found = evaluateExpression(condition, scene);
    if (!found.ok) return found.why === "unknown-fact" && arm === end;
    if (found.value === true) return index === arm;
  }
  return arm === end;
}

function wantedOf(
  procedure: Procedure,
  values: ReadonlyMap<string, Value>,
  visits: ReadonlyMap<StepId, number>,
  first: FirstWalk,
): Wanted {
  const facts = new Map<string, string | number | readonly string[]>();
  for (const [id, value] of first.facts)
    if (typeof value !== "object" || !("unknown" in value)) facts.set(id, value);
  for (const id of procedure.facts.keys()) {
    const value = values.get(factName(id));
    if (value !== undefined) facts.set(id, value);
  }
  const readings = new Map<StepId, readonly number[]>();
  for (const [step, count] of visits)
    readings.set(
      step,
      Array.from({ length: count }, (_, at) => {
        const name = atVisit(step, at + 1);
        const value = values.get(name) ?? first.readings.get(name);
        return typeof value === "number" ? value : Number.NaN;
      }),
    );
  return { facts, readings };
}

function factName(id: string): string {
  return `fact ${id}`;
}

const PLAIN: readonly number[] = [
  0,
  ...[0, -1, 1, -2, 2, -3, 3, 4, 5].flatMap((power) =>
    [1, 2, 5].flatMap((digit) => [Number(`${digit}e${power}`), -Number(`${digit}e${power}`)]),
  ),
];

/** Beside a reading or a limit, for narrow bands. */
const NEAR: readonly number[] = [1, 0.5, 1.5, 0.8, 1.2, 0.9, 1.1, 0.95, 1.05, 0.97, 1.03, 0.99, 1.01];
