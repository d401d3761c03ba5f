import { describe, expect, it } from "vitest";
import { type FaultShown, testability } from "../../engine/reasoning/testability.ts";

/**
 * Dependency matrix of Pattipati and Alexandridis, IEEE Trans. SMC 20(4):872-887, 1990 (from memory), of which
 * only the first two tests are made; s0 is "nothing wrong". Definitions of MIL-STD-2165 and IEEE Std 1522 (from
 * memory); the figures are computed from them by hand.
 */
const FAULTS: readonly FaultShown[] = [
  { fault: "s1", rate: 0.01, shows: ["0", "1"] },
  { fault: "s2", rate: 0.02, shows: ["0", "0"] },
  { fault: "s3", rate: 0.1, shows: ["1", "0"] },
  { fault: "s4", rate: 0.05, shows: ["1", "1"] },
  { fault: "s5", rate: 0.12, shows: ["1", "1"] },
];

describe("testability of the 1990 matrix with its first two tests", () => {
  const figures = testability(FAULTS, ["0", "0"]);

  it("detects .28 of .30", () => {
    expect(figures.detected).toBeCloseTo(0.9333, 4);
  });

  it("isolates .11 of .28 to one fault and all of it to two", () => {
    expect(figures.isolatedTo(1)).toBeCloseTo(0.3929, 4);
    expect(figures.isolatedTo(2)).toBeCloseTo(1, 12);
    expect(figures.groups).toEqual([["s1"], ["s3"], ["s4", "s5"]]);
  });

  it("has a mean group of 1.6071 by rate and 1.3333 group by group", () => {
    expect(figures.meanGroupByRate).toBeCloseTo(1.6071, 4);
    expect(figures.meanGroupPlain).toBeCloseTo(1.3333, 4);
  });

  it("isolates every fault with all five tests", () => {
    const rows = { s1: "01001", s2: "00110", s3: "10011", s4: "11000", s5: "11110" };
    const whole = testability(
      Object.entries(rows).map(([fault, row]) => ({ fault, rate: 1, shows: [...row] })),
      [..."00000"],
    );
    expect([whole.detected, whole.isolatedTo(1), whole.meanGroupByRate]).toEqual([1, 1, 1]);
  });

  it("has no figures where nothing fails or nothing is shown", () => {
    const none = testability([], []);
    expect([none.detected, none.isolatedTo(1), none.meanGroupByRate, none.meanGroupPlain]).toEqual([
      null,
      null,
      null,
      null,
    ]);
    const hidden = testability([{ fault: "a", rate: 1, shows: ["0"] }], ["0"]);
    expect([hidden.detected, hidden.isolatedTo(1)]).toEqual([0, null]);
  });
});
