import type { Limits, MeasureStep, Outcome, Procedure } from "../procedure/model.ts";
import { convert } from "../quantity/units.ts";
import { includedIn, limitSpan, numberEnds } from "./limit-value.ts";
import { type Interval, isEmpty, plainNumber, typedNumber } from "./plain-number.ts";

/**
 * A reading, as it would be typed with its unit, that a step judges to have this outcome. Undefined where the
 * limits are only known in a run, where a value is computed from the reading, or where no reading does it.
 */
export function sampleReading(procedure: Procedure, step: MeasureStep, outcome: Outcome): string | undefined {
  if (step.value !== undefined) return undefined;
  const interval = readingInterval(procedure, step, outcome);
  if (interval === undefined) return undefined;
  const value = plainNumber(clipped(procedure, step, interval)) ?? plainNumber(interval);
  if (value === undefined) return undefined;
  return `${typedNumber(withLeads(procedure, step, value))} ${step.readingUnit}`;
}

/** The values that have this outcome, in the step's reading unit. */
function readingInterval(procedure: Procedure, step: MeasureStep, outcome: Outcome): Interval | undefined {
  const inReadingUnit = (interval: Interval | undefined): Interval | undefined => {
    if (interval === undefined || step.unit === step.readingUnit) return interval;
    const low = convert(interval.low, step.unit, step.readingUnit);
    const high = convert(interval.high, step.unit, step.readingUnit);
    return low === undefined || high === undefined ? undefined : { ...interval, low, high };
  };
  if (outcome === "borderline") return borderInterval(inReadingUnit(firstBorder(procedure, step)));
  switch (step.judged.by) {
    case "nothing":
      return { low: -Infinity, lowIncluded: true, high: Infinity, highIncluded: true };
    case "bands": {
      const band = step.judged.bands.find((each) => each.id === outcome);
      return inReadingUnit(band && around(procedure, band, step.unit, "within"));
    }
    case "specification": {
      const specification = procedure.specifications.get(step.judged.specification);
      if (specification === undefined || specification.open !== undefined) return undefined;
      return inReadingUnit(around(procedure, specification, step.unit, outcome));
    }
  }
}

/** Values that lie so whatever a table gives in the run; undefined where the limits are open. */
function around(procedure: Procedure, limits: Limits, unit: string, outcome: Outcome): Interval | undefined {
  const span = limitSpan(procedure, limits, unit);
  if (span === undefined) return undefined;
  const { low, high } = span;
  const { lowIncluded, highIncluded } = includedIn(limits);
  if (outcome === "within") return { low: low.most, lowIncluded, high: high.least, highIncluded };
  if (outcome === "below")
    return { low: -Infinity, lowIncluded: true, high: low.least, highIncluded: !lowIncluded };
  if (outcome === "above")
    return { low: high.most, lowIncluded: !highIncluded, high: Infinity, highIncluded: true };
  return undefined;
}

/** The first interval with an end that is a number: at that end a reading is too close to call. */
function firstBorder(procedure: Procedure, step: MeasureStep): Interval | undefined {
  const limits =
    step.judged.by === "bands"
      ? step.judged.bands
      : step.judged.by === "specification"
        ? [procedure.specifications.get(step.judged.specification)]
        : [];
  for (const each of limits) {
    const interval = each && numberEnds(procedure, each, step.unit);
    if (interval && (Number.isFinite(interval.low) || Number.isFinite(interval.high))) return interval;
  }
  return undefined;
}

function borderInterval(interval: Interval | undefined): Interval | undefined {
  if (interval === undefined) return undefined;
  const border = Number.isFinite(interval.high) ? interval.high : interval.low;
  return { low: border, lowIncluded: true, high: border, highIncluded: true };
}

/** The part of an interval that the step finds plausible, when there is such a part. */
function clipped(procedure: Procedure, step: MeasureStep, interval: Interval): Interval {
  const plausible = step.plausible && numberEnds(procedure, step.plausible, step.readingUnit);
  if (plausible === undefined) return interval;
  const low = plausible.low > interval.low ? plausible : interval;
  const high = plausible.high < interval.high ? plausible : interval;
  const part = {
    low: low.low,
    lowIncluded: low.lowIncluded,
    high: high.high,
    highIncluded: high.highIncluded,
  };
  return isEmpty(part) ? interval : part;
}

/** The value with the leads' stated resistance put on again, since the run takes it off. */
function withLeads(procedure: Procedure, step: MeasureStep, value: number): number {
  if (step.correct?.leads !== "subtract" || step.instrument === undefined) return value;
  const leads = procedure.instruments.get(step.instrument)?.accuracy.get(step.quantity)?.[0]?.leads;
  const added = leads && convert(leads.value, leads.unit, step.readingUnit);
  return added === undefined ? value : Number((value + added).toPrecision(12));
}
