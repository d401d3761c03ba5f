import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { wilsonInterval } from "../../../engine/audit/wilson.ts";

const counts = fc
  .integer({ min: 1, max: 1_000_000 })
  .chain((trials) => fc.tuple(fc.integer({ min: 0, max: trials }), fc.constant(trials)));

describe("the interval of a share", () => {
  it("is nothing where nothing was tried", () => {
    expect(wilsonInterval(0, 0)).toBeUndefined();
  });

  it("holds the share, and lies between nought and one", () => {
    fc.assert(
      fc.property(counts, ([count, trials]) => {
        const interval = wilsonInterval(count, trials);
        if (interval === undefined) return false;
        const share = count / trials;
        return 0 <= interval.low && interval.low <= share && share <= interval.high && interval.high <= 1;
      }),
    );
  });

  it("is the mirror image for what did not happen", () => {
    fc.assert(
      fc.property(counts, ([count, trials]) => {
        const one = wilsonInterval(count, trials);
        const other = wilsonInterval(trials - count, trials);
        if (one === undefined || other === undefined) return false;
        return Math.abs(one.low - (1 - other.high)) < 1e-9 && Math.abs(one.high - (1 - other.low)) < 1e-9;
      }),
    );
  });

  it("narrows as the same share is seen more often", () => {
    const widths = [10, 100, 1000, 10_000].map((trials) => {
      const interval = wilsonInterval(trials * 0.3, trials);
      return interval ? interval.high - interval.low : 0;
    });
    expect(widths).toEqual([...widths].sort((a, b) => b - a));
    expect(new Set(widths).size).toBe(4);
  });
});
