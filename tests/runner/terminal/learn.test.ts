import { existsSync, readFileSync } from "node:fs";
import { basename } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { TREES } from "../../trees.ts";
import { isPresentable, probewright, scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);

const GATE = `${TREES}gate-lift-does-not-lower.yaml`;
const ANSWERS = new URL("../../faults/gate-lift-does-not-lower/", import.meta.url).pathname;
const data = files.path("data");

interface Told {
  runs: number;
  taught: number;
  leftOut: Record<string, number>;
  priors: { fault: string; written: number; learned: number; count: number; of: number }[];
  evidence: { step: string; row: string; outcome: string }[];
  written: string | null;
  left: { file: string; path: (string | number)[] }[];
}

describe("learn", () => {
  it("says that there is nothing to learn from in an empty store", () => {
    const ran = probewright("learn", GATE, "--data", files.path("empty"));
    expect(ran.code).toBe(0);
    expect(ran.out).toContain("no number is changed");
    expect(isPresentable(ran)).toBe(true);
    const to = files.path("nothing.yaml");
    const asked = probewright("learn", GATE, "--data", files.path("empty"), "--write", to);
    expect(asked.code).toBe(0);
    expect(asked.out).toContain("was not written");
    expect(existsSync(to)).toBe(false);
  });

  it("learns from runs that were repaired and verified, and from no others", () => {
    for (const name of ["coil-open", "coil-open", "fuse-open", "_not-present", "_referred"]) {
      const record = files.path(`${name}-${Math.random()}.jsonl`);
      const ran = probewright(
        ...["run", GATE, "--equipment", "bittern-120", "--answers", `${ANSWERS}${name}.yaml`],
        ...["--record", record, "--data", data],
      );
      expect(ran.code).toBeLessThan(2);
    }
    const ran = probewright("learn", GATE, "--data", data, "--json");
    expect(ran.code).toBe(0);
    const told = JSON.parse(ran.out) as Told;
    expect([told.runs, told.taught, told.leftOut["not-verified"]]).toEqual([5, 3, 2]);
    const coil = told.priors.find(({ fault }) => fault === "coil-open");
    expect([coil?.count, coil?.of]).toEqual([2, 3]);
    expect(coil?.learned).toBeGreaterThan(coil?.written ?? Number.POSITIVE_INFINITY);
    expect(told.evidence.length).toBeGreaterThan(0);
    expect(told.written).toBeNull();
  });

  it("writes only where it is told to, never over a file, and says what the proofs think of it", () => {
    const before = readFileSync(GATE, "utf8");
    const to = files.path("learned.yaml");
    const ran = probewright("learn", GATE, "--data", data, "--strength", "200", "--write", to);
    expect(ran.code, ran.err).toBe(0);
    expect(ran.out).toMatch(/numbers changed in .*learned\.yaml/);
    expect(readFileSync(GATE, "utf8")).toBe(before);
    const after = readFileSync(to, "utf8");
    expect(after).not.toBe(before);
    expect(after.split("\n").length).toBe(before.split("\n").length);
    const again = probewright("learn", GATE, "--data", data, "--write", to);
    expect(again.code).toBe(2);
    expect(again.err).toContain("nothing was written over");
    const other = files.path("other.yaml");
    const told = JSON.parse(
      probewright("learn", GATE, "--data", data, "--write", other, "--json").out,
    ) as Told;
    expect(told.written).toBe(other);
    // What the called procedure says of its own plug stands in another file.
    expect(new Set(told.left.map(({ file }) => basename(file)))).toEqual(new Set(["inspect-connector.yaml"]));
  });
});
