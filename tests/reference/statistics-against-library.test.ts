// An outside check: a general-purpose mathematics library (mathjs) has the same normal distribution, mean and
// standard deviation.
import fc from "fast-check";
import { erf, mean, std } from "mathjs";
import { describe, expect, it } from "vitest";
import { meanOf } from "../../engine/quantity/average.ts";
import { normalBetween, normalCdf, normalQuantile } from "../../engine/quantity/normal.ts";
import { conformanceProbability } from "../../engine/quantity/verdict.ts";

const z = fc.double({ min: -6, max: 6, noNaN: true });
const number = fc.double({ min: -1e4, max: 1e4, noNaN: true });

/** P(X ≤ z) of a standard normal X by the library's error function. */
function theirs(value: number): number {
  return 0.5 + erf(value / Math.SQRT2) / 2;
}

describe("the normal distribution", () => {
  it("agrees with the library's error function on random values", () => {
    fc.assert(
      fc.property(z, (value) => {
        expect(Math.abs(normalCdf(value) - theirs(value))).toBeLessThan(1e-12);
      }),
      { numRuns: 500 },
    );
  });
  it("agrees between two random limits, and so do conformance probabilities", () => {
    fc.assert(
      fc.property(z, z, number, fc.double({ min: 1e-3, max: 1e3, noNaN: true }), (a, b, value, u) => {
        const [low, high] = [Math.min(a, b), Math.max(a, b)];
        const share = theirs(high) - theirs(low);
        expect(Math.abs(normalBetween(low, high) - share)).toBeLessThan(1e-12);
        const scale = Math.max(1, Math.abs(value) / u);
        const got = conformanceProbability(value, u, value + low * u, value + high * u);
        expect(Math.abs(got - share)).toBeLessThan(1e-12 * scale);
      }),
      { numRuns: 500 },
    );
  });
  it("has quantiles that the library's error function brings back", () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }), (p) => {
        expect(Math.abs(theirs(normalQuantile(p)) - p)).toBeLessThan(1e-12);
      }),
      { numRuns: 500 },
    );
  });
});

describe("several readings", () => {
  it("have the library's mean, and its standard deviation over √n, on random readings", () => {
    fc.assert(
      fc.property(fc.array(number, { minLength: 2, maxLength: 12 }), (values) => {
        const ours = meanOf(values);
        expect(Math.abs((ours?.value ?? Number.NaN) - mean(values))).toBeLessThan(1e-8);
        const scatter = Number(std(values)) / Math.sqrt(values.length);
        expect(Math.abs((ours?.scatter ?? Number.NaN) - scatter)).toBeLessThan(1e-8);
      }),
    );
  });
});
