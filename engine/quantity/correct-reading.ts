/** Leads off, then to the reference temperature: what a reading is before it is judged. */
import {
  type AccuracyRange,
  type Budget,
  type BudgetLine,
  budgetOf,
  rectangular,
  uncertaintyOf,
} from "./accuracy.ts";
import {
  isMetal,
  METALS,
  referenceDoubt,
  referenceFactor,
  subtractLeads,
  toReferenceTemperature,
} from "./correct.ts";
import { formatNumber, formatQuantity } from "./format.ts";
import { inUnit } from "./in-unit.ts";
import type { AppliedCorrection, JudgeInput } from "./judged-reading.ts";
import { parseReading } from "./parse-reading.ts";
import { parseReadings, type Readings } from "./parse-readings.ts";
import { type ReadingProblem, readingProblem } from "./reading-problem.ts";
import { convert, convertDifference } from "./units.ts";

/** A corrected reading with its budget, in the reading unit. */
export interface Corrected {
  readonly value: number;
  readonly budget: Budget | undefined;
  readonly corrections: readonly AppliedCorrection[];
  readonly temperature?: number;
}

const NO_CORRECTIONS: readonly AppliedCorrection[] = [];

/**
 * A reading with its leads subtracted first and then brought to the reference temperature, with the doubt that
 * each adds; over range comes back as it is, or why it can't be corrected.
 */
export function correctReading(
  input: JudgeInput,
  reading: Readings,
): Corrected | { readonly ok: false; readonly problem: ReadingProblem } {
  const { correct, readingUnit, ranges } = input;
  const known = ranges !== undefined && ranges.length > 0;
  const budget = known ? budgetOfReadings(reading, readingUnit, ranges) : undefined;
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

/** The instrument's doubt at the mean, and the scatter of what was averaged. */
function budgetOfReadings(
  { value, lastDigit, several }: Readings,
  unit: string,
  ranges: readonly AccuracyRange[],
): Budget | undefined {
  const budget = uncertaintyOf(value, unit, lastDigit, ranges);
  if (several === undefined || several.scatter === 0) return budget;
  return withLine(budget, { part: "scatter", u: several.scatter });
}

function withoutLeads(
  input: JudgeInput,
  before: Corrected,
  how: "subtract" | "ask",
): Corrected | { readonly ok: false; readonly problem: ReadingProblem } {
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
    budget: withLine(before.budget, leads.line),
    corrections: [{ kind: "leads", amount: -leads.value, from: measured ? "measured" : "stated" }],
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
  const parsed = parseReadings(text, unit);
  if (!parsed.ok) return { ok: false, problem: { ...parsed.problem, field: "leads" } };
  const { value } = parsed.reading;
  if (!Number.isFinite(value)) return readingProblem("leads-open", text, { unit }, "leads");
  const budget = input.ranges && budgetOfReadings(parsed.reading, unit, input.ranges);
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

function withLine(budget: Budget | undefined, line: BudgetLine | undefined): Budget | undefined {
  return budget === undefined || line === undefined ? budget : budgetOf(budget.unit, [...budget.lines, line]);
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
  const at = inUnit(parsed.reading.value, "degC");
  const reference = input.correct?.to;
  const degrees = reference === undefined ? 20 : convert(reference.value, reference.unit, "degC");
  if (degrees === undefined || !isMetal(metal))
    return readingProblem("bad-set-up", text, { unit: "degC", units: `${metal}, ${reference?.unit ?? ""}` });
  const to = inUnit(degrees, "degC");
  const thermometer =
    input.temperatureRanges && uncertaintyOf(at, "degC", parsed.reading.lastDigit, input.temperatureRanges);
  const after = toReferenceTemperature({ value: before.value, u: 0 }, metal, at, to, thermometer?.u ?? 0);
  if (after === undefined) {
    const { low, high } = METALS[metal];
    const range = `${formatNumber(low)} to ${formatQuantity(high, "degC")}`;
    return readingProblem("temperature-out-of-range", text, { unit: "degC", range }, "temperature");
  }
  const factor = referenceFactor(metal, at, to);
  const part = lineOf("temperature", after.u);
  const within = input.correct?.toWithin;
  const kelvins = within === undefined ? 0 : (convertDifference(within.value, within.unit, "degC") ?? 0);
  const conditions = lineOf("conditions", referenceDoubt(before.value, metal, at, rectangular(kelvins)));
  return {
    value: after.value,
    budget: withLine(withLine(before.budget && scaled(before.budget, Math.abs(factor)), part), conditions),
    corrections: [
      ...before.corrections,
      { kind: "temperature", amount: after.value - before.value, metal, at, to },
    ],
    temperature: at,
  };
}

function lineOf(part: BudgetLine["part"], u: number): BudgetLine | undefined {
  return u > 0 ? { part, u } : undefined;
}

/** A budget of something that grows with the reading by a factor. */
function scaled({ unit, lines }: Budget, factor: number): Budget {
  const grown = lines.map((line) => {
    const copy: { -readonly [Key in keyof BudgetLine]: BudgetLine[Key] } = {
      part: line.part,
      u: line.u * factor,
    };
    if (line.stated !== undefined) copy.stated = line.stated;
    if (line.halfWidth !== undefined) copy.halfWidth = line.halfWidth;
    return copy;
  });
  return budgetOf(unit, grown);
}
