import { cpSync, existsSync, readFileSync } from "node:fs";
import { basename } from "node:path";
import Database from "better-sqlite3";
import { afterAll, describe, expect, it } from "vitest";
import { TREES } from "../../trees.ts";
import { isPresentable, probewright, scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);

const GATE = `${TREES}gate-lift-does-not-lower.yaml`;
const ANSWERS = new URL("../../faults/gate-lift-does-not-lower/", import.meta.url).pathname;
const data = files.path("data");
let copies = 0;

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

  it("takes no strength of 0, for what no run has shown yet would then be ruled out", () => {
    const ran = probewright("learn", GATE, "--data", data, "--strength", "0");
    expect(ran.code).toBe(2);
    expect(ran.err).toContain("a whole number from 1");
  });

  it("tells of a record that is not as it was written, and learns from the others", () => {
    const cut = copyOf(data, (db) => {
      db.prepare("DELETE FROM lines WHERE run = 1 AND seq = 2").run();
      db.prepare("UPDATE runs SET counted = 0 WHERE id = 1").run();
    });
    const asked = probewright("learn", GATE, "--data", cut, "--json");
    expect(asked.code, asked.err).toBe(0);
    const told = JSON.parse(asked.out) as Told;
    expect([told.taught, told.leftOut["record-broken"], told.leftOut["text-not-known"]]).toEqual([2, 1, 0]);
    const ran = probewright("learn", GATE, "--data", cut);
    expect(ran.out).toContain("1 left out: their record is not as it was written.");
  });

  it("says where a store is damaged, and what to do", () => {
    const folders = [
      copyOf(data, (db) => db.prepare("UPDATE bundles SET manifest = 'nope'").run()),
      copyOf(data, (db) => db.prepare("UPDATE bundles SET manifest = '{}'").run()),
      copyOf(data, (db) => db.prepare("DELETE FROM texts").run()),
    ];
    for (const folder of folders) {
      const ran = probewright("learn", GATE, "--data", folder, "--json");
      expect(ran.code).toBe(2);
      expect(JSON.parse(ran.out)).toMatchObject({ error: { code: "data-damaged" } });
      expect(ran.err).toMatch(
        /store is damaged at (bundles|texts), hash [0-9a-f]{64}: .*Put a copy of shop.sqlite/,
      );
      expect(isPresentable(ran)).toBe(true);
    }
  });
});

/** The store in another folder, changed by hand. */
function copyOf(folder: string, change: (db: Database.Database) => void): string {
  copies += 1;
  const to = files.path(`copy-${copies}`);
  cpSync(folder, to, { recursive: true });
  const db = new Database(`${to}/shop.sqlite`);
  change(db);
  db.close();
  return to;
}
