import { clearValues } from "./clear-values.ts";
import { type Corrected, correctReading } from "./correct-reading.ts";
import { formatQuantity } from "./format.ts";
import type { JudgedReading, JudgeInput, PlausibleRange, SettleAdvice } from "./judged-reading.ts";
import { parseReadings, type Readings } from "./parse-readings.ts";
import { type ReadingProblem, readingProblem } from "./reading-problem.ts";
import { settleAdvice } from "./settle.ts";
import { convert, convertDifference } from "./units.ts";
import { bandOf, sharesOf } from "./verdict.ts";

export type { JudgedReading, JudgeInput, SettleAdvice } from "./judged-reading.ts";

type Judgement =
  | { readonly ok: true; readonly judged: JudgedReading }
  | { readonly ok: false; readonly problem: ReadingProblem };

/**
 * What a typed reading means, or why it can't be taken. Leads are subtracted first, then the temperature is
 * brought to the reference, then `value` is applied and u propagated to first order; the value picks its band
 * by `bandOf`, and the call is too close when that band holds the true value with less than `decideAt`.
 * Over range is never corrected and never too close. Without accuracy conformance is null.
 */
export function judgeReading(input: JudgeInput): Judgement {
  const parsed = parseReadings(input.typed.reading, input.readingUnit);
  if (!parsed.ok) return parsed;
  const { reading } = parsed;
  if (input.plausible && !isPlausible(reading, input.plausible)) return implausible(input, reading);
  const corrected = correctReading(input, reading);
  if ("problem" in corrected) return corrected;
  const value = judgedValue(input, corrected.value);
  if (value === undefined && input.value === undefined)
    return readingProblem("bad-set-up", reading.text, { units: `${input.readingUnit}, ${input.unit}` });
  if (value === undefined || Number.isNaN(value))
    return readingProblem("no-value", reading.text, { unit: input.readingUnit });
  const u = corrected.budget && propagated(input, corrected.value, value, corrected.budget.u);
  return decide(input, reading, corrected, value, u);
}

function isPlausible({ value, several }: Readings, plausible: PlausibleRange): boolean {
  const { low, high, lowIncluded = true, highIncluded = true } = plausible;
  const lowest = several?.low ?? value;
  const highest = several?.high ?? value;
  return (lowIncluded ? lowest >= low : lowest > low) && (highIncluded ? highest <= high : highest < high);
}

function implausible(input: JudgeInput, reading: Readings): Judgement {
  const { low, high } = input.plausible ?? { low: -Infinity, high: Infinity };
  const unit = input.readingUnit;
  const ends = [
    low > -Infinity ? `from ${formatQuantity(low, unit)}` : "",
    high < Infinity ? `to ${formatQuantity(high, unit)}` : "",
  ];
  const range = ends.filter((end) => end !== "").join(" ");
  return readingProblem("implausible", reading.text, { unit, range });
}

/** What is judged, from a corrected reading: `value:` where there is one, else the unit changed. */
function judgedValue(input: JudgeInput, corrected: number): number | undefined {
  if (input.value !== undefined) return input.value(corrected);
  return input.unit === input.readingUnit ? corrected : convert(corrected, input.readingUnit, input.unit);
}

/** u of what is judged, by central difference over the corrected reading (GUM 5.1.3, note 2). */
function propagated(input: JudgeInput, corrected: number, value: number, u: number): number | undefined {
  if (!Number.isFinite(corrected) || !Number.isFinite(value)) return undefined;
  if (input.value === undefined) {
    if (input.unit === input.readingUnit) return u;
    const converted = convertDifference(u, input.readingUnit, input.unit);
    return converted === undefined ? undefined : Math.abs(converted);
  }
  if (u === 0) return 0;
  const step = Math.max(Math.abs(corrected) * 1e-6, u * 1e-3);
  const above = input.value(corrected + step);
  const below = input.value(corrected - step);
  const high = above !== undefined && Number.isFinite(above) ? above : value;
  const low = below !== undefined && Number.isFinite(below) ? below : value;
  const width =
    (high === value && above !== value ? 0 : step) + (low === value && below !== value ? 0 : step);
  return width === 0 ? undefined : (Math.abs(high - low) / width) * u;
}

function decide(
  input: JudgeInput,
  reading: Readings,
  corrected: Corrected,
  value: number,
  u: number | undefined,
): Judgement {
  const { bands, scheme } = input;
  const recordOnly = bands.length === 0;
  const picked = recordOnly ? "taken" : bandOf(value, bands);
  if (picked === undefined) return readingProblem("no-band", reading.text, { unit: input.readingUnit });
  const over = !Number.isFinite(value);
  const judgeable = !recordOnly && input.ranges !== undefined && (u !== undefined || over);
  const shares = judgeable && input.ranges.length > 0 ? sharesOf(value, u ?? 0, bands) : undefined;
  const conformance = shares === undefined ? null : (shares[picked] ?? 0);
  const tooClose = !over && conformance !== null && conformance < input.decideAt;
  // Filled in place: spreading what may be absent costs more than all the arithmetic.
  const judged: Draft = {
    typed: reading.text,
    read: reading.value,
    readingUnit: input.readingUnit,
    lastDigit: reading.lastDigit,
    corrected: corrected.value,
    value,
    unit: input.unit,
    corrections: corrected.corrections,
    picked,
    bands,
    verdict: tooClose ? "too-close" : scheme === "specification" ? specificationVerdict(picked) : "none",
    conformance,
    settle: NO_ADVICE,
  };
  if (u !== undefined) judged.u = u;
  if (corrected.budget !== undefined) judged.budget = corrected.budget;
  if (shares !== undefined) judged.shares = shares;
  if (reading.several !== undefined) judged.count = reading.several.count;
  if (tooClose) {
    judged.clear = clearValues(judged, input.decideAt);
    judged.settle = settleAdvice(input, judged, corrected.temperature);
  }
  return { ok: true, judged };
}

type Draft = { -readonly [Key in keyof JudgedReading]: JudgedReading[Key] };

const NO_ADVICE: readonly SettleAdvice[] = [];

function specificationVerdict(picked: string): "within" | "below" | "above" | "none" {
  return picked === "within" || picked === "below" || picked === "above" ? picked : "none";
}
