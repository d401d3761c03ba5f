import type { JudgedReading } from "./judged-reading.ts";
import { acceptanceInterval, bandOf, type NumericBand, safeDistance, sharesOf } from "./verdict.ts";

/**
 * The values nearest to a close call, on either side of the limit it is close to, that would be clear with the
 * same doubt: their band would hold the true value with `decideAt` (guarded acceptance, JCGM 106:2012, 8.3.2).
 * In a band so narrow that its other limit counts too, the value is further in; without one the end is absent.
 */
export function clearValues(
  { value, u, bands }: Pick<JudgedReading, "value" | "u" | "bands">,
  decideAt: number,
): { readonly atMost?: number; readonly atLeast?: number } {
  const limit = nearestLimit(value, bands);
  if (u === undefined || !(u > 0) || limit === undefined) return {};
  const below = bands.find((band) => band.high === limit && band.low < limit);
  const above = bands.find((band) => band.low === limit && band.high > limit);
  const atMost = below && clearEnd(below, "high", u, bands, decideAt);
  const atLeast = above && clearEnd(above, "low", u, bands, decideAt);
  return { ...(atMost === undefined ? {} : { atMost }), ...(atLeast === undefined ? {} : { atLeast }) };
}

function nearestLimit(value: number, bands: readonly NumericBand[]): number | undefined {
  let nearest: number | undefined;
  for (const { low, high } of bands)
    for (const end of [low, high])
      if (
        Number.isFinite(end) &&
        (nearest === undefined || Math.abs(end - value) < Math.abs(nearest - value))
      )
        nearest = end;
  return nearest;
}

/** The value nearest to one end of a band that is clear in it; undefined when none is. */
function clearEnd(
  band: NumericBand,
  end: "low" | "high",
  u: number,
  bands: readonly NumericBand[],
  decideAt: number,
): number | undefined {
  const guarded = acceptanceInterval(band.low, band.high, u, safeDistance(u, decideAt) / (2 * u));
  if (guarded === undefined) return undefined;
  const isClear = (x: number) =>
    bandOf(x, bands) === band.outcome && (sharesOf(x, u, bands)[band.outcome] ?? 0) >= decideAt;
  let near = guarded[end];
  // A hair further in, where rounding put the end itself on the wrong side.
  const hair = u * 1e-9 * (end === "low" ? 1 : -1);
  if (isClear(near + hair)) return Number.isFinite(near) ? near + hair : undefined;
  let clear = (band.low + band.high) / 2;
  if (!Number.isFinite(clear) || !isClear(clear)) return undefined;
  for (let round = 0; round < 40; round++) {
    const middle = (near + clear) / 2;
    if (isClear(middle)) clear = middle;
    else near = middle;
  }
  return clear;
}
