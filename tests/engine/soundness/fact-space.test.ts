import { describe, expect, it } from "vitest";
import type { Step } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { act, ask, build, end, fact, type Way } from "./build-procedure.ts";
import { checked } from "./seeded/checked.ts";

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

describe("a condition on a choice and a reading at once", () => {
  /** What is told where a flat plug alone leads from `again` to `never`, after this condition held. */
  function told(condition: string) {
    const text = `procedure: one
title: The lamp stays dark
revision: 1
complaint: It stays dark.
facts:
  plug: { title: Plug, ask: Which?, choices: [round, flat] }
faults:
  wire-open: { title: Wire open, prior: 1 }
  other: { title: Something else, prior: 1 }
start: volts
steps:
  volts:
    measure: voltage
    unit: V
    plausible: { from: 2 V, to: 20 V }
    bands:
      low: { under: 5 V, goto: refer }
      high: { from: 5 V, then: [ { if: '${condition}', goto: again }, { goto: refer } ] }
  again:
    ask: Is it dry?
    answers:
      "yes": { then: [ { if: 'facts.plug == "flat"', goto: never }, { goto: refer } ] }
      "no": { goto: refer }
  never: { ask: Is it clean?, answers: { "yes": { goto: refer }, "no": { goto: refer } } }
  refer: { end: referred }
`;
    const { findings, procedure } = checked({ id: "one", text } as Parameters<typeof checked>[0]);
    if (procedure === undefined) throw new Error(JSON.stringify(findings));
    return findings.filter(({ code }) => code === "unreachable-step").map(({ step }) => step);
  }

  it("leads on only with choices that some reading takes it with", () => {
    expect(told('facts.plug == "round" && reading > 8.0')).toEqual(["never"]);
    expect(told('facts.plug == "round" || reading > 30.0')).toEqual(["never"]);
    expect(told('facts.plug == "flat" && reading < 5.0 || facts.plug == "round"')).toEqual(["never"]);
  });

  it("leads on with every choice that a reading can take it with", () => {
    expect(told('facts.plug == "round" || reading > 8.0')).toEqual([]);
    expect(told('!(facts.plug == "round" && reading > 8.0)')).toEqual([]);
    expect(told('facts.plug == "round" ? reading > 8.0 : reading < 6.0')).toEqual([]);
  });
});
