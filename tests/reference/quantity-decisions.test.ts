import { describe, expect, test } from "vitest";
import { type AccuracyRange, rectangular, uncertaintyOf } from "../../engine/quantity/accuracy.ts";
import { meanOf } from "../../engine/quantity/average.ts";
import { normalCdf, normalQuantile } from "../../engine/quantity/normal.ts";
import { acceptanceInterval, conformanceProbability, safeDistance } from "../../engine/quantity/verdict.ts";

describe("the normal distribution", () => {
  test.each([
    // JCGM 106:2012, table 1 (memory, recomputed).
    [0.8, 0.84],
    [0.9, 1.28],
    [0.95, 1.64],
    [0.99, 2.33],
    [0.999, 3.09],
  ])("holds %d below z = %d (JCGM 106:2012, table 1)", (p, z) => {
    expect(Math.abs(normalQuantile(p) - z)).toBeLessThanOrEqual(0.005);
  });
  test.each([
    // NIST/SEMATECH e-Handbook 1.3.6.7.1, area under the normal curve from 0 (memory).
    [0.5, 0.19146],
    [1, 0.34134],
    [1.96, 0.475],
    [2, 0.47725],
    [3, 0.49865],
  ])("has between 0 and %d the area %d (NIST e-Handbook 1.3.6.7.1)", (z, area) => {
    expect(Math.abs(normalCdf(z) - 0.5 - area)).toBeLessThanOrEqual(5e-6);
  });
  test.each([
    // Far tails, from memory of published 20-digit values; checked by continued fraction.
    [-10, 7.61985302416053e-24],
    [-20, 2.7536241186062337e-89],
  ])("has below %d the tail %d (published digits, from memory)", (z, tail) => {
    expect(Math.abs(normalCdf(z) / tail - 1)).toBeLessThan(1e-12);
  });
});

describe("conformity decisions", () => {
  test("a Zener of -5.47 V with u .05 V conforms to at most -5.40 V with .919, printed .92 (JCGM 106:2012, 7.3.3)", () => {
    const p = conformanceProbability(-5.47, 0.05, Number.NEGATIVE_INFINITY, -5.4);
    expect(p).toBeCloseTo(0.919, 3);
    expect(p.toFixed(2)).toBe("0.92");
  });
  test("resistors of 1500 ± .2 ohm from a process of u .12 conform with .9044 (JCGM 106:2012, 9.5; computed)", () => {
    expect(conformanceProbability(1500, 0.12, 1499.8, 1500.2)).toBeCloseTo(0.9044, 4);
  });
  test("a guard band of .83 U leaves 4.85 % risk at its edge, one of 1 U 2.28 % (ISO 14253-1:2017, ILAC-G8:09/2019)", () => {
    for (const [multiple, risk] of [
      [0.83, 0.0485],
      [1, 0.0228],
    ] as const) {
      const interval = acceptanceInterval(Number.NEGATIVE_INFINITY, 10, 0.1, multiple);
      const edge = interval?.high ?? Number.NaN;
      expect(1 - conformanceProbability(edge, 0.1, Number.NEGATIVE_INFINITY, 10)).toBeCloseTo(risk, 4);
    }
  });
  test("the resistors of 1500 ± .2 ohm with U .08 are accepted from 1499.82 to 1500.18 at a quarter of U (JCGM 106:2012, 9.5)", () => {
    const interval = acceptanceInterval(1499.8, 1500.2, 0.04, 0.25);
    expect(interval?.low).toBeCloseTo(1499.82, 9);
    expect(interval?.high).toBeCloseTo(1500.18, 9);
  });
  test("a one-sided call is safe at 95 % from 1.645 u (JCGM 106:2012, 8.3.2)", () => {
    expect(safeDistance(0.2, 0.95)).toBeCloseTo(0.329, 3);
  });
});

describe("instrument accuracy", () => {
  const meter = (reading: number, counts: number, digit: number, unit: string): AccuracyRange => ({
    reading,
    fullScale: 0,
    counts,
    resolution: { value: digit, unit },
  });
  function halfWidth(value: number, digit: number, range: AccuracyRange): number {
    const budget = uncertaintyOf(value, "V", digit, [range]);
    return (budget?.lines ?? []).reduce((sum, line) => sum + (line.halfWidth ?? 0), 0);
  }
  test("of ±(1 % + 3) at 120 V on a 600.0 V range is ±1.5 V (a meter maker's article)", () => {
    expect(halfWidth(120, 0.1, meter(0.01, 3, 0.1, "V"))).toBeCloseTo(1.5, 12);
  });
  test("of ±(1 % + 2) at 100.0 V is 98.8 to 101.2 V (a meter maker's article)", () => {
    expect(halfWidth(100, 0.1, meter(0.01, 2, 0.1, "V"))).toBeCloseTo(1.2, 12);
  });
  test("of ±(.5 % + 1) at 1.755 V on three and a half digits is about ±.010 V (a meter seller's article)", () => {
    expect(halfWidth(1.755, 0.001, meter(0.005, 1, 0.001, "V"))).toBeCloseTo(0.009775, 12);
  });
  test("of ±(.5 % + 3) at 2 V with a last digit of 1 mV is ±.013 V (a meter maker's article)", () => {
    expect(halfWidth(2, 0.001, meter(0.005, 3, 0.001, "V"))).toBeCloseTo(0.013, 12);
  });
  test("of ±(.08 % + 2) at 2.000 V on the 5.000 V range is 1.9964 to 2.0036 V (a meter maker's article)", () => {
    expect(halfWidth(2, 0.001, meter(0.0008, 2, 0.001, "V"))).toBeCloseTo(0.0036, 12);
  });
  test("of ±(.8 % + 2) at 100.0 V is ±1.0 V (a meter maker's article)", () => {
    expect(halfWidth(100, 0.1, meter(0.008, 2, 0.1, "V"))).toBeCloseTo(1, 12);
  });
  test("of a half-width of 15 µV is a standard uncertainty of 8.7 µV (GUM 4.3.7)", () => {
    expect(rectangular(15e-6)).toBeCloseTo(8.66e-6, 8);
  });
  test("twenty readings scattered by 1.489 degC have a mean good to .333 degC (GUM 4.4.3, table 1; memory, recomputed)", () => {
    const readings = [
      96.9, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68, 100.95,
      101.11, 101.2, 101.57, 101.84, 102.36, 102.72,
    ];
    const averaged = meanOf(readings);
    expect(averaged?.value).toBeCloseTo(100.145, 3);
    expect(averaged?.scatter).toBeCloseTo(0.333, 3);
  });
});
