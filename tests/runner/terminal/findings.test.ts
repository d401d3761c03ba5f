import { readdirSync, readFileSync } from "node:fs";
import { afterAll, describe, expect, it } from "vitest";
import { FINDING_CODES } from "../../../engine/procedure/finding.ts";
import { starterText } from "../../../engine/procedure/starter.ts";
import { isPresentable, probewright, scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);

interface Found {
  readonly code: string;
  readonly severity: string;
  readonly message: string;
  readonly witness?: readonly Row[];
}

interface Row {
  readonly step: string;
  readonly outcome: string;
  readonly reading?: string;
}

/** A gap, a way round for ever, a conclusion that a cannot leads to, and a name that is not there. */
const TEXT = starterText("lamp-stays-dark")
  .replace("low:  { under: 11 V, goto: ground-found }", "low:  { under: 10 V, goto: ground-found }")
  .replace('"no":  { goto: refer }', '"no":  { goto: feed }')
  .replace("    limit: 5 s", "    cannot: { goto: part-found }\n    limit: 5 s");
const BROKEN = files.path("lamp-stays-dark.yaml", TEXT);

describe("explain", () => {
  it("says of a finding what it means and how it is mended", () => {
    const said = probewright("explain", "reading-gap");
    expect(said.code).toBe(0);
    expect(said.out).toContain("reading-gap: A reading with nowhere to go");
    expect(said.out).toContain("To mend it: ");
    const { code, title, meaning, mend } = JSON.parse(probewright("explain", "--json", "dead-end").out);
    expect([code, title]).toEqual(["dead-end", "A way that leads nowhere"]);
    expect(meaning).toMatch(/end/);
    expect(mend).toMatch(/^Lead /);
  });

  it("is exit 2 for a code that there is not, and names the one meant", () => {
    const said = probewright("explain", "raeding-gap", "--json");
    expect(said.code).toBe(2);
    expect(JSON.parse(said.out).error).toMatchObject({ code: "unknown-code" });
    expect(said.err).toContain("Did you mean reading-gap?");
    expect(said.err.trim().split("\n")).toHaveLength(1);
    expect(isPresentable(said)).toBe(true);
  });
});

describe("check --witness-to", () => {
  it("writes answers that a run replays to the step and outcome that the finding names", () => {
    const folder = files.path("witnesses");
    const checked = probewright("check", BROKEN, "--witness-to", folder, "--json");
    expect(checked.code).toBe(1);
    const findings = JSON.parse(checked.out).files[0].findings as readonly Found[];
    const witnessed = findings.flatMap((finding, at) =>
      finding.witness ? [[`lamp-stays-dark-${at + 1}-${finding.code}.yaml`, finding] as const] : [],
    );
    expect(readdirSync(folder).toSorted()).toEqual(witnessed.map(([name]) => name).toSorted());
    expect(witnessed.map(([, { code }]) => code)).toEqual(
      expect.arrayContaining(["reading-gap", "endless-loop", "unsupported-conclusion"]),
    );
    for (const [name, { code, witness = [] }] of witnessed) {
      const run = probewright("run", BROKEN, "--answers", `${folder}/${name}`, "--json");
      const { path, at } = JSON.parse(run.out) as { path: readonly Row[]; at?: string };
      // Only a reading in no band is refused where it is typed: the run stands at that step, and says so.
      const rows = code === "reading-gap" ? witness.slice(0, -1) : witness;
      const walked = path.slice(0, rows.length).map(({ step, outcome }) => [step, outcome]);
      expect([code, ...walked]).toEqual([code, ...rows.map(({ step, outcome }) => [step, outcome])]);
      if (code !== "reading-gap") continue;
      expect([path.length, at, run.code]).toEqual([rows.length, witness.at(-1)?.step, 2]);
      expect(run.err).toContain(witness.at(-1)?.step);
    }
  });

  it("says in one line where nothing can be written", () => {
    const checked = probewright("check", BROKEN, "--witness-to", `${BROKEN}/there`, "--json");
    expect(checked.code).toBe(2);
    expect(JSON.parse(checked.out).error.code).toBe("not-writable");
  });
});

describe("check --as sarif", () => {
  // SARIF 2.1.0, OASIS Standard: what a log, run, tool, result and region must have; clauses from memory.
  it("is one log with every property that the standard requires", () => {
    const checked = probewright("check", BROKEN, "--as", "sarif");
    expect(checked.code).toBe(1);
    const log = JSON.parse(checked.out);
    expect(log.version).toBe("2.1.0"); // 3.13.2
    expect(log.runs).toHaveLength(1); // 3.13.4
    const [{ tool, columnKind, results }] = log.runs;
    expect(tool.driver.name).toBe("probewright"); // 3.19.8
    expect(tool.driver.rules.map((rule: { id: string }) => rule.id)).toEqual(FINDING_CODES); // 3.49.3
    expect(columnKind).toBe("utf16CodeUnits"); // 3.14.17
    for (const result of results) {
      expect(tool.driver.rules[result.ruleIndex].id).toBe(result.ruleId); // 3.27.6
      expect(["none", "note", "warning", "error"]).toContain(result.level); // 3.27.10
      expect(result.message.text).toMatch(/\S/); // 3.11.8
    }
  });

  it("points at the very text that each finding is about", () => {
    const { results } = JSON.parse(probewright("check", BROKEN, "--as", "sarif").out).runs[0];
    const { findings } = JSON.parse(probewright("check", BROKEN, "--json").out).files[0];
    expect(results).toHaveLength(findings.length);
    const lines = readFileSync(BROKEN, "utf8").split("\n");
    for (const [index, result] of results.entries()) {
      const { artifactLocation, region } = result.locations[0].physicalLocation;
      expect(new URL(artifactLocation.uri).pathname).toBe(BROKEN);
      const { line, column, endLine, endColumn } = findings[index];
      expect(region).toEqual({ startLine: line, startColumn: column, endLine, endColumn });
      expect(region.endLine).toBe(region.startLine);
      const text = lines[region.startLine - 1]?.slice(region.startColumn - 1, region.endColumn - 1);
      expect(text).toMatch(/^\S.*$|^\S$/);
    }
  });

  it("knows no other form", () => {
    expect(probewright("check", BROKEN, "--as", "xml").code).toBe(2);
  });
});
