import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { normalBetween, normalCdf, normalQuantile } from "../../../engine/quantity/normal.ts";
import { convert } from "../../../engine/quantity/units.ts";
import {
  acceptanceInterval,
  bandOf,
  conformanceProbability,
  type NumericBand,
  safeDistance,
  sharesOf,
} from "../../../engine/quantity/verdict.ts";

/** Bands that cover everything once, cut at rising limits; each limit belongs to the band above it. */
function bandsAt(limits: readonly number[]): readonly NumericBand[] {
  const ends = [Number.NEGATIVE_INFINITY, ...limits, Number.POSITIVE_INFINITY];
  return limits.concat(0).map((_, index) => ({
    outcome: `band-${index}`,
    low: ends[index] ?? 0,
    lowIncluded: true,
    high: ends[index + 1] ?? 0,
    highIncluded: index === limits.length,
  }));
}
const limits = fc
  .uniqueArray(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 1, maxLength: 6 })
  .map((list) => list.sort((a, b) => a - b));
const value = fc.double({ min: -120, max: 120, noNaN: true });
const spread = fc.double({ min: 1e-6, max: 50, noNaN: true });

describe("bandOf", () => {
  const bands = bandsAt([1, 11.5]);
  test("gives a limit to the band that includes it", () => {
    expect(bandOf(1, bands)).toBe("band-1");
    expect(bandOf(0.999, bands)).toBe("band-0");
    expect(bandOf(11.5, bands)).toBe("band-2");
  });
  test("gives over range to the band that is open to its side", () => {
    expect(bandOf(Number.POSITIVE_INFINITY, bands)).toBe("band-2");
    expect(bandOf(Number.NEGATIVE_INFINITY, bands)).toBe("band-0");
  });
  test("gives nothing for NaN, for a gap, and for over range above a closed end", () => {
    const closed = [{ outcome: "only", low: 0, lowIncluded: true, high: 5, highIncluded: false }];
    expect(bandOf(Number.NaN, bands)).toBeUndefined();
    expect(bandOf(5, closed)).toBeUndefined();
    expect(bandOf(Number.POSITIVE_INFINITY, closed)).toBeUndefined();
  });
  test("puts every value into one band and no other", () => {
    fc.assert(
      fc.property(limits, value, (cuts, x) => {
        const inside = bandsAt(cuts).filter((band) => bandOf(x, [band]) !== undefined);
        expect(inside.map((band) => band.outcome)).toEqual([bandOf(x, bandsAt(cuts))]);
      }),
    );
  });

  test("a reading that is a limit written in another unit is that limit, and falls in no gap between two writings of it", () => {
    const limit = convert(1.1, "kPa", "bar") ?? Number.NaN;
    expect(limit).not.toBe(0.011);
    const low = { outcome: "low", low: -Infinity, lowIncluded: true, high: 0.011, highIncluded: false };
    const high = { outcome: "high", low: limit, lowIncluded: true, high: Infinity, highIncluded: true };
    expect(bandOf(0.011, [low, high])).toBe("high");
    expect(bandOf(limit, [{ ...low, highIncluded: true }])).toBe("low");
    expect(bandOf(0.0110001, [{ ...low, highIncluded: true }])).toBeUndefined();
  });
});

describe("sharesOf", () => {
  test("adds to 1 over the bands of a step", () => {
    fc.assert(
      fc.property(limits, value, spread, (cuts, x, u) => {
        const shares = Object.values(sharesOf(x, u, bandsAt(cuts)));
        expect(Math.abs(shares.reduce((sum, share) => sum + share, 0) - 1)).toBeLessThan(1e-12);
        expect(Math.min(...shares)).toBeGreaterThanOrEqual(0);
      }),
    );
  });
  test("gives all to the band picked when there is no doubt, and over range", () => {
    const bands = bandsAt([1]);
    expect({ ...sharesOf(1, 0, bands) }).toEqual({ "band-0": 0, "band-1": 1 });
    expect({ ...sharesOf(Number.NEGATIVE_INFINITY, 1, bands) }).toEqual({ "band-0": 1, "band-1": 0 });
  });
  test("never makes a clear verdict unclear with a smaller doubt", () => {
    fc.assert(
      fc.property(
        limits,
        value,
        spread,
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (cuts, x, u, part) => {
          const bands = bandsAt(cuts);
          const picked = bandOf(x, bands) ?? "";
          const before = sharesOf(x, u, bands)[picked] ?? 0;
          const after = sharesOf(x, u * part, bands)[picked] ?? 0;
          expect(after).toBeGreaterThanOrEqual(before - 1e-12);
        },
      ),
    );
  });
  test("takes any word for an outcome", () => {
    const bands = [{ ...bandsAt([])[0], outcome: "__proto__" }] as readonly NumericBand[];
    expect(Object.entries(sharesOf(0, 1, bands))).toEqual([["__proto__", 1]]);
  });
});

describe("the normal distribution", () => {
  test("has a quantile that undoes its own function", () => {
    fc.assert(
      fc.property(fc.double({ min: -8, max: 5, noNaN: true }), (z) => {
        expect(Math.abs(normalQuantile(normalCdf(z)) - z)).toBeLessThan(1e-9);
      }),
    );
  });
  test("mirrors about zero", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 10, noNaN: true }), (z) => {
        expect(Math.abs(normalCdf(z) + normalCdf(-z) - 1)).toBeLessThan(1e-15);
        expect(normalBetween(-z, z)).toBeCloseTo(2 * normalCdf(z) - 1, 14);
      }),
    );
  });
  test("agrees with its own integral by Simpson's rule", () => {
    fc.assert(
      fc.property(fc.double({ min: -6, max: 6, noNaN: true }), (z) => {
        expect(Math.abs(normalCdf(z) - 0.5 - simpson(z))).toBeLessThan(1e-12);
      }),
      { numRuns: 50 },
    );
  });
  test("has its ends at 0 and 1, and nothing outside", () => {
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY);
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY);
    expect(normalQuantile(1.1)).toBeNaN();
    expect(normalCdf(Number.NEGATIVE_INFINITY)).toBe(0);
    expect(normalCdf(Number.POSITIVE_INFINITY)).toBe(1);
  });
});

/** The area from 0 to `end` under the normal curve. */
function simpson(end: number): number {
  const parts = 2000;
  const step = end / parts;
  let sum = 0;
  for (let i = 0; i <= parts; i++) {
    const weight = i === 0 || i === parts ? 1 : i % 2 === 1 ? 4 : 2;
    sum += weight * Math.exp(-((i * step) ** 2) / 2);
  }
  return (sum * step) / 3 / Math.sqrt(2 * Math.PI);
}

describe("decision rules", () => {
  test("a value a safe distance inside one limit conforms with just that probability", () => {
    fc.assert(
      fc.property(spread, fc.double({ min: 0.6, max: 0.999, noNaN: true }), (u, p) => {
        const x = 10 - safeDistance(u, p);
        expect(conformanceProbability(x, u, Number.NEGATIVE_INFINITY, 10)).toBeCloseTo(p, 9);
      }),
    );
  });
  test("guard bands wider than the tolerance leave nothing to accept", () => {
    expect(acceptanceInterval(0, 1, 1, 1)).toBeUndefined();
    expect(acceptanceInterval(0, 1, 1, 0)).toEqual({ low: 0, high: 1 });
  });
  test("without doubt conformance is yes or no", () => {
    expect(conformanceProbability(1, 0, 1, 2)).toBe(1);
    expect(conformanceProbability(0.9, 0, 1, 2)).toBe(0);
  });
});
