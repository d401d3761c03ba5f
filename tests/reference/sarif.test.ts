import { Ajv } from "ajv";
import { describe, expect, it } from "vitest";
import type { PlacedFinding } from "../../engine/procedure/finding.ts";
import { sarifLog } from "../../runner/terminal/sarif.ts";
import { checked } from "../engine/soundness/seeded/checked.ts";
import { spoiled } from "../engine/soundness/seeded/defect.ts";
import { DEFECTS, SOUND } from "../engine/soundness/seeded/suite.ts";
import { SARIF_LOG } from "./sarif-schema.ts";

const ajv = new Ajv({ allErrors: true });
ajv.addFormat("uri", (text: string) => URL.canParse(text));
ajv.addFormat("uri-reference", (text: string) => URL.canParse(text, "file:///checked/"));
const isLog = ajv.compile(SARIF_LOG);

/** What the schema says against a log. */
function against(log: unknown): readonly string[] {
  isLog(log);
  return (isLog.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}

/** The findings of one procedure of the suite. */
function someFindings(): readonly PlacedFinding[] {
  const [first] = DEFECTS;
  if (first === undefined) throw new Error("The suite is empty.");
  return checked(spoiled(first, SOUND)).placed;
}

describe("a log of findings (SARIF 2.1.0)", () => {
  it("keeps to the published schema for every defect of the suite", () => {
    for (const one of DEFECTS) {
      const { placed } = checked(spoiled(one, SOUND));
      expect(placed).not.toEqual([]);
      expect([one.what, against(sarifLog(placed))]).toEqual([one.what, []]);
    }
  });

  it("keeps to it where there is nothing to tell, and with a file's full path", () => {
    expect(against(sarifLog([]))).toEqual([]);
    const placed = someFindings().map((one) => ({ ...one, file: "/depot/a b#c.yaml" }));
    expect(against(sarifLog(placed))).toEqual([]);
  });

  it.each([
    ["a version of another year", { version: "2.0.0" }],
    ["a run without a tool", { runs: [{ results: [] }] }],
    [
      "a result without a message",
      { runs: [{ tool: { driver: { name: "x" } }, results: [{ level: "error" }] }] },
    ],
    [
      "a level of its own",
      { runs: [{ tool: { driver: { name: "x" } }, results: [{ message: { text: "x" }, level: "bad" }] }] },
    ],
    ["a key of its own", { probewright: true }],
  ])("would be refused with %s", (_, change) => {
    expect(against({ ...sarifLog(someFindings()), ...change })).not.toEqual([]);
  });
});
