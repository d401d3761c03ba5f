import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, it } from "vitest";
import { SHIPPED, TREES } from "../../trees.ts";
import { BIN, isPresentable, probewright, scratch } from "./program.ts";

const files = scratch();
afterAll(files.remove);
const FAULTS = fileURLToPath(new URL("../../faults/", import.meta.url));
const GATE = `${TREES}gate-lift-does-not-lower.yaml`;
const HORN = fileURLToPath(new URL("./trees/horn-stays-silent.yaml", import.meta.url));
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

  it("takes an equipment sheet for what it is, by itself or with its folder", () => {
    const checked = probewright("check", `${TREES}equipment/curlew.yaml`, `${TREES}equipment`);
    expect(checked.code).toBe(0);
    expect(checked.out).toContain("curlew.yaml: equipment sheet, holds");
    const broken = files.path("curlew.yaml", "equipment: curlew\nspecifications: { rest: { form: 12 V } }\n");
    const found = probewright("check", broken);
    expect(found.code).toBe(1);
    expect(found.out).toContain(`${broken}:2:`);
  });

  it("with one path that can't be opened still shows the others, and is exit 2", () => {
    const checked = probewright("check", `${TREES}inspect-connector.yaml`, files.path("nowhere.yaml"));
    expect(checked.code).toBe(2);
    expect(checked.out).toContain("inspect-connector.yaml: holds");
    expect(checked.err.trim().split("\n")).toHaveLength(1);
  });

  it("reads Windows line ends, a byte order mark, and a path with spaces and accents", () => {
    const text = readFileSync(HORN, "utf8");
    mkdirSync(files.path("mes procédures"));
    const file = files.path(
      "mes procédures/horn-stays-silent.yaml",
      `\ufeff${text.replaceAll("\n", "\r\n")}`,
    );
    const checked = probewright("check", file);
    expect(checked.code).toBe(0);
    expect(checked.out).toContain(`${file}: holds`);
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

  it("puts the run into the store only where one is named, and the audit counts it there", () => {
    const answers = files.path(
      "horn.yaml",
      'facts: { horns: one }\nsilent: "yes"\nfeed: 12.40\nwinding: { reading: OL, leads: 0.2, temperature: 21, wait: 4 min }\nsounds: "yes"\n',
    );
    const data = files.path("named-data");
    const ran = probewright("run", HORN, "--answers", answers, "--data", data, "--json");
    expect(ran.code).toBe(0);
    const { path } = JSON.parse(ran.out) as { path: { step: string; reading?: string }[] };
    expect(path.find((row) => row.step === "feed")?.reading).toMatch(/^12\.40\b/);
    const folder = HORN.slice(0, HORN.lastIndexOf("/"));
    const audited = probewright("audit", "--data", data, "--trees", folder, "--json");
    const { procedures } = JSON.parse(audited.out) as { procedures: { runs: number; ended: number }[] };
    expect(procedures).toMatchObject([{ runs: 1, ended: 1 }]);
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

describe("explain", () => {
  it("says what a finding means", () => {
    const explained = probewright("explain", "reading-gap", "--json");
    expect(explained.code).toBe(0);
    expect(JSON.parse(explained.out)).toMatchObject({
      code: "reading-gap",
      title: "A reading with nowhere to go",
    });
  });

  it("names the code that was meant, with exit code 2", () => {
    const explained = probewright("explain", "raeding-gap");
    expect(explained.code).toBe(2);
    expect(explained.err).toContain("reading-gap");
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

  it.each([
    { args: [], said: "--help" },
    { args: ["no-such-command"], said: "no-such-command" },
    { args: ["check"], said: "path" },
    { args: ["run", "--bogus"], said: "--bogus" },
    { args: ["serve", "--port", "99999"], said: "99999" },
    { args: ["draw", GATE, "--as", "svg"], said: "mermaid" },
    { args: ["run", `${TREES}equipment/curlew.yaml`], said: "--equipment curlew" },
    { args: ["run", GATE, "--equipment", "bitern-120", "--answers", COIL_OPEN], said: "bittern-120" },
  ])("a wrong call is exit 2, one line, and one JSON value that says $said", ({ args, said }) => {
    const ran = probewright(...args, "--json");
    expect(ran.code).toBe(2);
    expect(ran.err.trim().split("\n")).toHaveLength(1);
    expect(ran.err).toContain(said);
    const { error } = JSON.parse(ran.out) as { error: { code: string; message: string } };
    expect(ran.err).toContain(error.message);
  });

  it("help and version, too, are one JSON value where that is asked for", () => {
    expect(probewright("--version").out).toMatch(/^probewright \d+\.\d+\.\d+\n$/);
    const { text } = JSON.parse(probewright("run", "--help", "--json").out) as { text: string };
    expect(text).toContain("--answers");
  });

  it("a reader that goes away is no error", () => {
    const { status, stderr } = spawnSync(
      "bash",
      ["-c", 'set -o pipefail; "$0" "$1" draw "$2" | head -c 20', process.execPath, BIN, GATE],
      { encoding: "utf8" },
    );
    expect(stderr).toBe("");
    expect(status).toBe(0);
  });
});
