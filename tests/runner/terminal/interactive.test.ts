import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { probewright, scratch } from "./program.ts";
import { CTRL_C, ENTER, type PseudoTerminal, terminals } from "./pseudo-terminal.ts";

const files = scratch();
const open = terminals();
afterAll(() => {
  open.killAll();
  files.remove();
});

const FIXTURE = fileURLToPath(new URL("./trees/horn-stays-silent.yaml", import.meta.url));
const TREES = files.path("trees é 1");
mkdirSync(TREES);
const HORN = `${TREES}/horn-stays-silent.yaml`;
copyFileSync(FIXTURE, HORN);
const DATA = files.path("data");

/** The command that goes on with a run, as it is printed. */
function printedCommand(terminal: PseudoTerminal): readonly string[] {
  const line =
    terminal
      .text()
      .split("\n")
      .findLast((one) => one.includes(" run ")) ?? "";
  const words = [...line.matchAll(/'([^']*)'|(\S+)/g)].map((match) => match[1] ?? match[2] ?? "");
  return words.slice(words.indexOf("run"));
}

function linesOf(record: string): readonly { type: string; payload: Record<string, unknown> }[] {
  return readFileSync(record, "utf8")
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line) as { type: string; payload: Record<string, unknown> });
}

describe("a run in a terminal", { timeout: 120_000 }, () => {
  let first: PseudoTerminal;
  let second: PseudoTerminal;
  let resume: readonly string[];
  let record: string;

  beforeAll(async () => {
    first = open.open(["run", HORN, "--data", DATA], 60);
    await first.see("How many horns are fitted?");
    await first.see("3. Not known");
    first.press(ENTER);
    await first.see("Ear protection on.");
    await first.see("2. I can't make it safe");
    first.press(ENTER);
    await first.see("Does it stay silent?");
    await first.see("1. It stays silent");
    first.press(ENTER);
    await first.see("take the grille off");
    await first.see("1. Done: grille off");
    first.press(ENTER);
    await first.see("1. Ear protection is on");
    first.press(ENTER);
    await first.see("1. Count the 1 s from now");
    first.press(ENTER);
    await first.see("Let go now.");
    await first.see("Reading in V");
    first.press(`12..5${ENTER}`);
    await first.see("more than one decimal point");
    first.press(`\u0015-12${ENTER}`);
    await first.see("not plausible");
    await first.see("Reading in V");
    first.press(`9,5${CTRL_C}`);
    await first.see("Go on later with:");
    expect(await first.ended()).toBe(2);
    resume = printedCommand(first);
    record = resume[resume.indexOf("--record") + 1] ?? "";

    second = open.open(resume, 40);
    await second.see("So far:");
    await second.see("Complaint: It stays silent");
    await second.see("WARNING");
    await second.see("1. Count the 1 s from now");
    second.press(`2${ENTER}`);
    await second.see("Reading in V");
    second.press(`12,4${ENTER}`);
    await second.see("Good.");
    await second.see("1. Start the wait of 5 min");
    second.press(ENTER);
    await second.see("Waiting: 4:5");
    second.press("x");
    await second.see("Reading in Ω");
    second.press(`why${ENTER}`);
    await second.see("What your answers say of");
    await second.see("12,4 V, Good - a little");
    await second.see("Reading in Ω");
    second.press(ENTER);
    await second.see("Change an earlier answer");
    second.press(`4${ENTER}`);
    await second.see("Which answer is to be changed?");
    await second.see("Feed at the horn: 12,4 V, Good");
    second.press(`3${ENTER}`);
    await second.see("once more");
    await second.see("Reading in V");
    second.press(`12.6${ENTER}`);
    await second.see("12.6 V, where");
    await second.see("1. Start the wait of 5 min");
    second.press(`2${ENTER}`);
    await second.see("Reading in Ω");
    second.press(`ol${ENTER}`);
    await second.see("Leads in Ω");
    second.press(`0.2${ENTER}`);
    await second.see("Temperature in °C");
    second.press(`21${ENTER}`);
    await second.see("Above the limit.");
    await second.see("1. Ear protection is on");
    second.press(ENTER);
    await second.see("Found: Horn winding open");
    await second.see("1. Done: fit a new horn");
    second.press(ENTER);
    await second.see("1. It is back");
    second.press(ENTER);
    await second.see("1. It sounds");
    second.press(ENTER);
    await second.see("1. Close the job");
    second.press(ENTER);
    await second.see("Record:");
    expect(await second.ended()).toBe(0);
  }, 120_000);

  it("gone on with after Ctrl-C by the printed command ends with a record whose chain holds", () => {
    const replayed = probewright("replay", record, "--procedure", HORN, "--json");
    expect(replayed.code).toBe(0);
    expect(JSON.parse(replayed.out)).toMatchObject({
      chain: "holds",
      end: "fixed",
      concluded: ["horn-open"],
    });
  });

  it("records the reading as typed, with leads, the temperature's unit and the minutes really waited", () => {
    const readings = linesOf(record).filter((line) => line.type === "reading");
    expect(readings.map((line) => line.payload.reading)).toEqual(["12,4", "ol"]);
    expect(readings[1]?.payload).toMatchObject({ leads: "0.2", temperature: "21 degC", waited: 5 });
  });

  it("keeps an amended answer beside the one it replaces", () => {
    const amended = linesOf(record).find((line) => line.type === "amend");
    expect(amended?.payload).toMatchObject({ event: { type: "reading", reading: "12.6" } });
  });

  it("gives the signal word a row of its own before the hazard, set off by a bar", () => {
    expect(first.text()).toMatch(
      /\| {1,2}WARNING ?\n\| The horn hurts ears at arm's length\.\n\| Ear protection on\./,
    );
  });

  it("stays within the columns of the terminal, but for the command that is there to be copied", () => {
    for (const [terminal, columns] of [
      [first, 60],
      [second, 40],
    ] as const) {
      const rows = terminal.rows().filter((row) => !row.includes(HORN) && !row.startsWith("Record:"));
      expect(rows.filter((row) => row.length > columns)).toEqual([]);
    }
  });

  it("says the torque of what is put back, in both systems of units", () => {
    expect(second.text()).toContain("Tighten to 4 N·m (35.4 lbf·in).");
  });

  it("is counted by the audit of the store it was kept in", () => {
    const audited = probewright("audit", "--data", DATA, "--trees", TREES, "--json");
    const { procedures } = JSON.parse(audited.out) as { procedures: { runs: number; ended: number }[] };
    expect(procedures).toMatchObject([{ procedure: "horn-stays-silent", runs: 1, ended: 1 }]);
  });

  it("leaves no lock behind", () => {
    expect(() => readFileSync(`${record}.lock`)).toThrow(/ENOENT/);
  });
});

