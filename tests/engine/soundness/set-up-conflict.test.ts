import { describe, expect, it } from "vitest";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { fanText, sound } from "../procedure/fan-text.ts";

function conflictsOf(fuse: string, motor: string): readonly unknown[] {
  const repairs = `
  fit-fuse: { minutes: 3, ${fuse} do: [ { say: Fit a fuse. } ] }
  fit-motor: { minutes: 45, ${motor} do: [ { say: Fit a motor. } ] }`;
  return checkProcedure(sound(fanText({ repairs })), [])
    .filter(({ code }) => code === "set-up-conflict")
    .map(({ step, params }) => [step, params]);
}

describe("the set-ups of a conclusion of two repairs", () => {
  it("must not be made for one repair and undone for the other", () => {
    const told = conflictsOf("without: [shield-off],", "needs: [plug-apart],");
    expect(told).toEqual([["motor-bad", { setUp: "shield-off", by: "shield-off" }]]);
  });

  it("are sound where both repairs need the same", () => {
    expect(conflictsOf("needs: [shield-off],", "needs: [plug-apart],")).toEqual([]);
  });
});
