import { type Budget, type BudgetLine, budgetOf, uncertaintyOf } from "./accuracy.ts";
import { isMetal, METALS, referenceFactor, subtractLeads, toReferenceTemperature } from "./correct.ts";
import { formatNumber, formatQuantity } from "./format.ts";
import type { AppliedCorrection, JudgedReading, JudgeInput, SettleAdvice } from "./judged-reading.ts";
import { parseReading, type Reading, type ReadingProblem } from "./parse-reading.ts";
import { readingProblem } from "./reading-problem.ts";
import { settleAdvice } from "./settle.ts";
import { convert, convertDifference } from "./units.ts";
import { bandOf, sharesOf } from "./verdict.ts";

export type { JudgedReading, JudgeInput, SettleAdvice } from "./judged-reading.ts";

type Judgement =
  | { readonly ok: true; readonly judged: JudgedReading }
  | { readonly ok: false; readonly problem: ReadingProblem };

/** A corrected reading with its budget, in the reading unit. */
interface Corrected {
  readonly value: number;
  readonly budget: Budget | undefined;
  readonly corrections: readonly AppliedCorrection[];
  readonly temperature?: number;
}

const NO_CORRECTIONS: readonly AppliedCorrection[] = [];

/**
 * What a typed reading means, or why it can't be taken. Leads are subtracted first, then the temperature is
 * brought to the reference, then `value` is applied and u propagated to first order; the value picks its band
 * by `bandOf`, and the call is too close when that band holds the true value with less than `decideAt`.
 * Over range is never corrected and never too close. Without accuracy conformance is null.
 */
