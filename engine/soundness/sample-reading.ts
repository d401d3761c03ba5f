import { openRun } from "../machine/apply.ts";
import { decideReading } from "../machine/decide.ts";
import type { TypedReading } from "../machine/event.ts";
import { numericBands } from "../machine/limits.ts";
import type { Run } from "../machine/run.ts";
import { sceneOf } from "../machine/scene.ts";
import { evaluateExpression } from "../procedure/expression.ts";
import type { Limits, MeasureStep, Outcome, Procedure } from "../procedure/model.ts";
import { rangeFor } from "../quantity/accuracy.ts";
import { convert, convertDifference } from "../quantity/units.ts";
import { includedIn, limitSpan, numberEnds } from "./limit-value.ts";
import { type Interval, isEmpty, isIn, plainNumber, typedNumber } from "./plain-number.ts";

/**
 * A reading, as it would be typed with its unit, that a run where it stands judges to have this outcome, clear
 * of every limit where that can be. It was tried on the function that a run asks; where limits are only told in
 * a run, or nothing is ever too close for want of an instrument, it is a guess. Undefined where no reading does
 * it, or none was found. A `wanted` reading (corrected, in the reading unit) is taken where it has the outcome.
 */
export function sampleReading(
  procedure: Procedure,
  step: MeasureStep,
  outcome: Outcome,
  run: Run = openRun(procedure, { run: "", at: 0 }),
  at = run.opening.at,
  wanted?: number,
): string | undefined {
  let close: string | undefined;
  let guess: string | undefined;
  const first = wanted === undefined ? [] : [wanted];
  for (const value of [...first, ...candidates(procedure, step, outcome, run, at)]) {
    const reading = `${asTyped(procedure, step, withLeads(procedure, step, value))} ${step.readingUnit}`;
    const decided = decideReading(procedure, run, step, { reading, ...plainConditions(procedure, step) }, at);
    if (!decided.ok) continue;
    const untried = decided.result.outcome === "cannot" && step.value === undefined;
    if (untried || outcome === "borderline") guess ??= reading;
    if (decided.result.outcome !== outcome) continue;
    if (outcome === "borderline" || value === wanted || decided.judged?.verdict !== "too-close")
      return reading;
    close ??= reading;
  }
  return close ?? guess;
}

/** A reading, as typed, whose value lies in an interval of the step's unit, the limit nearest; undefined without. */
export function readingIn(
  procedure: Procedure,
  step: MeasureStep,
  interval: Interval,
  run: Run,
  at: number,
): string | undefined {
  const wanted = plainNumber(interval);
  if (wanted === undefined) return undefined;
  const read = convert(wanted, step.unit, step.readingUnit);
  const tried =
    step.value === undefined
      ? read === undefined
        ? []
        : [read]
      : [...solved(procedure, step, wanted, run, at), ...ANY];
  for (const value of tried) {
    const reading = `${asTyped(procedure, step, withLeads(procedure, step, value))} ${step.readingUnit}`;
    const reached = step.value === undefined ? wanted : computed(procedure, step, value, run, at);
    if (reached !== undefined && isIn(reached, interval)) return reading;
  }
  return undefined;
}

/** What is typed beside a sample, so that nothing is corrected: leads that add nothing, a part at the reference. */
export function plainConditions(procedure: Procedure, step: MeasureStep): Omit<TypedReading, "reading"> {
  const { leads, temperature, to } = step.correct ?? {};
  const specification = step.judged.by === "specification" ? step.judged.specification : "";
  const reference = to ?? procedure.specifications.get(specification)?.at;
  return {
    ...(leads === "ask" ? { leads: `0 ${step.readingUnit}` } : {}),
    ...(temperature === undefined
      ? {}
      : { temperature: reference === undefined ? "20 degC" : `${reference.value} ${reference.unit}` }),
  };
}

/** Values to try, in the reading unit, as a person would choose them first. */
function candidates(
  procedure: Procedure,
  step: MeasureStep,
  outcome: Outcome,
  run: Run,
  at: number,
): readonly number[] {
  if (step.value !== undefined) {
    const wanted = intervalsOf(procedure, step, outcome, run, at).flatMap((interval) =>
      outcome === "borderline"
        ? [interval.high, interval.low].filter(Number.isFinite)
        : (plainNumber(interval) ?? []),
    );
    return [...wanted.flatMap((value) => solved(procedure, step, value, run, at)), ...ANY];
  }
  const intervals = intervalsOf(procedure, step, outcome, run, at).flatMap((interval) => {
    const low = convert(interval.low, step.unit, step.readingUnit);
    const high = convert(interval.high, step.unit, step.readingUnit);
    return low === undefined || high === undefined ? [] : [{ ...interval, low, high }];
  });
  if (outcome === "borderline")
    return intervals.flatMap(({ low, high }) =>
      [high, low].filter(Number.isFinite).flatMap((limit) => [nearest(procedure, step, limit), limit]),
    );
  return intervals.flatMap((interval) => [
    ...[clipped(procedure, step, interval), interval].flatMap((each) => plainNumber(each) ?? []),
    ...farInside(interval),
  ]);
}

