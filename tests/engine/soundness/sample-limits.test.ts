import { describe, expect, it } from "vitest";
import type { Specification } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { sampleLimits } from "../../../engine/soundness/sample-limits.ts";
import { witnessAnswers } from "../../../engine/soundness/witness-answers.ts";
import { ask, build, conclude, end, measure, specification } from "./build-procedure.ts";

const open = (id: string, limits: ("from" | "to" | "under" | "over")[], unit = "V"): Specification =>
  specification(id, "", { open: { unit, limits } });

const ENDS = [end("refer", "referred"), end("mended", "fixed")];

/** What the specifications are told so that each of these bands of one step holds some reading. */
function told(specifications: readonly Specification[], bands: Readonly<Record<string, string>>, unit = "V") {
  const ways = Object.entries(bands).map(([band, limits]) => [band, [limits, "refer"]] as const);
  const step = measure("m", Object.fromEntries(ways), { unit });
  const procedure = build([step, ...ENDS], { specifications });
  return specifications.map((each) => sampleLimits(procedure, each));
}

describe("limits that a witness tells of open specifications", () => {
  it("are 1 and 2 of their unit where that leaves room in each band", () => {
    expect(told([open("feed", ["from", "to"])], {})).toEqual([{ from: "1 V", to: "2 V" }]);
    expect(told([open("feed", ["from"])], { low: "under feed.from", good: "from feed.from" })).toEqual([
      { from: "1 V" },
    ]);
    expect(told([open("feed", ["over", "under"])], { low: "from 0.5 V, under feed.over" })).toEqual([
      { over: "1 V", under: "2 V" },
    ]);
    expect(told([specification("feed", "from 1 V")], {})).toEqual([undefined]);
  });

  it("leave room above a number that a band begins at, and below one that it ends at", () => {
    const bands = { dead: "under 9 V", weak: "from 9 V, under feed.from", good: "from feed.from" };
    expect(told([open("feed", ["from"])], bands)).toEqual([{ from: "16 V" }]);
    expect(told([open("feed", ["from", "to"])], { ...bands, high: "over feed.to, to 15 V" })).toEqual([
      { from: "12 V", to: "14 V" },
    ]);
    expect(told([open("drop", ["to"])], { good: "to drop.to", bad: "over drop.to, under 0.5 V" })).toEqual([
      { to: "0.2 V" },
    ]);
  });

  it("stand in the order in which bands name several specifications, each in its own unit", () => {
    const one = open("one", ["from", "to"]);
    const two = open("two", ["from", "to"], "mV");
    expect(told([one, two], { between: "from one.to, under two.from" })).toEqual([
      { from: "3 V", to: "5 V" },
      { from: "10000 mV", to: "20000 mV" },
    ]);
  });

  it("are 1 and 2 where no numbers leave room in every band", () => {
    const bands = { one: "from 5 V, under feed.from", two: "from feed.from, under 5 V" };
    expect(told([open("feed", ["from"])], bands)).toEqual([{ from: "1 V" }]);
    const round = { one: "from a.from, under b.from", two: "from b.from, under a.from" };
    expect(told([open("a", ["from"]), open("b", ["from"])], round)).toEqual([
      { from: "1 V" },
      { from: "1 V" },
    ]);
  });

  it("let a run walk through a band between a number and a limit that it is told", () => {
    const procedure = build(
      [
        {
          ...measure("feed", {
            dead: ["under 9 V", "refer"],
            weak: ["from 9 V, under feed.from", "asked"],
            good: ["from feed.from", "refer"],
          }),
          specifications: ["feed"],
        },
        ask("asked", { yes: "blown", no: "refer" }),
        conclude("blown", "f0", { verify: "works" }),
        ask("works", { yes: "mended", no: "refer" }),
        ...ENDS,
      ],
      { specifications: [open("feed", ["from"])], faults: { f0: 1, f1: 1 } },
    );
    const found = checkProcedure(procedure).find(({ code }) => code === "unsupported-conclusion");
    expect(found).toMatchObject({ severity: "error", params: { why: "shown", probability: 0.5 } });
    expect(found?.witness?.[0]).toEqual({
      step: "feed",
      outcome: "weak",
      reading: expect.any(String),
      limits: { feed: { from: "16 V" } },
    });
    expect(witnessAnswers(procedure, found?.witness ?? [])).toContain("from: 16 V");
  });
});
