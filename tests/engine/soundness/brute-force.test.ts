import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { proveByWalking } from "./brute-force.ts";
import { randomProcedure } from "./random-procedure.ts";
import { isProven, isTold, told } from "./told-defects.ts";

describe("every run of a small procedure, walked one by one", () => {
  it("shows the defects that are told of it, and no other, on random procedures", () => {
    let defective = 0;
    fc.assert(
      fc.property(randomProcedure(), (procedure) => {
        const { defects, complete } = proveByWalking(procedure, 1_000);
        fc.pre(complete);
        const found = told(procedure);
        defective += defects.size === 0 ? 0 : 1;
        expect([...defects].filter((each) => !isTold(found, each))).toEqual([]);
        // A loop is told of steps that no run comes to as well.
        const alarms = [...found].filter((each) => !isProven([...defects], each) && each !== "endless-loop");
        expect(alarms).toEqual([]);
      }),
      { numRuns: 400 },
    );
    expect(defective).toBeGreaterThan(100);
  });
});
