import { describe, expect, it } from "vitest";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { openFacts } from "../../../engine/soundness/open-facts.ts";
import { checked } from "./seeded/checked.ts";
import type { SoundCase } from "./seeded/parts.ts";

/** A procedure whose fuse is only looked at in a 12 V system. */
function lamp(id: string, top = ""): string {
  return `procedure: ${id}
title: The lamp stays dark
revision: 1
complaint: It stays dark.
${top}
facts: { volts: { title: System, ask: Which system?, choices: ["12", "24"] } }
faults:
  fuse-open: { title: Fuse open, prior: 1 }
  wire-open: { title: Wire open, prior: 1 }
start: system
steps:
  system:
    ask: Is the lamp in?
    answers:
      "yes": { then: [ { if: 'facts.volts == "12"', goto: fuse }, { goto: wire } ] }
      "no": { goto: refer }
    evidence: { otherwise: { "yes": 0.5, "no": 0.5 } }
  fuse:
    ask: Is the fuse open?
    answers: { "yes": { goto: fuse-found }, "no": { goto: wire } }
    evidence: { fuse-open: { "yes": 0.97 }, otherwise: { "no": 0.97 } }
  wire:
    ask: Is the wire open?
    answers: { "yes": { goto: wire-found }, "no": { goto: refer } }
    evidence: { wire-open: { "yes": 0.97 }, otherwise: { "no": 0.97 } }
  fuse-found: { conclude: fuse-open, goto: refer }
  wire-found: { conclude: wire-open, goto: refer }
  refer: { end: referred }
`;
}

function sheet(id: string, volts: string): string {
  return `equipment: ${id}\ntitle: ${id}\nfacts: { volts: "${volts}" }\n`;
}

function alarms(text: string, more: Pick<SoundCase, "called" | "sheets">): readonly string[] {
  const { findings, procedure } = checked({ id: "lamp", text, ...more } as SoundCase);
  if (procedure === undefined) throw new Error(JSON.stringify(findings));
  return findings
    .filter(({ severity }) => severity !== "note")
    .map(({ code, step, params }) => `${code} ${step ?? params.fault ?? params.faults}`);
}

describe("what is nowhere", () => {
  const sheets = { small: sheet("small", "12"), large: sheet("large", "24") };

  it("is not told where one sheet comes to it and another does not", () => {
    expect(alarms(lamp("lamp", "equipment: [small, large]"), { sheets })).toEqual([]);
    expect(alarms(lamp("lamp", "equipment: [large]"), { sheets })).toEqual([]);
  });

  it("is told where no sheet comes to it, nor a run without", () => {
    const text = lamp("lamp", "equipment: [small, large]").replace('"12"\', goto', '"6"\', goto');
    const found = alarms(text, { sheets });
    expect(found).toContain("unreachable-step fuse");
    expect(found).toContain("fault-never-found fuse-open");
  });

  it("is not told of a called procedure where the call's own fact rules it out", () => {
    const caller = (give: string) => `procedure: lamp
title: The lamp stays dark
revision: 1
complaint: It stays dark.
start: inside
steps:
  inside: { call: inner, ${give} returns: { referred: { goto: refer } } }
  refer: { end: referred }
`;
    const called = { inner: lamp("inner") };
    expect(alarms(caller('give: { volts: "24" },'), { called })).toEqual([]);
    const lost = { inner: lamp("inner").replace("goto: fuse }", "goto: wire }") };
    expect(alarms(caller('give: { volts: "24" },'), { called: lost })).toContain(
      "unreachable-step inside/fuse",
    );
  });

  it("is told of faults that no test tells apart with any sheet, whatever else they stand with", () => {
    const two = lamp("lamp", "equipment: [small, large]")
      .replace("  wire-open: {", "  bulb-blown: { title: Bulb blown, prior: 1 }\n  wire-open: {")
      .replace("conclude: wire-open", "conclude: [wire-open, bulb-blown]")
      .replace('wire-open: { "yes": 0.97 }', 'wire-open: { "yes": 0.97 }, bulb-blown: { "yes": 0.97 }');
    const { findings } = checked({ id: "lamp", text: two, sheets } as unknown as SoundCase);
    const groups = findings.filter(({ code }) => code === "faults-not-told-apart");
    expect(groups.map(({ params }) => params.faults)).toEqual(["bulb-blown, wire-open"]);
  });
});

describe("thousands of steps that nothing leads to", () => {
  it("are told once each, with a sheet and without", () => {
    const { procedure } = checked({ id: "lamp", text: lamp("lamp") } as SoundCase);
    const fuse = procedure?.steps.get("fuse-found");
    if (procedure === undefined || fuse === undefined) throw new Error("not read");
    const left = Array.from({ length: 2000 }, (_, at) => {
      const id = `left${at}`;
      return [id, { ...fuse, id, node: { ...fuse.node, path: ["steps", id] } }] as const;
    });
    const steps = new Map([...procedure.steps, ...left]);
    const found = checkProcedure({ ...procedure, steps }, [{ ...procedure, steps: new Map(steps) }]);
    expect(found.filter(({ code }) => code === "unreachable-step").length).toBe(2000);
  });
});

describe("a procedure with facts that a call gives", () => {
  it("is proved again and again with the same facts left open", () => {
    const { procedure } = checked({ id: "lamp", text: lamp("lamp") } as SoundCase);
    const volts = procedure?.facts.get("volts");
    if (procedure === undefined || volts === undefined) throw new Error("not read");
    const given = { ...procedure, facts: new Map([["volts", { ...volts, given: "12" }]]) };
    const open = openFacts(given.facts);
    expect([...open]).toEqual([["volts", volts]]);
    expect(openFacts(given.facts)).toBe(open);
    expect(openFacts(procedure.facts)).toBe(procedure.facts);
  });
});
