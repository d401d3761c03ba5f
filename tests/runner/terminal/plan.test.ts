import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { starterText } from "../../../engine/procedure/starter.ts";
import { TREES } from "../../trees.ts";
import { isPresentable, probewright } from "./program.ts";

const GATE = `${TREES}gate-lift-does-not-lower.yaml`;
const CRANK = `${TREES}slow-crank.yaml`;

interface Tree {
  readonly step?: string;
  readonly outcomes?: readonly { outcome: string; probability: number; next: Tree }[];
  readonly concluded?: readonly string[];
  readonly proof?: number;
}
interface Shares {
  isolated: number;
  wrong: number;
  unresolved: number;
}
interface Report {
  written: { expectedMinutes: number; shares: Shares };
  best: { expectedMinutes: number; exact: boolean; tree: Tree; shares: Shares };
  notCompared: { why: string; step?: string }[];
  lowerBound: number;
  moves: { ask: string; before: string; saves: number }[];
  withMoves: { expectedMinutes: number };
  repairs: { faults: string[]; order: string[]; expectedMinutes: number }[];
}
const plan = (...args: readonly string[]) => probewright("plan", ...args);

const folder = mkdtempSync(join(tmpdir(), "probewright-plan-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The second reading is reckoned from the first, which takes longer. */
const RECKONED_FROM_ANOTHER = `procedure: by-difference
title: Winch drags
revision: 1
complaint: The winch drags.
faults:
  battery: { title: Battery worn, prior: 5, repair: mend }
  wire: { title: Wire corroded, prior: 3, repair: mend }
  motor: { title: Motor worn, prior: 2, repair: mend }
repairs: { mend: { minutes: 5, do: [ { say: Mend it. } ] } }
start: at-battery
steps:
  at-battery:
    measure: voltage
    unit: V
    say: Read the battery.
    minutes: 20
    bands: { low: { under: 10 V, goto: battery-bad }, good: { from: 10 V, goto: at-plug } }
    evidence: { battery: { low: 0.98 }, otherwise: { good: 0.98 } }
  at-plug:
    measure: voltage
    unit: V
    say: Read the plug.
    value: readings["at-battery"] - reading
    minutes: 2
    bands: { good: { under: 1 V, goto: at-motor }, drop: { from: 1 V, goto: wire-bad } }
    evidence: { wire: { drop: 0.98 }, otherwise: { good: 0.98 } }
  at-motor:
    ask: Does the motor turn by hand?
    minutes: 4
    answers: { turns: { goto: hand-over }, stuck: { goto: motor-bad } }
    evidence: { motor: { stuck: 0.98 }, otherwise: { turns: 0.98 } }
  battery-bad: { conclude: battery, verify: again }
  wire-bad: { conclude: wire, verify: again }
  motor-bad: { conclude: motor, verify: again }
  again: { ask: Does it pull?, answers: { pulls: { goto: mended }, drags: { goto: hand-over } } }
  mended: { end: fixed }
  hand-over: { end: referred }
`;

function leaves(tree: Tree): readonly Tree[] {
  return tree.outcomes === undefined ? [tree] : tree.outcomes.flatMap(({ next }) => leaves(next));
}

const ofGate = plan(GATE, "--json");
const gate = JSON.parse(ofGate.out) as Report;

describe("plan", () => {
  it("is exit 2, in a line, for an order that can go round for ever", () => {
    const file = join(folder, "round-and-round.yaml");
    writeFileSync(
      file,
      starterText("round-and-round").replace('"no":  { goto: not-present }', '"no":  { goto: present }'),
    );
    const ran = plan(file, "--json");
    expect(ran.code).toBe(2);
    expect(JSON.parse(ran.out).error).toMatchObject({ code: "endless", file });
    expect(isPresentable(ran)).toBe(true);
  });

  it("tells written, best and bound in the shape of the contract, with a tree of proven conclusions", () => {
    expect(ofGate.code).toBe(0);
    const report = gate;
    expect(report.best.exact).toBe(true);
    expect(report.lowerBound).toBe(report.best.expectedMinutes);
    expect(report.best.expectedMinutes).toBeLessThanOrEqual(report.written.expectedMinutes);
    const concluded = leaves(report.best.tree).filter((leaf) => leaf.concluded !== undefined);
    expect(new Set(concluded.flatMap((leaf) => leaf.concluded)).size).toBeGreaterThanOrEqual(8);
    for (const leaf of concluded) expect(leaf.proof).toBeGreaterThanOrEqual(0.8 - 1e-9);
    const sum = report.best.tree.outcomes?.reduce((all, one) => all + one.probability, 0);
    expect(sum).toBeCloseTo(1, 9);
  });

  it("agrees with a rehearsal on what the written order takes", () => {
    const { written } = JSON.parse(plan(CRANK, "--json").out) as Report;
    const rehearsed = JSON.parse(probewright("rehearse", CRANK, "--runs", "40000", "--json").out) as {
      expectedMinutes: number;
    };
    expect(Math.abs(rehearsed.expectedMinutes / written.expectedMinutes - 1)).toBeLessThan(0.02);
  });

  it("names moves whose savings add up, and the repair to try first", () => {
    const saved = gate.moves.reduce((sum, { saves }) => sum + saves, 0);
    expect(gate.moves.length).toBeGreaterThan(0);
    expect(gate.withMoves.expectedMinutes).toBeCloseTo(gate.written.expectedMinutes - saved, 6);
    const crank = JSON.parse(plan(CRANK, "--json").out) as Report;
    expect(crank.repairs.map(({ faults, order }) => [faults, order])).toEqual([
      [
        ["battery-worn", "battery-flat"],
        ["fit-battery", "find-discharge"],
      ],
    ]);
  });

  it("says it in whole lines", () => {
    const ran = plan(GATE);
    expect(ran.code).toBe(0);
    expect(isPresentable(ran)).toBe(true);
    expect(ran.out).toMatch(/as written {2}\d+\.\d min\n {2}best order {2}\d+\.\d min, proven/);
    expect(ran.out).toMatch(/ask .+ before .+: saves \d+\.\d minutes on average/);
  });

  it("writes the best order as a procedure that holds, and writes over nothing", () => {
    cpSync(TREES, folder, { recursive: true });
    const to = join(folder, "slow-crank-best.yaml");
    const ran = plan(join(folder, "slow-crank.yaml"), "--write", to, "--json");
    expect(ran.code).toBe(0);
    const { best, cutShort } = JSON.parse(ran.out) as Report & { readonly cutShort: readonly string[] };
    // Under load a battery that can't be tested leads on to one more reading.
    expect(cutShort).toEqual(["load"]);
    expect(readFileSync(to, "utf8")).toContain("procedure: slow-crank-best");
    expect(probewright("check", to).out).toContain("holds");
    const again = JSON.parse(plan(to, "--json").out) as Report;
    expect(again.written.expectedMinutes).toBeCloseTo(best.expectedMinutes, 1);
    const twice = plan(join(folder, "slow-crank.yaml"), "--write", to);
    expect([twice.code, twice.err.includes("nothing was written over")]).toEqual([2, true]);
  });

  it("writes a reading in front of what is reckoned from it, in a text that holds", () => {
    const from = join(folder, "by-difference.yaml");
    writeFileSync(from, RECKONED_FROM_ANOTHER);
    const to = join(folder, "by-difference-best.yaml");
    const ran = plan(from, "--write", to);
    expect(ran.code).toBe(0);
    expect(probewright("check", to).code).toBe(0);
    const text = readFileSync(to, "utf8");
    expect(text.indexOf("  at-battery:")).toBeLessThan(text.indexOf("  at-plug:"));
  });

  it("writes nothing where a condition decides what is asked, and says what to do", () => {
    const from = join(folder, "two-kinds.yaml");
    const text = RECKONED_FROM_ANOTHER.replace("by-difference", "two-kinds")
      .replace("faults:", "facts: { kind: { ask: Which kind?, choices: { old: Old, new: New } } }\nfaults:")
      .replace(
        "turns: { goto: hand-over }",
        `turns: { then: [ { if: "facts.kind == 'old'", goto: hand-over }, { goto: wire-bad } ] }`,
      );
    writeFileSync(from, text);
    const to = join(folder, "two-kinds-best.yaml");
    const ran = plan(from, "--write", to);
    expect(ran.code).toBe(2);
    expect(ran.err).toContain("at-motor");
    expect(ran.err).toContain("by hand");
    expect(existsSync(to)).toBe(false);
  });

  it("says what each order finds, which steps keep their place and why, and what is in no order", () => {
    const { out } = plan(CRANK);
    expect(out).toMatch(/the fault, as written: right \d+\.\d %, wrong \d+\.\d %, not found \d+\.\d %/);
    expect(out).toMatch(/the fault, best order: right/);
    expect(out).toMatch(
      /stays in its place, as one of its answers ends the job or asks for an act: .*Battery at rest/,
    );
    expect(out).toMatch(/in no order, .*: Battery while cranking/);
    const report = JSON.parse(plan(CRANK, "--json").out) as Report;
    for (const { shares } of [report.written, report.best])
      expect(shares.isolated + shares.wrong + shares.unresolved).toBeCloseTo(1, 9);
    expect(report.notCompared).toEqual([{ why: "never-come-to", step: "crank-volts" }]);
  });

  it("says no share where nothing takes a minute", () => {
    const from = join(folder, "no-minutes.yaml");
    const text = RECKONED_FROM_ANOTHER.replace("by-difference", "no-minutes");
    writeFileSync(from, text.replace(/minutes: \d+/g, "minutes: 0"));
    const ran = plan(from);
    expect(ran.code).toBe(0);
    expect(ran.out).not.toMatch(/NaN|Infinity/);
  });

  it.each([
    [[`${TREES}not-there.yaml`], "no such file"],
    [[GATE, "--write", "best order.txt"], "file name"],
    [[GATE, "--equipment", "heron-53"], "equipment sheet"],
    [[], "missing required argument"],
    [[GATE, "--order", "best"], "unknown option"],
  ])("ends with exit code 2 and one line for %j", (args, says) => {
    const ran = plan(...args);
    expect(ran.code).toBe(2);
    expect(ran.err.toLowerCase()).toContain(says);
    expect(isPresentable(ran)).toBe(true);
    const asJson = plan(...args, "--json");
    expect(asJson.code).toBe(2);
    expect(JSON.parse(asJson.out)).toHaveProperty("error.code");
  });
});
