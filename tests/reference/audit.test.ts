/** Figures of the audit against published ones. */
import { describe, expect, it } from "vitest";
import { wilsonInterval } from "../../engine/audit/wilson.ts";

/**
 * Newcombe, Two-sided confidence intervals for the single proportion, Statistics in Medicine 17 (1998), table I,
 * method 3 (score, without continuity correction), 95 %. Read in a public test suite, recomputed.
 */
const NEWCOMBE_TABLE_I = [
  { count: 81, trials: 263, low: 0.2553, high: 0.3662 },
  { count: 15, trials: 148, low: 0.0624, high: 0.1605 },
  { count: 0, trials: 20, low: 0, high: 0.1611 },
  { count: 1, trials: 29, low: 0.0061, high: 0.1718 },
] as const;

describe("the interval of a share", () => {
  it.each(NEWCOMBE_TABLE_I)("is $low to $high for $count of $trials", ({ count, trials, low, high }) => {
    const interval = wilsonInterval(count, trials);
    expect(interval?.low).toBeCloseTo(low, 4);
    expect(interval?.high).toBeCloseTo(high, 4);
  });
});