describe("why, typed where the terminal has no cursor", { timeout: 60_000 }, () => {
  it("shows what is still possible and asks the same again", async () => {
    const plain = open.open(["run", HORN, "--record", files.path("why.jsonl"), "--data", DATA], 80, {
      TERM: "dumb",
    });
    await plain.see("Number: ");
    plain.press("3\n");
    await plain.see("Number: ");
    plain.press("1\n");
    await plain.see("Why this?");
    await plain.see("Number: ");
    plain.press("why\n");
    await plain.see("decides how the job goes on");
    await plain.see("Still possible:");
    await plain.see("Horn winding open");
    await plain.see("Number: ");
    plain.press(CTRL_C);
    expect(await plain.ended()).toBe(2);
  });
});

describe("a step taken by choice, where the order is free", { timeout: 60_000 }, () => {
  it("is asked while the written one waits, and leads to what its reading proves", async () => {
    const free = files.path("horn-stays-silent.yaml");
    writeFileSync(free, `${readFileSync(FIXTURE, "utf8")}\nfree-order: true\n`);
    const record = files.path("free.jsonl");
    const plain = open.open(["run", free, "--record", record, "--data", DATA], 80, { TERM: "dumb" });
    for (const answer of ["3", "1", "1"]) {
      await plain.see("Number: ");
      plain.press(`${answer}\n`);
    }
    await plain.see("Take another step first");
    await plain.see("Number: ");
    plain.press("other\n");
    await plain.see("1. Horn winding");
    await plain.see("Number: ");
    plain.press("1\n");
    await plain.see("Taken by choice; “Feed at the horn” waits.");
    await plain.see("Number: ");
    plain.press("1\n");
    await plain.see("Start the wait");
    await plain.see("Number: ");
    plain.press("why\n");
    await plain.see("What else would help:");
    await plain.see("It is the written one, and waits.");
    await plain.see("Number: ");
    plain.press("2\n");
    await plain.see("Reading in");
    plain.press("ol\n");
    await plain.see("Leads in");
    plain.press("0.2\n");
    await plain.see("Temperature in");
    plain.press("21\n");
    await plain.see("Above the limit.");
    await plain.see("Ear protection is on");
    plain.press(CTRL_C);
    expect(await plain.ended()).toBe(2);
    expect(linesOf(record).find((line) => line.type === "choose")?.payload).toEqual({ step: "winding" });
    const replayed = probewright("replay", record, "--procedure", free, "--json");
    expect(JSON.parse(replayed.out)).toMatchObject({ chain: "holds", at: "horn-bad" });
  });
});

