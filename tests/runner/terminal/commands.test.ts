import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, it } from "vitest";
import { SHIPPED, TREES } from "../../trees.ts";
import { isPresentable, probewright, scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);
const FAULTS = fileURLToPath(new URL("../../faults/", import.meta.url));
const GATE = `${TREES}gate-lift-does-not-lower.yaml`;
const COIL_OPEN = `${FAULTS}gate-lift-does-not-lower/coil-open.yaml`;

describe("check", () => {
  it.each(SHIPPED)("holds %s", (id) => {
    const checked = probewright("check", `${TREES}${id}.yaml`);
    expect(checked.out).not.toMatch(/: error: /);
    expect(checked.code).toBe(0);
  });

  it("takes the whole folder and leaves the equipment sheets alone", () => {
    const { files: checked } = JSON.parse(probewright("check", "--json", TREES).out) as {
      files: { file: string }[];
    };
    expect(checked.map((one) => one.file.split("/").at(-1))).toContain("slow-crank.yaml");
    expect(checked.some((one) => one.file.includes("equipment"))).toBe(false);
  });

  it("says every finding in whole sentences, nothing left out of them", () => {
    const { files: checked } = JSON.parse(probewright("check", "--json", TREES).out) as {
      files: { findings: { message: string; mend: string }[] }[];
    };
    for (const { findings } of checked)
      for (const { message, mend } of findings)
        expect(`${message} ${mend}`).not.toMatch(/ {2}|undefined|\[object|NaN| ;|“”|""/);
  });
});

describe("run with answers", () => {
  it("gives the result in the shape of the contract, and nothing else on standard output", () => {
    const ran = probewright("run", GATE, "--answers", COIL_OPEN, "--json");
    expect(ran.code).toBe(0);
    const result = JSON.parse(ran.out) as Record<string, unknown>;
    expect(Object.keys(result)).toEqual(
      expect.arrayContaining(["end", "faults", "path", "minutes", "putBack"]),
    );
    expect(result.end).toBe("fixed");
    const path = result.path as Record<string, unknown>[];
    const coil = path.find((row) => row.step === "coil");
    expect(coil?.reading).toBe("OL");
    expect(path.at(-1)?.outcome).toBe("fixed");
    for (const item of result.putBack as Record<string, unknown>[]) expect(item.done).toBe(true);
  });

  it("that run out is exit 2 with one line that names the step, and everything so far in JSON", () => {
    const first = readFileSync(COIL_OPEN, "utf8")
      .split("\n")
      .filter((line) => !line.startsWith("coil:"))
      .join("\n");
    const answers = files.path("short.yaml", first);
    const ran = probewright("run", GATE, "--answers", answers, "--json");
    expect(ran.code).toBe(2);
    expect(ran.err.trim().split("\n")).toHaveLength(1);
    expect(ran.err).toContain("coil");
    const result = JSON.parse(ran.out) as { end: null; at: string; path: unknown[] };
    expect(result.end).toBeNull();
    expect(result.at).toBe("coil");
    expect(result.path.length).toBeGreaterThan(2);
  });

  it("for a step that is not there is exit 2 with the step meant", () => {
    const answers = files.path("wrong.yaml", `${readFileSync(COIL_OPEN, "utf8")}\nsuply: 24 V\n`);
    const ran = probewright("run", GATE, "--answers", answers, "--json");
    expect(ran.code).toBe(2);
    expect(ran.err).toContain("supply");
    const { error } = JSON.parse(ran.out) as { error: { code: string; line: number; column: number } };
    expect(error.code).toBe("unknown-step");
    expect(error.line).toBeGreaterThan(1);
    expect(error.column).toBe(1);
  });

  it("writes a record whose chain holds and which replays to the same end", () => {
    const record = files.path("coil-open.jsonl");
    const ran = probewright("run", GATE, "--answers", COIL_OPEN, "--json", "--record", record);
    const replayed = probewright("replay", record, "--procedure", GATE, "--json");
    expect(replayed.code).toBe(0);
    const { path, end, minutes } = JSON.parse(ran.out) as Record<string, unknown>;
    const again = JSON.parse(replayed.out) as Record<string, unknown>;
    expect(again).toMatchObject({ chain: "holds", path, end, minutes });
  });

  it("writes over no record that is there", () => {
    const record = files.path("taken.jsonl", "somebody's\n");
    const ran = probewright("run", GATE, "--answers", COIL_OPEN, "--record", record);
    expect(ran.code).toBe(2);
    expect(readFileSync(record, "utf8")).toBe("somebody's\n");
  });

  it("finds a record that was changed afterwards", () => {
    const record = files.path("changed.jsonl");
    probewright("run", GATE, "--answers", COIL_OPEN, "--record", record);
    const lines = readFileSync(record, "utf8").split("\n");
    const target = lines.findIndex((line) => line.includes('"type":"answer"'));
    writeFileSync(
      record,
      lines
        .map((line, index) => (index === target ? line.replace('"answer":"', '"answer":"x') : line))
        .join("\n"),
    );
    const replayed = probewright("replay", record, "--json");
    expect(replayed.code).toBe(1);
    const { error } = JSON.parse(replayed.out) as { error: { code: string; line: number } };
    expect(error).toMatchObject({ code: "wrong-hash", line: target + 1 });
  });

  it("without a terminal and without answers says what is missing", () => {
    const ran = probewright("run", GATE);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain("--answers");
    expect(isPresentable(ran)).toBe(true);
  });
});

describe("the other commands", () => {
  it("new writes a procedure that holds, and writes over nothing", () => {
    const file = files.path("brake-light-stays-on.yaml");
    const folder = file.slice(0, file.lastIndexOf("/"));
    const made = probewright("new", "brake-light-stays-on", "--into", folder);
    expect(made.code).toBe(0);
    expect(existsSync(file)).toBe(true);
    expect(probewright("check", file).code).toBe(0);
    expect(probewright("new", "brake-light-stays-on", "--into", folder).code).toBe(2);
  });

  it("draw gives a flowchart of every step", () => {
    const drawn = probewright("draw", GATE);
    expect(drawn.code).toBe(0);
    expect(drawn.out).toMatch(/^flowchart TD/m);
  });

  it("audit counts a fresh store as empty", () => {
    const audited = probewright("audit", "--data", files.path("data"), "--json");
    expect(audited.code).toBe(0);
    const { procedures } = JSON.parse(audited.out) as { procedures: { runs: number }[] };
    expect(procedures.every((one) => one.runs === 0)).toBe(true);
  });

  it.each([["no-such-command"], ["check"], ["run"], ["serve", "--port", "99999"]])(
    "a wrong call of %s is exit 2 and one line",
    (...args) => {
      const ran = probewright(...args);
      expect(ran.code).toBe(2);
      expect(ran.err.trim().split("\n")).toHaveLength(1);
    },
  );
});
