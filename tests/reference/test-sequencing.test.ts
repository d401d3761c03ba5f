import { describe, expect, it } from "vitest";
import { bestPlan } from "../../engine/reasoning/plan/best-plan.ts";
import { codeLength } from "../../engine/reasoning/plan/plan-bound.ts";
import { type PlanProblem, sharedSetUps } from "../../engine/reasoning/plan/problem.ts";
import { expectedRepairCost, repairOrder } from "../../engine/reasoning/repair-order.ts";

/** Tests that never err, each a minute: one row of signs a test, one sign a fault. */
function crisp(weights: readonly number[], shows: readonly string[]): PlanProblem {
  return {
    weights,
    tests: shows.map((signs, test) => ({
      id: `t${test + 1}`,
      after: [],
      outcomes: ["0", "1"].map((sign) => ({
        id: sign,
        minutes: 1,
        ends: false,
        chances: [...signs].map((one) => (one === sign ? 1 : 0)),
      })),
    })),
    setUps: sharedSetUps([], []),
    made: 0,
    groups: weights.map((_, fault) => [fault]),
    certainty: 1,
  };
}

/**
 * Pattipati and Alexandridis, "Application of heuristic search and information theory to sequential fault
 * diagnosis", IEEE Trans. SMC 20(4):872-887, 1990. Matrix and optimal cost from memory; the cost reproduced by
 * exhaustive search, the bounds computed.
 */
describe("test sequencing of the 1990 example", () => {
  const weights = [0.7, 0.01, 0.02, 0.1, 0.05, 0.12];
  const faults = ["00000", "01001", "00110", "10011", "11000", "11110"];
  const problem = crisp(
    weights,
    [0, 1, 2, 3, 4].map((test) => faults.map((signs) => signs[test]).join("")),
  );
  const best = bestPlan(problem);
  const next = (way: string): number => {
    let state = best.space.start;
    for (const sign of way) {
      const step = best.space.steps(state, best.policy(state)).find((one) => String(one.outcome) === sign);
      if (step === undefined) throw new Error(`no outcome ${sign}`);
      state = step.state;
    }
    return best.policy(state);
  };

  it("costs 2.18 at best", () => {
    expect(best.exact).toBe(true);
    expect(best.minutes).toBeCloseTo(2.18, 12);
  });

  it("begins with t2, goes on with t4 and t1 where that is 0, with t3 and t1 where it is 1", () => {
    const named = (way: string) => problem.tests[next(way)]?.id;
    expect(named("")).toBe("t2");
    const [zero, one] = ["0", "1"].map((way) => ({
      here: named(way),
      after: ["0", "1"].map((w) => way + w),
    }));
    expect(zero?.here).toBe("t4");
    expect(named("01")).toBe("t1");
    // After t2 = 1 faults 1, 4 and 5 are left: t3 and t1 tell them apart, whichever first at the same cost.
    const second = one?.here;
    expect(["t1", "t3"]).toContain(second);
  });

  it("has a Huffman bound of 1.59", () => {
    expect(codeLength(weights, 2)).toBeCloseTo(1.59, 12);
    expect(best.minutes).toBeGreaterThanOrEqual(codeLength(weights, 2));
  });
});

/**
 * Cormen, Leiserson, Rivest and Stein, Introduction to Algorithms, figure 15.4 (read): frequencies 45, 13, 12, 16,
 * 9, 5 have a code of mean length 2.24.
 */
describe("Huffman's code of the textbook", () => {
  const frequencies = [45, 13, 12, 16, 9, 5];

  it("has mean length 2.24", () => {
    expect(codeLength(frequencies, 2) / 100).toBeCloseTo(2.24, 12);
  });

  it("is met by the plan when there is a test for every subset", () => {
    const subsets = Array.from({ length: 31 }, (_, index) =>
      Array.from({ length: 6 }, (__, fault) => (((index + 1) >> fault) & 1 ? "1" : "0")).join(""),
    );
    const best = bestPlan(crisp(frequencies, subsets));
    expect(best.exact).toBe(true);
    expect(best.minutes).toBeCloseTo(2.24, 12);
  });

  it("can't be met by some sets of tests, and then the plan says more", () => {
    // One test for each fault alone: the frequent ones first.
    const single = frequencies.map((_, fault) =>
      frequencies.map((__, other) => (fault === other ? "1" : "0")).join(""),
    );
    const best = bestPlan(crisp(frequencies, single));
    expect(best.minutes).toBeCloseTo(0.45 + 2 * 0.16 + 3 * 0.13 + 4 * 0.12 + 5 * 0.14, 12);
  });
});

/**
 * Kadane and Simon 1975 (rule read in an abstract); expected cost by Heckerman, Breese and Rommelse, Communications
 * of the ACM 38(3), 1995 (from memory). The vector is computed from the formula.
 */
describe("the order of repairs by probability over cost", () => {
  const repairs = [
    { repair: "1", probability: 0.5, cost: 10 },
    { repair: "2", probability: 0.3, cost: 3 },
    { repair: "3", probability: 0.2, cost: 1 },
  ];
  const costOf = (order: string) =>
    expectedRepairCost([...order].flatMap((id) => repairs.filter(({ repair }) => repair === id)));

  it("is 3, 2, 1 and costs 8.4", () => {
    expect(repairOrder(repairs)).toEqual({ order: ["3", "2", "1"], expectedCost: expect.closeTo(8.4, 12) });
  });

  it("beats the other five", () => {
    const others = { "231": 8.7, "312": 9.9, "213": 10.2, "132": 11.4, "123": 11.7 };
    for (const [order, cost] of Object.entries(others)) expect(costOf(order)).toBeCloseTo(cost, 12);
  });

  it("does what costs nothing first and leaves ties as they are", () => {
    const free = [...repairs, { repair: "0", probability: 0, cost: 0 }];
    expect(repairOrder(free).order).toEqual(["0", "3", "2", "1"]);
    const tied = [
      { repair: "b", probability: 0.2, cost: 2 },
      { repair: "a", probability: 0.1, cost: 1 },
    ];
    expect(repairOrder(tied).order).toEqual(["b", "a"]);
  });
});
