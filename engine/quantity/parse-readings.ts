import { meanOf } from "./average.ts";
import { type ParsedReading, parseReading, type Reading } from "./parse-reading.ts";
import { readingProblem } from "./reading-problem.ts";

/** One reading, or several of one thing as their mean. */
export interface Readings extends Reading {
  /** Absent for a single reading. */
  readonly several?: {
    readonly count: number;
    /** Standard deviation of the mean, in the unit asked for. */
    readonly scatter: number;
    readonly low: number;
    readonly high: number;
  };
}

export type ParsedReadings =
  | { readonly ok: true; readonly reading: Readings }
  | Extract<ParsedReading, { readonly ok: false }>;

const MOST = 12;
const LONGEST = 200;

/**
 * As `parseReading`, and several readings of one thing with semicolons between them, `26.1; 26.3; 26.0`, as
 * their mean. Nothing else parts readings: a space or a comma can stand inside one number. A unit is on each
 * or on none, because `999; 1.01k` could mean 999 kilohms. Over range in all is over range, in some refused.
 * The mean shows no more digits than the coarsest reading.
 */
export function parseReadings(text: string, unit: string): ParsedReadings {
  if (!text.includes(";")) return parseReading(text, unit);
  if (text.length > LONGEST) return readingProblem("too-long", text, { unit });
  const pieces = text.replace(/;\s*$/, "").split(";");
  if (pieces.length > MOST) return readingProblem("list-too-long", text, { unit, most: String(MOST) });
  const readings: Reading[] = [];
  for (const piece of pieces) {
    const parsed = parseReading(piece, unit);
    if (!parsed.ok) return parsed;
    readings.push(parsed.reading);
  }
  return asOne(readings, text, unit);
}

function asOne(readings: readonly Reading[], text: string, unit: string): ParsedReadings {
  const [first] = readings;
  if (first === undefined) return readingProblem("empty", "", { unit });
  const typed = text.trim();
  if (readings.every((one) => one.value === first.value && !Number.isFinite(one.value)))
    return { ok: true, reading: { ...first, text: typed } };
  const values = readings.map((one) => one.value);
  const mean = meanOf(values);
  if (mean === undefined) return readingProblem("list-over-range", text, { unit });
  const withUnit = readings.filter((one) => /[^\d\s.,+−–‒-]/.test(one.text)).length;
  if (withUnit !== 0 && withUnit !== readings.length) return readingProblem("list-units", text, { unit });
  const reading = {
    value: mean.value,
    lastDigit: Math.max(...readings.map((one) => one.lastDigit)),
    typedUnit: first.typedUnit,
    text: typed,
  };
  if (readings.length === 1) return { ok: true, reading };
  const several = {
    count: readings.length,
    scatter: mean.scatter,
    low: Math.min(...values),
    high: Math.max(...values),
  };
  return { ok: true, reading: { ...reading, several } };
}
