import { describe, expect, it } from "vitest";
import { rehearsalReport } from "../../../engine/audit/rehearsal-report.ts";
import { bulkProcedure } from "../../../engine/reasoning/bulk-procedure.ts";
import { addCounts, addValue, emptyCounts, meanOf } from "../../../engine/reasoning/rehearsal-counts.ts";
import { rehearsal } from "../../../engine/reasoning/rehearse.ts";
import { shippedProcedure } from "../../trees.ts";

const bulk = bulkProcedure(shippedProcedure("gate-lift-does-not-lower"));

/** The counts of the runs `from` up to `to`. */
function counted(from: number, to: number) {
  const rehearsed = rehearsal(bulk, { seed: 3, slips: 0.05 });
  rehearsed.run(from, to);
  return rehearsed.counts;
}

describe("a rehearsal's report", () => {
  it("is the same to the last digit in whatever order its parts are added", () => {
    const parts = [counted(0, 700), counted(700, 1500), counted(1500, 4000)];
    const forth = emptyCounts(bulk);
    const back = emptyCounts(bulk);
    for (const part of parts) addCounts(forth, part);
    for (const part of [...parts].reverse()) addCounts(back, part);
    expect(rehearsalReport(bulk, back)).toEqual(rehearsalReport(bulk, forth));
    expect(rehearsalReport(bulk, forth)).toEqual(rehearsalReport(bulk, counted(0, 4000)));
  });

  it("tells minutes and cost with intervals for each branch, and none for one run", () => {
    const { perBranch, costInterval, expectedCost } = rehearsalReport(bulk, counted(0, 4000));
    expect(costInterval?.low).toBeLessThan(expectedCost ?? 0);
    for (const { runs, expectedMinutes, minutesInterval, costInterval: cost } of perBranch) {
      expect(expectedMinutes).toBeGreaterThan(0);
      if (runs > 1) expect(minutesInterval?.low).toBeLessThanOrEqual(expectedMinutes ?? 0);
      else expect([minutesInterval, cost]).toEqual([null, null]);
    }
  });

  it("has the mean and standard error of plain numbers", () => {
    const sums = new Float64Array(3);
    for (const value of [2, 4, 4, 4, 5, 5, 7, 9]) addValue(sums, 0, value * 100_000);
    const { mean, error } = meanOf(sums, 0, 8);
    expect(mean).toBe(500_000);
    // Squares off the mean sum to 32: the variance is 32/7, that of the mean an eighth of it.
    expect(error).toBeCloseTo(Math.sqrt(32 / 7 / 8) * 100_000, 6);
  });
});
