import type { Quantity } from "./quantity.ts";
import { convert, convertDifference } from "./units.ts";

/** One range of an instrument: ±(share of reading + share of full scale + counts of the last digit). */
export interface AccuracyRange {
  /** The highest reading this range shows; absent on the last or only one. */
  readonly upTo?: Quantity;
  /** As a share, 0.009 for 0.9 %. */
  readonly reading: number;
  readonly fullScale: number;
  readonly counts: number;
  readonly resolution?: Quantity;
  /** Resistance of the two leads held together, as stated. */
  readonly leads?: Quantity;
  /** Half-width within which the stated leads are right; absent when nothing is said about it. */
  readonly leadsWithin?: Quantity;
}

/** One line of an uncertainty budget. Amounts are in the unit of the budget. */
export interface BudgetLine {
  readonly part: "reading" | "full-scale" | "counts" | "leads" | "temperature" | "conditions" | "scatter";
  /** What the instrument states: a share of the reading or of full scale, a number of counts. */
  readonly stated?: number;
  /** Half-width of the cause itself, before any sensitivity; absent where the cause is a spread. */
  readonly halfWidth?: number;
  /** Standard uncertainty that it gives, already times the sensitivity of the result to it. */
  readonly u: number;
}

/** The doubt of one value, line by line. `u` is the root sum of squares of the lines. */
export interface Budget {
  readonly u: number;
  readonly unit: string;
  readonly lines: readonly BudgetLine[];
}

const ROOT_3 = Math.sqrt(3);

/** Standard uncertainty of a value known only to lie within ±`halfWidth` (GUM 4.3.7). */
export function rectangular(halfWidth: number): number {
  return Math.abs(halfWidth) / ROOT_3;
}

/** The root sum of squares of the lines as a budget. */
export function budgetOf(unit: string, lines: readonly BudgetLine[]): Budget {
  let sum = 0;
  for (const line of lines) sum += line.u * line.u;
  return { u: Math.sqrt(sum), unit, lines };
}

/** The finest range whose upper end a value does not pass, else the last; undefined when there is none. */
export function rangeFor(
  value: number,
  unit: string,
  ranges: readonly AccuracyRange[],
): AccuracyRange | undefined {
  if (ranges.length < 2) return ranges[0];
  let best: AccuracyRange | undefined;
  let bestEnd = Number.POSITIVE_INFINITY;
  for (const range of ranges) {
    const end =
      range.upTo === undefined ? Number.POSITIVE_INFINITY : convert(range.upTo.value, range.upTo.unit, unit);
    if (end === undefined || Math.abs(value) > end) continue;
    if (best === undefined || end < bestEnd) {
      best = range;
      bestEnd = end;
    }
  }
  return best ?? ranges[ranges.length - 1];
}

/**
 * The doubt of a reading by its instrument's accuracy: each part a half-width a with u = a/√3 (GUM 4.3.7),
 * summed as squares. A count is worth the range's resolution, or the last digit typed where that is larger
 * (`0.4k`) or no resolution is stated. Undefined without a range, for a reading that is not finite, when a
 * share of full scale has no full scale, and when the range's units do not fit.
 */
export function uncertaintyOf(
  value: number,
  unit: string,
  lastDigit: number,
  ranges: readonly AccuracyRange[],
): Budget | undefined {
  const range = rangeFor(value, unit, ranges);
  if (range === undefined || !Number.isFinite(value)) return undefined;
  return rangeBudget(value, unit, lastDigit, range);
}

/** As `uncertaintyOf`, on a range already chosen. */
export function rangeBudget(
  value: number,
  unit: string,
  lastDigit: number,
  range: AccuracyRange,
): Budget | undefined {
  const lines: BudgetLine[] = [];
  if (range.reading !== 0) lines.push(line("reading", range.reading, Math.abs(value) * range.reading));
  if (range.fullScale !== 0) {
    if (range.upTo === undefined) return undefined;
    const end = convert(range.upTo.value, range.upTo.unit, unit);
    if (end === undefined) return undefined;
    lines.push(line("full-scale", range.fullScale, Math.abs(end) * range.fullScale));
  }
  if (range.counts !== 0) {
    const digit = digitOf(unit, lastDigit, range);
    if (digit === undefined) return undefined;
    lines.push(line("counts", range.counts, range.counts * digit));
  }
  return budgetOf(unit, lines);
}

/** What one count is worth in `unit`. */
function digitOf(unit: string, lastDigit: number, range: AccuracyRange): number | undefined {
  if (range.resolution === undefined) return lastDigit;
  const resolution = convertDifference(range.resolution.value, range.resolution.unit, unit);
  if (resolution === undefined) return undefined;
  // Powers of ten reached by two ways may differ in the last bit; that is no coarser digit.
  return lastDigit > resolution * (1 + 1e-9) ? lastDigit : resolution;
}

function line(part: BudgetLine["part"], stated: number, halfWidth: number): BudgetLine {
  return { part, stated, halfWidth, u: halfWidth / ROOT_3 };
}