/**
 * Readings that compute to a value: exact where it rises evenly with the reading, else as near as halving comes
 * between plain numbers on either side of it.
 */
function solved(
  procedure: Procedure,
  step: MeasureStep,
  wanted: number,
  run: Run,
  at: number,
): readonly number[] {
  const off = (reading: number) => (computed(procedure, step, reading, run, at) ?? Number.NaN) - wanted;
  const [none, one] = [off(0), off(1)];
  const even = Number((none / (none - one)).toPrecision(12));
  if (Number.isFinite(even) && Math.abs(off(even)) <= 1e-9 * Math.max(1, Math.abs(wanted))) return [even];
  return RISING.flatMap((high, index) => {
    const low = RISING[index - 1];
    return low === undefined || !(off(low) * off(high) <= 0) ? [] : halved(off, low, high);
  });
}

/** Where a function changes its sign, with as many digits as halving gives. */
function halved(off: (reading: number) => number, from: number, to: number): number {
  let [low, high] = [from, to];
  for (let times = 0; times < MOST_HALVINGS; times += 1) {
    const middle = (low + high) / 2;
    if (off(low) * off(middle) <= 0) high = middle;
    else low = middle;
  }
  return Number(((low + high) / 2).toPrecision(12));
}

const MOST_HALVINGS = 50;

function computed(
  procedure: Procedure,
  step: MeasureStep,
  reading: number,
  run: Run,
  at: number,
): number | undefined {
  if (step.value === undefined) return undefined;
  const result = evaluateExpression(step.value, sceneOf(procedure, run, at, reading));
  return result.ok && typeof result.value === "number" ? result.value : undefined;
}

/** The value is computed: what it needs is only found by trying. */
const ANY: readonly number[] = [
  0,
  ...[0, -1, 1, -2, 2, -3, 3, 4, 5, 6].flatMap((power) =>
    [1, 2, 5].flatMap((digit) => [Number(`${digit}e${power}`), -Number(`${digit}e${power}`)]),
  ),
];

const RISING: readonly number[] = ANY.toSorted((a, b) => a - b);

function farInside({ low, high }: Interval): readonly number[] {
  if (Number.isFinite(low) && Number.isFinite(high)) return [low / 2 + high / 2];
  const [end, sign] = Number.isFinite(low) ? [low, 1] : [high, -1];
  if (!Number.isFinite(end)) return [];
  const size = Math.max(Math.abs(end), 1);
  return [end + sign * 3 * size, end + sign * 30 * size, sign * Infinity];
}

/** The values that have an outcome, in the step's unit; for `borderline` the intervals with its limits. */
function intervalsOf(
  procedure: Procedure,
  step: MeasureStep,
  outcome: Outcome,
  run: Run,
  at: number,
): readonly Interval[] {
  if (step.judged.by === "nothing")
    return [{ low: -Infinity, lowIncluded: true, high: Infinity, highIncluded: true }];
  const known = numericBands(procedure, run, step, sceneOf(procedure, run, at));
  if (known !== undefined)
    return known.filter((band) => outcome === "borderline" || band.outcome === outcome);
  const limits = limitsOf(procedure, step, outcome);
  const interval =
    limits && around(procedure, limits, step.unit, step.judged.by === "bands" ? "within" : outcome);
  return interval === undefined ? [] : [interval];
}

function limitsOf(procedure: Procedure, step: MeasureStep, outcome: Outcome): Limits | undefined {
  if (step.judged.by === "bands") return step.judged.bands.find((each) => each.id === outcome);
  if (step.judged.by === "nothing") return undefined;
  const specification = procedure.specifications.get(step.judged.specification);
  return specification?.open === undefined ? specification : undefined;
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

/** With the digits that the instrument shows: fewer would say less than it does. */
function asTyped(procedure: Procedure, step: MeasureStep, value: number): string {
  const plain = typedNumber(value);
  const shown = decimalsShown(procedure, step, value);
  if (shown === undefined) return plain;
  const written = plain.split(".")[1]?.length ?? 0;
  return written >= shown ? plain : value.toFixed(shown);
}

/** The value that the instrument shows, where it shows decimals. */
function nearest(procedure: Procedure, step: MeasureStep, value: number): number {
  const shown = decimalsShown(procedure, step, value);
  return shown === undefined ? value : Number(value.toFixed(shown));
}

function decimalsShown(procedure: Procedure, step: MeasureStep, value: number): number | undefined {
  const ranges = procedure.instruments.get(step.instrument ?? "")?.accuracy.get(step.quantity);
  const resolution = ranges && rangeFor(value, step.readingUnit, ranges)?.resolution;
  const digit = resolution && convertDifference(resolution.value, resolution.unit, step.readingUnit);
  if (digit === undefined || !(digit > 0 && digit < 1) || !Number.isFinite(value)) return undefined;
  return Math.min(20, Math.ceil(-Math.log10(digit) - 1e-9));
}
