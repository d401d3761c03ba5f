import type { Limit, MeasureStep, Outcome, Procedure } from "../procedure/model.ts";
import {
  addedSums,
  all,
  any,
  compared,
  constantSum,
  type Formula,
  HOLDS,
  type Linear,
  scaledSum,
  variableSum,
} from "./formula.ts";
import { type Case, casesOf, type Names } from "./formula-of.ts";
import { limitValue, type TableLimit } from "./limit-value.ts";
import { inverse, negated, plus, rational, times } from "./rational.ts";
import { judgedLimits, readingVariable, valueVariable } from "./reading-ranges.ts";

/** The tables that decide whether a step has an outcome. */
export function tablesOf(procedure: Procedure, step: MeasureStep, outcome: Outcome): readonly TableLimit[] {
  const { low, high } = judgedLimits(procedure, step, outcome) ?? {};
  return [low, high].flatMap((end) => tableOf(procedure, step, end?.limit) ?? []);
}

/**
 * Where a step's reading has to lie for an outcome by the limits that come from tables: exact, as far as what the
 * tables go by is linear. Fixed limits are left to `outcomeFormula`.
 */
export function tableFormula(
  procedure: Procedure,
  step: MeasureStep,
  outcome: Outcome,
  names: Names,
): Formula {
  const { low, high } = judgedLimits(procedure, step, outcome) ?? {};
  const value = variableSum(step.value === undefined ? readingVariable(step.id) : valueVariable(step.id));
  const relation = (included: boolean) => (included ? "<=" : "<");
  const [lows, highs] = [low, high].map((end) => {
    const table = tableOf(procedure, step, end?.limit);
    const by = table && casesOf(table.by, names);
    return table && by?.flatMap((each) => limitCases(table, each));
  });
  return all([
    low && lows
      ? any(lows.map((each) => held(each, compared(each.sum, value, relation(low.included)))))
      : HOLDS,
    high && highs
      ? any(highs.map((each) => held(each, compared(value, each.sum, relation(high.included)))))
      : HOLDS,
  ]);
}

function held({ guard }: Case, part: Formula): Formula {
  return all([guard, part]);
}

/**
 * A limit from a table, in the unit of the step's value, or of its reading where nothing is computed. One over the
 * step's own reading goes by an earlier visit: it is left out.
 */
function tableOf(procedure: Procedure, step: MeasureStep, limit: Limit | undefined): TableLimit | undefined {
  const unit = step.value === undefined ? step.readingUnit : step.unit;
  const value = limit && limitValue(procedure, limit, unit);
  return value?.kind === "table" && !value.by.readings.includes(step.id) ? value : undefined;
}

/** What a table gives: straight between its rows, the end value outside them. */
function limitCases({ points }: TableLimit, by: Case): readonly Case[] {
  const cases: Case[] = [];
  let before = points[0];
  for (const point of points) {
    if (before === undefined) break;
    const [x, y] = [constantSum(rational(point[0])), constantSum(rational(point[1]))];
    const [bx] = before;
    if (point === before) cases.push(within(by, [compared(by.sum, x, "<=")], y));
    else
      cases.push(
        within(
          by,
          [compared(constantSum(rational(bx)), by.sum, "<="), compared(by.sum, x, "<=")],
          between(before, point, by.sum),
        ),
      );
    before = point;
  }
  if (before !== undefined)
    cases.push(
      within(
        by,
        [compared(constantSum(rational(before[0])), by.sum, "<=")],
        constantSum(rational(before[1])),
      ),
    );
  return cases;
}

function within({ guard }: Case, where: readonly Formula[], sum: Linear): Case {
  return { guard: all([guard, ...where]), sum };
}

type Point = readonly [x: number, y: number];

function between([ax, ay]: Point, [bx, by]: Point, x: Linear): Linear {
  const [left, low] = [rational(ax), rational(ay)];
  const run = plus(rational(bx), negated(left));
  const rise = plus(rational(by), negated(low));
  const slope = times(rise, inverse(run));
  const from = constantSum(plus(low, negated(times(slope, left))));
  // A flat piece hangs on nothing.
  const part = scaledSum(x, slope);
  return (part && addedSums(part, from)) ?? constantSum(low);
}
