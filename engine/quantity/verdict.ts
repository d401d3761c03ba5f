import { normalBetween, normalQuantile } from "./normal.ts";

/** A named interval of values. Ends at ±Infinity take the over-range readings. */
export interface NumericBand {
  readonly outcome: string;
  readonly low: number;
  readonly lowIncluded: boolean;
  readonly high: number;
  readonly highIncluded: boolean;
}

/**
 * Whether a value lies in a band; one that is a limit but for rounding counts as the limit. Over range lies in the
 * band that is open to its side.
 */
function isInBand(value: number, band: NumericBand): boolean {
  if (value === Number.POSITIVE_INFINITY) return band.high === Number.POSITIVE_INFINITY;
  if (value === Number.NEGATIVE_INFINITY) return band.low === Number.NEGATIVE_INFINITY;
  return (
    (isSameNumber(value, band.low) ? band.lowIncluded : value > band.low) &&
    (isSameNumber(value, band.high) ? band.highIncluded : value < band.high)
  );
}

/** Limits and readings in two units can differ in the last places of a double and mean one number. */
export function isSameNumber(a: number, b: number): boolean {
  if (a === b) return true;
  return (
    Number.isFinite(a) && Number.isFinite(b) && Math.abs(a - b) <= 1e-12 * Math.max(Math.abs(a), Math.abs(b))
  );
}

/**
 * The outcome of the band that a value falls in; undefined when it falls in none, or is NaN. This is the one
 * place that decides which branch a reading takes.
 */
export function bandOf(value: number, bands: readonly NumericBand[]): string | undefined {
  for (const band of bands) if (isInBand(value, band)) return band.outcome;
  return undefined;
}

/**
 * P(true value lies in the band) by outcome, for a normal true value of mean `value` and standard deviation
 * `u` (JCGM 106:2012, 7). Bands that cover everything once sum to 1. With `u` 0 or an over-range value the
 * band it falls in has all. The object has no prototype: any word may be an outcome.
 */
export function sharesOf(value: number, u: number, bands: readonly NumericBand[]): Record<string, number> {
  const shares: Record<string, number> = Object.create(null);
  if (!(u > 0) || !Number.isFinite(value)) {
    const picked = bandOf(value, bands);
    for (const band of bands) shares[band.outcome] = band.outcome === picked ? 1 : 0;
    return shares;
  }
  for (const band of bands) {
    const share = Math.max(0, normalBetween((band.low - value) / u, (band.high - value) / u));
    shares[band.outcome] = (shares[band.outcome] ?? 0) + share;
  }
  return shares;
}

/** P(low ≤ true value ≤ high), one-sided where an end is infinite (JCGM 106:2012, 7.2 to 7.4). */
export function conformanceProbability(value: number, u: number, low: number, high: number): number {
  if (u > 0) return Math.max(0, normalBetween((low - value) / u, (high - value) / u));
  return value >= low && value <= high ? 1 : 0;
}

/**
 * The least distance from a single limit at which a value is on its side with probability `p`: z(p) × u.
 * Source: JCGM 106:2012, 8.3.2. Nothing within two limits is safe unless both are at least so far away.
 */
export function safeDistance(u: number, p: number): number {
  return Math.max(0, normalQuantile(p)) * u;
}

/**
 * The acceptance interval for tolerance limits with a guard band of `multiple` × U, U = 2u, taken off inside
 * (guarded acceptance, JCGM 106:2012, 8.3.2; `multiple` 0 is simple acceptance, 8.2; 0.83 is the default of
 * ISO 14253-1:2017, 1 of ILAC-G8:09/2019). Undefined when the guard bands leave nothing.
 */
export function acceptanceInterval(
  low: number,
  high: number,
  u: number,
  multiple: number,
): { readonly low: number; readonly high: number } | undefined {
  const guard = multiple * 2 * u;
  const interval = { low: low + guard, high: high - guard };
  return interval.low <= interval.high ? interval : undefined;
}
