import type { Limits, MeasureStep, Outcome, Procedure, StepId } from "../procedure/model.ts";
import { convert } from "../quantity/units.ts";
import { all, any, compared, constantSum, type Formula, HOLDS, type Linear, variableSum } from "./formula.ts";
import { limitSpan } from "./limit-value.ts";
import { rational } from "./rational.ts";

/** The variable that stands for a step's corrected reading, in its reading unit. */
export function readingVariable(step: StepId): string {
  return `reading ${step}`;
}

/** The variable that stands for a step's value, in its unit. */
export function valueVariable(step: StepId): string {
  return `value ${step}`;
}

/**
 * What a step's reading and value can be when its outcome was one of these; with `undefined`, any. Limits that
 * only a run knows count as anything.
 */
export function rangeFormula(
  procedure: Procedure,
  step: MeasureStep,
  outcomes: ReadonlySet<Outcome> | undefined,
): Formula {
  const judged =
    outcomes === undefined
      ? HOLDS
      : any([...outcomes].map((outcome) => outcomeFormula(procedure, step, outcome)));
  return all([plausibleFormula(procedure, step), judged]);
}

/** A step's readings that are not asked for again; anything where a correction comes between. */
export function plausibleFormula(procedure: Procedure, step: MeasureStep): Formula {
  if (step.plausible === undefined || step.correct !== undefined) return HOLDS;
  return insideFormula(
    procedure,
    step.plausible,
    step.readingUnit,
    variableSum(readingVariable(step.id)),
    step.readingUnit,
  );
}

/** The values that have an outcome; anything for `taken` and `borderline`, which hang on more. */
export function outcomeFormula(procedure: Procedure, step: MeasureStep, outcome: Outcome): Formula {
  const limits = judgedLimits(procedure, step, outcome);
  if (limits === undefined) return HOLDS;
  const value = insideFormula(procedure, limits, step.unit, variableSum(valueVariable(step.id)), step.unit);
  if (step.value !== undefined) return value;
  return all([
    value,
    insideFormula(procedure, limits, step.unit, variableSum(readingVariable(step.id)), step.readingUnit),
  ]);
}

/** A step's computed value, given as a sum, lies where it has this outcome. */
export function sumInOutcome(
  procedure: Procedure,
  step: MeasureStep,
  outcome: Outcome,
  sum: Linear,
): Formula {
  const limits = judgedLimits(procedure, step, outcome);
  return limits === undefined ? HOLDS : insideFormula(procedure, limits, step.unit, sum, step.unit);
}

/** Where a value has to lie for an outcome; undefined for those that hang on more, or on limits told in a run. */
export function judgedLimits(procedure: Procedure, step: MeasureStep, outcome: Outcome): Limits | undefined {
  if (step.judged.by === "bands") return step.judged.bands.find(({ id }) => id === outcome);
  if (step.judged.by === "nothing") return undefined;
  const specification = procedure.specifications.get(step.judged.specification);
  if (specification === undefined || specification.open !== undefined) return undefined;
  const { low, high } = specification;
  switch (outcome) {
    case "within":
      return specification;
    case "below":
      return low && { high: { limit: low.limit, included: !low.included } };
    case "above":
      return high && { low: { limit: high.limit, included: !high.included } };
    default:
      return undefined;
  }
}

function insideFormula(
  procedure: Procedure,
  limits: Limits,
  unit: string,
  value: Linear,
  valueUnit: string,
): Formula {
  const span = limitSpan(procedure, limits, unit);
  if (span === undefined) return HOLDS;
  const ends: Formula[] = [];
  const { low, high } = span;
  const least = convert(low.least, unit, valueUnit);
  const most = convert(high.most, unit, valueUnit);
  // Between the ends of a table the limit itself may lie anywhere, so that the end counts as in it.
  if (least !== undefined && Number.isFinite(least)) {
    const open = low.least === low.most && limits.low?.included === false;
    ends.push(compared(constantSum(rational(least)), value, open ? "<" : "<="));
  }
  if (most !== undefined && Number.isFinite(most)) {
    const open = high.least === high.most && limits.high?.included === false;
    ends.push(compared(value, constantSum(rational(most)), open ? "<" : "<="));
  }
  return all(ends);
}
