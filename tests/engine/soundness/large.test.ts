import { describe, expect, it } from "vitest";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { largeProcedure } from "./large-procedure.ts";
import { replayWitness } from "./replay-witness.ts";

describe("a procedure of 10,000 steps with joins and bounded loops", () => {
  it("is proved without a finding", () => {
    expect(checkProcedure(largeProcedure(10_000))).toEqual([]);
  });

  it("has the one conclusion named that its ways do not prove, with the way to it", () => {
    const procedure = largeProcedure(10_000, true);
    const found = checkProcedure(procedure).filter(({ code }) => code === "unsupported-conclusion");
    expect(found.map(({ severity, step }) => ({ severity, step }))).toEqual([
      { severity: "error", step: "found1249" },
    ]);
    expect(replayWitness(procedure, found[0]?.witness ?? []).step).toBe("found1249");
  });
});
