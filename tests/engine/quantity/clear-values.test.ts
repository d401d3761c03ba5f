import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { clearValues } from "../../../engine/quantity/clear-values.ts";
import {
  acceptanceInterval,
  bandOf,
  conformanceProbability,
  type NumericBand,
  safeDistance,
  sharesOf,
} from "../../../engine/quantity/verdict.ts";

const INF = Number.POSITIVE_INFINITY;

function limitsAt(...limits: readonly number[]): readonly NumericBand[] {
  const ends = [-INF, ...limits, INF];
  return ends.slice(1).map((high, index) => ({
    outcome: `band-${index}`,
    low: ends[index] ?? -INF,
    lowIncluded: true,
    high,
    highIncluded: high === INF,
  }));
}

describe("clearValues", () => {
  test("of one limit are a safe distance away on either side", () => {
    const distance = safeDistance(0.2, 0.95);
    const clear = clearValues({ value: 10.1, u: 0.2, bands: limitsAt(10) }, 0.95);
    expect(clear.atMost).toBeCloseTo(10 - distance, 8);
    expect(clear.atLeast).toBeCloseTo(10 + distance, 8);
  });
  test("are absent on the side of a band too narrow to be sure of", () => {
    const clear = clearValues({ value: 10.1, u: 1, bands: limitsAt(10, 11) }, 0.95);
    expect(clear.atLeast).toBeUndefined();
    expect(clear.atMost).toBeDefined();
  });
  test("are none without doubt or without limits", () => {
    expect(clearValues({ value: 10, u: 0, bands: limitsAt(10) }, 0.95)).toEqual({});
    expect(clearValues({ value: 10, u: 1, bands: limitsAt() }, 0.95)).toEqual({});
    expect(clearValues({ value: 10, u: 1, bands: limitsAt(10) }, 1)).toEqual({});
  });
  test("are clear, and nothing nearer to the limit is", () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(number(9, 11), number(0.01, 2), number(0.5, 20), number(0.5, 0.999), (x, u, width, p) => {
        const bands = limitsAt(10, 10 + width);
        const clear = clearValues({ value: x, u, bands }, p);
        for (const [end, inward] of [
          [clear.atMost, -1],
          [clear.atLeast, 1],
        ] as const) {
          if (end === undefined) continue;
          const band = bandOf(end, bands) ?? "";
          expect(sharesOf(end, u, bands)[band]).toBeGreaterThanOrEqual(p);
          const nearer = end - inward * u * 1e-3;
          if (bandOf(nearer, bands) === band) expect(sharesOf(nearer, u, bands)[band]).toBeLessThan(p + 1e-6);
        }
      }),
    );
  });
});

describe("`decide-at` as a decision rule", () => {
  const value = fc.double({ min: 8, max: 12, noNaN: true });
  const spread = fc.double({ min: 0.01, max: 1, noNaN: true });
  test("accepts at .95 just what lies in the guarded interval of one limit (JCGM 106:2012, 8.3.2)", () => {
    fc.assert(
      fc.property(value, spread, (x, u) => {
        const guarded = acceptanceInterval(-INF, 10, u, safeDistance(u, 0.95) / (2 * u));
        fc.pre(Math.abs(x - (guarded?.high ?? 0)) > 1e-9);
        expect(conformanceProbability(x, u, -INF, 10) >= 0.95).toBe(x <= (guarded?.high ?? -INF));
      }),
    );
  });
  test("accepts at .5 just what lies inside one limit, as simple acceptance does (JCGM 106:2012, 8.2)", () => {
    fc.assert(
      fc.property(value, spread, (x, u) => {
        fc.pre(Math.abs(x - 10) > 1e-9);
        expect(conformanceProbability(x, u, -INF, 10) >= 0.5).toBe(x <= 10);
      }),
    );
  });
});
