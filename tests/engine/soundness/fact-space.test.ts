import { describe, expect, it } from "vitest";
import type { Step } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { act, ask, build, end, fact, type Way } from "./build-procedure.ts";

const round: Way = {
  arms: [
    [{ text: 'facts.plug == "round"', facts: ["plug"] }, "left"],
    [undefined, "right"],
  ],
};
const PLUG = fact("plug", ["round", "flat"]);

function found(steps: readonly Step[], facts = [PLUG]) {
  return checkProcedure(build([...steps, end("refer", "referred"), end("mended", "fixed")], { facts }));
}

describe("a fact that is asked once", () => {
  it("leads the same way at every condition on it: what only two choices at once lead to is out of reach", () => {
    const steps = [
      ask("first", { yes: round, no: "refer" }, { facts: ["plug"] }),
      act("left", "refer"),
      act("right", {
        arms: [
          [{ text: 'facts.plug == "round"', facts: ["plug"] }, "never"],
          [undefined, "refer"],
        ],
      }),
      act("never", "mended"),
    ];
    expect(found(steps).map(({ code, step }) => [code, step])).toEqual([
      ["unreachable-step", "never"],
      ["unreachable-step", "mended"],
    ]);
  });

  it("is chosen in a witness for the last condition of its way, although it was asked at the first step", () => {
    const steps = [
      ask("first", { yes: round, no: "then" }, { facts: ["plug"] }),
      act("then", {
        arms: [
          [{ text: 'facts.plug == "round"', facts: ["plug"] }, "refer"],
          [undefined, "mended"],
        ],
      }),
      act("left", "refer"),
      act("right", "refer"),
    ];
    const [finding] = found(steps).filter(({ code }) => code === "no-verification");
    expect(finding?.witness).toEqual([
      { step: "facts/plug", outcome: "flat" },
      { step: "first", outcome: "no" },
      { step: "then", outcome: "done" },
    ]);
  });

  it("is looked at arm by arm where there are too many to tell their combinations apart", () => {
    const many = Array.from({ length: 7 }, (_, number) => fact(`f${number}`, ["a", "b"]));
    const asked = many.map(({ id }, number) =>
      act(`s${number}`, {
        arms: [
          [{ text: `facts.${id} == "a"`, facts: [id] }, `s${number + 1}`],
          [undefined, number === 0 ? "again" : `s${number + 1}`],
        ],
      }),
    );
    const again = {
      arms: [
        [{ text: 'facts.f0 == "a"', facts: ["f0"] }, "never"],
        [undefined, "refer"],
      ] as const,
    };
    const steps = [
      ...asked,
      act("s7", "refer"),
      act("again", again),
      act("never", "refer"),
      act("end", "mended"),
    ];
    const unreachable = found(steps, many).filter(({ code }) => code === "unreachable-step");
    expect(unreachable.map(({ step }) => step)).toEqual(["end", "mended"]);
  });

  it("leads from a hazard only where one run can come", () => {
    const steps = [
      ask("first", { yes: round, no: "refer" }, { facts: ["plug"] }),
      act("left", "next", { hazards: ["airbag"] }),
      act("right", "next"),
      act("next", {
        arms: [
          [{ text: 'facts.plug == "round"', facts: ["plug"] }, "refer"],
          [undefined, "mended"],
        ],
      }),
    ];
    expect(found(steps).filter(({ code }) => code === "hazard-not-referred")).toEqual([]);
    const [, left = act("left", "next"), ...rest] = steps;
    const [finding] = found([
      ask("first", { yes: round, no: "left" }, { facts: ["plug"] }),
      left,
      ...rest,
    ]).filter(({ code }) => code === "hazard-not-referred");
    expect(finding?.witness).toEqual([
      { step: "facts/plug", outcome: "flat" },
      { step: "first", outcome: "no" },
      { step: "left", outcome: "done" },
      { step: "next", outcome: "done" },
    ]);
  });
});
