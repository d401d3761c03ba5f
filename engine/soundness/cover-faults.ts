import type { Band } from "../procedure/model.ts";
import { isSameNumber } from "../quantity/verdict.ts";
import { type Interval, isEmpty } from "./plain-number.ts";

/** Readings that no band takes, or that two take. `bands` are those beside them, or those two. */
export interface CoverFault {
  readonly kind: "gap" | "overlap";
  readonly where: Interval;
  readonly bands: readonly Band[];
}

/** Gaps and overlaps of bands with numbers for limits, from the lowest reading up. */
export function coverFaults(bands: readonly Band[], intervals: readonly Interval[]): readonly CoverFault[] {
  const rows = bands
    .flatMap((band, index) => {
      const where = intervals[index];
      return where === undefined || isEmpty(where) ? [] : [{ band, where }];
    })
    .sort((a, b) => a.where.low - b.where.low || Number(b.where.lowIncluded) - Number(a.where.lowIncluded));
  const faults: CoverFault[] = [];
  // Everything up to `reached` is covered, that number too when `closed`.
  let reached = -Infinity;
  let closed = false;
  let last: Band | undefined;
  for (const { band, where } of rows) {
    const low = isSameNumber(where.low, reached) ? reached : where.low;
    const gap = { low: reached, lowIncluded: !closed, high: low, highIncluded: !where.lowIncluded };
    if (!isEmpty(gap)) faults.push({ kind: "gap", where: gap, bands: [...(last ? [last] : []), band] });
    const shared = overlapOf(low, where, reached, closed);
    if (last !== undefined && !isEmpty(shared))
      faults.push({ kind: "overlap", where: shared, bands: [last, band] });
    const higher = where.high > reached && !isSameNumber(where.high, reached);
    if (higher || (where.high >= reached && where.highIncluded && !closed)) {
      reached = where.high;
      closed = where.highIncluded;
      last = band;
    }
  }
  const rest = { low: reached, lowIncluded: !closed, high: Infinity, highIncluded: true };
  if (!isEmpty(rest)) faults.push({ kind: "gap", where: rest, bands: last ? [last] : [] });
  return faults;
}

function overlapOf(low: number, where: Interval, reached: number, closed: boolean): Interval {
  const inner = where.high < reached;
  return {
    low,
    lowIncluded: where.lowIncluded,
    high: inner ? where.high : reached,
    highIncluded: inner ? where.highIncluded : closed && (where.high > reached || where.highIncluded),
  };
}

/** A whole half-line without a band begins at the number that is next to the bands. */
export function edgeOf(where: Interval): Interval {
  const { low, high } = where;
  if (Number.isFinite(low) && where.lowIncluded) return { ...where, high: low, highIncluded: true };
  if (Number.isFinite(high) && where.highIncluded) return { ...where, low: high, lowIncluded: true };
  return where;
}