export function judgeReading(input: JudgeInput): Judgement {
  const parsed = parseReading(input.typed.reading, input.readingUnit);
  if (!parsed.ok) return parsed;
  const { reading } = parsed;
  const { plausible } = input;
  if (plausible && !(reading.value >= plausible.low && reading.value <= plausible.high))
    return implausible(input, reading);
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

function implausible(input: JudgeInput, reading: Reading): Judgement {
  const { low, high } = input.plausible ?? { low: -Infinity, high: Infinity };
  const unit = input.readingUnit;
  const ends = [
    low > -Infinity ? `from ${formatQuantity(low, unit)}` : "",
    high < Infinity ? `to ${formatQuantity(high, unit)}` : "",
  ];
  const range = ends.filter((end) => end !== "").join(" ");
  return readingProblem("implausible", reading.text, { unit, range });
}

function correctReading(
  input: JudgeInput,
  reading: Reading,
): Corrected | { readonly ok: false; readonly problem: ReadingProblem } {
  const { correct, readingUnit, ranges } = input;
  const known = ranges !== undefined && ranges.length > 0;
  const budget = known ? uncertaintyOf(reading.value, readingUnit, reading.lastDigit, ranges) : undefined;
  let result: Corrected = { value: reading.value, budget, corrections: NO_CORRECTIONS };
  // Over range stays over range at any temperature, so nothing more is asked for.
  if (correct === undefined || !Number.isFinite(reading.value)) return result;
  if (correct.leads !== undefined) {
    const after = withoutLeads(input, result, correct.leads);
    if ("problem" in after) return after;
    result = after;
  }
  return correct.temperature === undefined ? result : atReference(input, result, correct.temperature.metal);
}

function withoutLeads(
  input: JudgeInput,
  before: Corrected,
  how: "subtract" | "ask",
): Corrected | { readonly ok: false; readonly problem: ReadingProblem } {
  const unit = input.readingUnit;
  // Leads that were measured go before leads that are stated, whatever the step asks for.
  const measured = how === "ask" || input.typed.leads !== undefined;
  const leads = measured ? measuredLeads(input) : statedLeads(input);
  if ("problem" in leads) return leads;
  if (leads.value === 0) return before;
  const after = subtractLeads(
    { value: before.value, u: before.budget?.u ?? 0 },
    { value: leads.value, u: leads.line?.u ?? 0 },
  );
  return {
    value: after.value,
    budget: before.budget && withLine(before.budget, leads.line),
    corrections: [
      ...before.corrections,
      {
        kind: "leads",
        amount: -leads.value,
        by: `${formatQuantity(leads.value, unit)} ${measured ? "measured" : "stated"}`,
      },
    ],
  };
}

interface Leads {
  readonly value: number;
  readonly line?: BudgetLine;
}

function measuredLeads(input: JudgeInput): Leads | { readonly ok: false; readonly problem: ReadingProblem } {
  const unit = input.readingUnit;
  const text = input.typed.leads;
  if (text === undefined || text.trim() === "") return readingProblem("leads-missing", "", { unit }, "leads");
  const parsed = parseReading(text, unit);
  if (!parsed.ok) return { ok: false, problem: { ...parsed.problem, field: "leads" } };
  const { value, lastDigit } = parsed.reading;
  if (!Number.isFinite(value)) return readingProblem("leads-open", text, { unit }, "leads");
  const budget = input.ranges && uncertaintyOf(value, unit, lastDigit, input.ranges);
  return budget === undefined ? { value } : { value, line: { part: "leads", u: budget.u } };
}

/** The leads as the instrument states them; 0 where it states nothing. */
function statedLeads(input: JudgeInput): Leads {
  const range = input.ranges?.find((one) => one.leads !== undefined);
  const { leads, leadsWithin } = range ?? {};
  const value = leads && convertDifference(leads.value, leads.unit, input.readingUnit);
  if (value === undefined) return { value: 0 };
  const within = leadsWithin && convertDifference(leadsWithin.value, leadsWithin.unit, input.readingUnit);
  return within === undefined
    ? { value }
    : { value, line: { part: "leads", halfWidth: within, u: within / Math.sqrt(3) } };
}

function withLine(budget: Budget, line: BudgetLine | undefined): Budget {
  return line === undefined ? budget : budgetOf(budget.unit, [...budget.lines, line]);
}

function atReference(
  input: JudgeInput,
  before: Corrected,
  metal: string,
): Corrected | { readonly ok: false; readonly problem: ReadingProblem } {
  const text = input.typed.temperature;
  if (text === undefined || text.trim() === "")
    return readingProblem("temperature-missing", "", { unit: "degC" }, "temperature");
  const parsed = parseReading(text, "degC");
  if (!parsed.ok) return { ok: false, problem: { ...parsed.problem, field: "temperature" } };
  const at = parsed.reading.value;
  const reference = input.correct?.to;
  const to = reference === undefined ? 20 : convert(reference.value, reference.unit, "degC");
  if (to === undefined || !isMetal(metal))
    return readingProblem("bad-set-up", text, { unit: "degC", units: `${metal}, ${reference?.unit ?? ""}` });
  const thermometer =
    input.temperatureRanges && uncertaintyOf(at, "degC", parsed.reading.lastDigit, input.temperatureRanges);
  const after = toReferenceTemperature({ value: before.value, u: 0 }, metal, at, to, thermometer?.u ?? 0);
  if (after === undefined) {
    const { low, high } = METALS[metal];
    const range = `${formatNumber(low)} to ${formatQuantity(high, "degC")}`;
    return readingProblem("temperature-out-of-range", text, { unit: "degC", range }, "temperature");
  }
  const factor = referenceFactor(metal, at, to);
  const scaled = before.budget?.lines.map((line) => ({ ...line, u: line.u * Math.abs(factor) }));
  const lines = scaled && after.u > 0 ? [...scaled, { part: "temperature" as const, u: after.u }] : scaled;
  return {
    value: after.value,
    budget: before.budget && lines && budgetOf(before.budget.unit, lines),
    corrections: [
      ...before.corrections,
      {
        kind: "temperature",
        amount: after.value - before.value,
        by: `${metal}, ${formatQuantity(at, "degC")} to ${formatQuantity(to, "degC")}`,
      },
    ],
    temperature: at,
  };
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
  reading: Reading,
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
  if (tooClose) judged.settle = settleAdvice(input, judged, corrected.temperature);
  return { ok: true, judged };
}

type Draft = { -readonly [Key in keyof JudgedReading]: JudgedReading[Key] };

const NO_ADVICE: readonly SettleAdvice[] = [];

function specificationVerdict(picked: string): "within" | "below" | "above" | "none" {
  return picked === "within" || picked === "below" || picked === "above" ? picked : "none";
}
