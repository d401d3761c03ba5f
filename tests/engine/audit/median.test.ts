import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { findMedian } from "../../../engine/audit/median.ts";

describe("a median", () => {
  it("is nothing of nothing", () => {
    expect(findMedian([])).toBeUndefined();
    expect(findMedian([{ value: 3, count: 0 }])).toBeUndefined();
  });

  it("is the middle one of an odd number, the mean of two of an even one", () => {
    expect(findMedian([7, 1, 3].map((value) => ({ value, count: 1 })))).toBe(3);
    expect(findMedian([7, 1, 3, 4].map((value) => ({ value, count: 1 })))).toBe(3.5);
  });

  it("is of counted values what it is of the values laid out in order", () => {
    const tallies = fc.array(fc.record({ value: fc.integer(), count: fc.integer({ min: 1, max: 9 }) }), {
      minLength: 1,
    });
    fc.assert(
      fc.property(tallies, (each) => {
        const laidOut = each.flatMap(({ value, count }) => Array<number>(count).fill(value));
        laidOut.sort((a, b) => a - b);
        const middle = laidOut.length / 2;
        const [low, high] = [laidOut[Math.ceil(middle) - 1], laidOut[Math.floor(middle)]];
        expect(findMedian(each)).toBe(((low ?? Number.NaN) + (high ?? Number.NaN)) / 2);
      }),
    );
  });
});
