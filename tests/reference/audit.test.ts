/** Figures of the audit against published ones. */
import { describe, expect, it } from "vitest";
import { betaCdf, betaQuantile } from "../../engine/audit/beta-quantile.ts";
import { dirichlet } from "../../engine/audit/learn.ts";
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

/** Beta(1, 1) with 3 of 10, and Dirichlet(1, 1, 1) with 5, 3, 2: conjugate updating, computed. */
describe("learned shares", () => {
  it("are 6/13, 4/13 and 3/13 for 5, 3 and 2 on one each", () => {
    const means = dirichlet([1 / 3, 1 / 3, 1 / 3], [5, 3, 2], 3)?.map(({ mean }) => mean) ?? [];
    expect(means.map((mean) => mean * 13)).toEqual([6, 4, 3].map((share) => expect.closeTo(share, 12)));
  });

  it("are 1/3, between 0.10926 and 0.60974, for 3 of 10 on one each", () => {
    const [share] = dirichlet([0.5, 0.5], [3, 7], 2) ?? [];
    expect(share?.mean).toBeCloseTo(1 / 3, 12);
    expect(share?.interval.low).toBeCloseTo(0.10926, 5);
    expect(share?.interval.high).toBeCloseTo(0.60974, 5);
  });

  it("have the beta distribution of small whole numbers, which is a binomial tail", () => {
    // Source: NIST DLMF 8.17.5: I_x(a, b) = sum of C(n, j) x^j (1 - x)^(n - j) for j from a to n = a + b - 1.
    for (const [a, b] of [
      [1, 1],
      [2, 5],
      [7, 3],
      [40, 60],
    ] as const)
      for (const x of [0.01, 0.2, 0.5, 0.9]) {
        const n = a + b - 1;
        let tail = 0;
        let binomial = (1 - x) ** n;
        for (let j = 0; j <= n; j += 1) {
          if (j >= a) tail += binomial;
          binomial *= ((n - j) / (j + 1)) * (x / (1 - x));
        }
        expect(betaCdf(x, a, b)).toBeCloseTo(tail, 11);
        // Where the distribution has run full, no share leads back.
        if (tail < 1 - 1e-6) expect(betaQuantile(tail, a, b)).toBeCloseTo(x, 6);
      }
  });
});
