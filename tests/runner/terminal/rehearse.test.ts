import { spawn } from "node:child_process";
import { once } from "node:events";
import { writeFileSync } from "node:fs";
import { afterAll, describe, expect, it } from "vitest";
import { TREES } from "../../trees.ts";
import { BIN, probewright, scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);

const GATE = `${TREES}gate-lift-does-not-lower.yaml`;
const rehearse = (...more: readonly string[]) => {
  const ran = probewright("rehearse", GATE, "--runs", "4000", "--json", ...more);
  expect(ran.code).toBe(0);
  return JSON.parse(ran.out) as {
    runs: number;
    isolated: number;
    wrong: number;
    unresolved: number;
    expectedMinutes: number;
    p95Minutes: number;
    exact: { isolated: number } | null;
    perFault: { fault: string; runs: number }[];
    perBranch: { step: string; outcome: string }[];
  };
};

describe("rehearse", () => {
  it("counts every run once, by how it came out and by its fault, in the shape of the contract", () => {
    const report = rehearse("--seed", "7");
    expect(report.runs).toBe(4000);
    expect(report.isolated + report.wrong + report.unresolved).toBe(4000);
    expect(report.perFault.reduce((sum, one) => sum + one.runs, 0)).toBe(4000);
    expect(report.perFault).toHaveLength(11);
    expect(report.p95Minutes).toBeGreaterThan(report.expectedMinutes);
    // The share in the long run lies within four standard errors.
    const { isolated = 0 } = report.exact ?? {};
    const error = Math.sqrt((isolated * (1 - isolated)) / 4000);
    expect(Math.abs(report.isolated / 4000 - isolated)).toBeLessThan(4 * error);
    // A procedure whose conclusions are all proven to 0.8 finds the right fault far more often than not.
    expect(report.isolated / report.runs).toBeGreaterThan(0.8);
    expect(report.perBranch.some(({ step, outcome }) => step === "coil" && outcome === "above")).toBe(true);
  });

  it("gives the same for the same seed, and slips cost right answers", () => {
    const one = rehearse("--seed", "7");
    expect(rehearse("--seed", "7")).toEqual(one);
    expect(rehearse("--seed", "7", "--slips", "0.2").isolated).toBeLessThan(one.isolated);
  });

  it("says why the long run is not reckoned exactly where a condition hangs on a reading's spread", () => {
    const text = `procedure: parted
title: Parted
revision: 1
complaint: It fails.
faults: { worn: { title: Worn, prior: 1 }, other: { title: Something else, prior: 1 } }
start: first
steps:
  first:
    measure: resistance
    say: Across it.
    unit: Ohm
    bands: { any: { then: [{ if: "reading > 15.0", goto: worn-found }, { goto: handed-on }] } }
    evidence: { worn: { reads: 17 Ohm ± 2 Ohm } }
  worn-found: { conclude: worn, goto: handed-on }
  handed-on: { end: referred }
`;
    writeFileSync(files.path("parted.yaml"), text);
    const ran = probewright("rehearse", files.path("parted.yaml"), "--runs", "100");
    expect(ran.code, ran.err).toBe(0);
    expect(ran.out).toContain("not reckoned, for a condition hangs on a reading");
  });

  it("gives the same whatever the number of threads", () => {
    const counted = (workers: string) => {
      const ran = probewright("rehearse", GATE, "--runs", "70000", "--workers", workers, "--json");
      expect(ran.code).toBe(0);
      return JSON.parse(ran.out);
    };
    expect(counted("3")).toEqual(counted("1"));
  });

  it.each(["1", "2"])(
    "ends early at Ctrl-C with what %s threads counted so far",
    async (workers) => {
      const child = spawn(process.execPath, [
        BIN,
        "rehearse",
        GATE,
        "--runs",
        "90000000",
        "--workers",
        workers,
      ]);
      let out = "";
      child.stdout.on("data", (text: Buffer) => {
        out += text.toString();
      });
      setTimeout(() => child.kill("SIGINT"), 3_000);
      const [code] = await once(child, "exit");
      expect(code).toBe(0);
      expect(out).toMatch(/^\d+ runs, seed 1, stopped before 90000000\n/);
      expect(out).toContain("right:");
    },
    30_000,
  );
});
