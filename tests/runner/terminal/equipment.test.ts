import { mkdirSync } from "node:fs";
import { afterAll, describe, expect, it } from "vitest";
import { starterText } from "../../../engine/procedure/starter.ts";
import { isPresentable, probewright, scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);

mkdirSync(files.path("equipment"));
files.path(
  "equipment/small.yaml",
  "equipment: small\ntitle: Small\nspecifications: { feed: { to: 9 V, source: sheet } }\n",
);
files.path(
  "equipment/large.yaml",
  "equipment: large\ntitle: Large\nspecifications: { feed: { from: 11 A, source: sheet } }\n",
);
files.path("equipment/plain.yaml", "equipment: plain\ntitle: Plain\n");

/** A step judged by a specification that sheets have as well. */
const LAMP = files.path(
  "lamp-stays-dark.yaml",
  `procedure: lamp-stays-dark
title: The lamp stays dark
revision: 1
complaint: It stays dark.
equipment: [small, large, plain]
specifications:
  feed: { from: 11 V, source: depot practice }
faults:
  wire-open: { title: Wire open, prior: 1 }
start: feed
steps:
  feed:
    measure: voltage
    unit: V
    specification: feed
    outcomes:
      below: { goto: open }
      within: { goto: refer }
  open: { conclude: wire-open, goto: refer }
  refer: { end: referred }
`,
);
const ANSWERS = files.path("answers.yaml", "feed: 5 V\n");

interface Found {
  readonly code: string;
  readonly equipment?: string;
  readonly notProven?: boolean;
}

describe("check", () => {
  it("names the equipment sheet that a finding shows with, in words and in JSON", () => {
    const checked = probewright("check", LAMP);
    expect(checked.code).toBe(1);
    expect(checked.out).toMatch(/takes 16 V \(from 9 V to OL\).*\n {4}With the equipment sheet small\./);
    const { findings } = JSON.parse(probewright("check", LAMP, "--json").out).files[0] as {
      findings: readonly Found[];
    };
    const by = (code: string) => findings.filter((each) => each.code === code).map((each) => each.equipment);
    expect(by("reading-gap")).toEqual(["small"]);
    expect(by("unit-mismatch")).toEqual(["large"]);
    const { results } = JSON.parse(probewright("check", LAMP, "--as", "sarif").out).runs[0];
    const gap = results.find((each: { ruleId: string }) => each.ruleId === "reading-gap");
    expect(gap.properties).toMatchObject({ equipment: "small" });
  });

  it("does not say that a procedure holds where something is not proven", () => {
    const limits = ["a", "b", "c", "d"];
    const ends = limits.flatMap((id) => [`${id}.from`, `${id}.to`]);
    const bands = [
      "x: { under: a.from, goto: refer }",
      ...ends.slice(1).map((end, at) => `x${at}: { from: ${ends[at]}, under: ${end}, goto: refer }`),
      "y: { from: d.to, goto: refer }",
    ];
    const open = files.path(
      "open.yaml",
      `procedure: open
title: Open
revision: 1
complaint: It stays dark.
specifications:
${limits.map((id) => `  ${id}: { ask: true, unit: V, limits: [from, to] }`).join("\n")}
faults: { wire-open: { title: Wire open, prior: 1 } }
start: feed
steps:
  feed:
    measure: voltage
    unit: V
    bands:
${bands.map((band) => `      ${band}`).join("\n")}
    cannot: { goto: found }
  found: { conclude: wire-open, goto: refer }
  refer: { end: referred }
`,
    );
    const checked = probewright("check", open);
    expect([checked.code, checked.out]).toEqual([
      0,
      expect.stringContaining("nothing to mend, 1 not proven;"),
    ]);
    const { findings } = JSON.parse(probewright("check", open, "--json").out).files[0];
    expect(findings.filter((each: Found) => each.notProven)).toMatchObject([{ code: "reading-gap" }]);
    expect(probewright("check", files.path("lamp.yaml", starterText("lamp"))).out).toContain(
      "lamp.yaml: holds",
    );
  });
});

describe("run --equipment", () => {
  it("refuses a sheet that does not fit, with the place in the sheet, and takes another", () => {
    const refused = probewright("run", LAMP, "--equipment", "large", "--answers", ANSWERS, "--json");
    expect(refused.code).toBe(2);
    expect(JSON.parse(refused.out).error).toMatchObject({ code: "unit-mismatch", line: 3 });
    expect(refused.err).toContain("equipment/large.yaml:3:");
    expect(isPresentable(refused)).toBe(true);
    const ran = probewright("run", LAMP, "--equipment", "plain", "--answers", ANSWERS, "--json");
    expect(ran.code).toBe(0);
    expect(ran.err).not.toContain("large.yaml");
  });
});