describe("a record that is taken up again", { timeout: 120_000 }, () => {
  const record = files.path("cut.jsonl");
  const noStore = `${files.path("no-folder", "not a folder\n")}/data`;
  const cut = '{"at":"2026-01-05T08:00:00.000Z","hash":"12';
  let whole: string;
  let other: PseudoTerminal;
  let plain: PseudoTerminal;
  let after: string;

  beforeAll(async () => {
    const first = open.open(["run", HORN, "--record", record, "--data", noStore]);
    await first.see("3. Not known");
    first.press(ENTER);
    await first.see("1. Ear protection is on");
    first.press(CTRL_C);
    await first.see("did not take this run");
    await first.see("Go on later with:");
    await first.ended();
    whole = readFileSync(record, "utf8");
    writeFileSync(record, whole + cut);

    const second = open.open(["run", HORN, "--record", record, "--data", noStore]);
    await second.see("cut off");
    await second.see("Horns fitted: One");
    await second.see("1. Ear protection is on");
    other = open.open(["run", HORN, "--record", record, "--data", DATA]);
    await other.see("being written by process");
    const { pid } = JSON.parse(readFileSync(`${record}.lock`, "utf8")) as { pid: number };
    process.kill(pid, "SIGKILL");
    await second.ended();
    after = readFileSync(record, "utf8");

    plain = open.open(["run", HORN, "--record", record, "--data", DATA], 80, { TERM: "dumb" });
    await plain.see("2. I can't make it safe");
    await plain.see("Number: ");
    plain.press("2\n");
    await plain.see("3. Not safe to do now");
    await plain.see("Number: ");
    plain.press("seven\n");
    await plain.see("Type a number from 1 to");
    plain.press("3\n");
    await plain.see("Not resolved");
    await plain.see("Number: ");
    plain.press("1\n");
    await plain.see("Record:");
    await plain.ended();
  }, 120_000);

  it("loses only a last line cut off by a crash, and keeps its bytes beside it", () => {
    expect(after).toBe(whole);
    expect(readFileSync(`${record}.cut`, "utf8")).toBe(cut);
  });

  it("is refused to a second process with one line and exit code 2", async () => {
    expect(await other.ended()).toBe(2);
    expect(other.text().trim().split("\n")).toHaveLength(1);
  });

  it("is free again when the process that held it was killed", () => {
    expect(readFileSync(record, "utf8").startsWith(whole)).toBe(true);
    expect(readFileSync(record, "utf8").length).toBeGreaterThan(whole.length);
  });

  it("ends unresolved, exit code 1, where the first step can't be made safe", async () => {
    expect(await plain.ended()).toBe(1);
    expect(linesOf(record).at(-1)).toMatchObject({
      type: "cannot",
      payload: { step: "silent", reason: "Not safe to do now" },
    });
  });

  it("is asked line by line, without a single escape sequence, where the terminal has no cursor", () => {
    expect(plain.raw()).not.toContain("\u001b");
  });
});
