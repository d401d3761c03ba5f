// Common practice of the trade, no published source: what a technician would expect of these readings and
// torques. Every case goes the way a run goes: text, linked procedure, one event at a time.
import { describe, expect, it } from "vitest";
import { advance } from "../../engine/machine/advance.ts";
import { openRun } from "../../engine/machine/apply.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import type { PathRow, Run } from "../../engine/machine/run.ts";
import { loadProcedure, usable } from "../../engine/procedure/load.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import type { JudgedReading } from "../../engine/quantity/judge.ts";
import { torqueText } from "../../runner/kit/torque-text.ts";
import { clearText, settleText } from "../../runner/kit/verdict-words.ts";
import { shippedProcedure } from "../trees.ts";

const AT = 1_790_000_000_000;

/** A two-wire shift-type solenoid valve of 12 to 25 ohm, its temperature asked for or not. */
function solenoid(correct: string, at = "20 degC"): Procedure {
  const text = `
procedure: solenoid
title: Solenoid valve
revision: 1
complaint: The valve does not move.
instruments:
  multimeter:
    title: Handheld digital multimeter
    accuracy:
      resistance: { reading: 0.9 %, counts: 2, resolution: 0.1 Ohm, leads: 0.3 Ohm }
  thermometer:
    title: Infrared thermometer
    accuracy:
      temperature: { reading: 1 %, counts: 2, resolution: 1 degC }
specifications:
  coil: { from: 12 Ohm, to: 25 Ohm, at: ${at}, source: common practice }
cautions:
  overtighten:
    signal: notice
    hazard: The small bolt strips its thread.
    avoid: Small torque wrench. Do not overtighten.
faults:
  coil-bad: { title: Coil open or shorted, prior: 1, repair: fit-coil }
repairs:
  fit-coil:
    minutes: 10
    do:
      - { say: Tighten the cover., torque: 10 lbf.ft }
      - { say: Tighten the coil's bolt., torque: 20 lbf.in, cautions: [overtighten] }
start: coil
steps:
  coil:
    measure: resistance
    unit: Ohm
    with: multimeter
    correct: ${correct}
    specification: coil
    outcomes:
      below: { goto: bad }
      within: { goto: fine }
      above: { goto: bad }
    borderline: { goto: coil, at-most: 2 }
    evidence: { coil-bad: { within: 0.02 }, otherwise: { within: 0.98 } }
  bad: { conclude: coil-bad, verify: again }
  again: { ask: Does it move?, answers: { "yes": { goto: fixed }, "no": { goto: referred } } }
  fine: { end: no-fault-found }
  fixed: { end: fixed }
  referred: { end: referred }
`;
  const { procedure, findings } = loadProcedure(text, "solenoid.yaml", {
    procedure: () => undefined,
    equipment: () => undefined,
  });
  if (procedure === undefined || !usable(findings)) throw new Error(JSON.stringify(findings));
  return procedure;
}

const WARM = "{ leads: subtract, temperature: { ask: Temperature of the coil, metal: copper } }";

interface Read {
  readonly row: PathRow | undefined;
  readonly judged: JudgedReading | undefined;
  readonly run: Run;
}

function read(procedure: Procedure, reading: string, temperature?: string): Read {
  const opened = openRun(procedure, { run: "run-1", at: AT });
  const given = temperature === undefined ? {} : { temperature };
  const next = advance(procedure, opened, { type: "reading", step: "coil", at: AT, reading, ...given });
  if (!next.ok) throw new Error(JSON.stringify(next.refusal));
  return { run: next.run, row: next.run.path[0], judged: next.run.readings.coil };
}

describe("a two-wire shift-type solenoid of 12 to 25 ohm (common practice)", () => {
  const procedure = solenoid(WARM);

  it("that reads 26.1 and is at 45 degC lies within its limits", () => {
    const { row, run, judged } = read(procedure, "26.1", "45");
    expect(row).toMatchObject({ outcome: "within", verdict: "within", reading: "26.1 Ohm" });
    expect(run.end).toBe("no-fault-found");
    // (26.1 - .3) / (1 + .00393 × 25), IEC 60028.
    expect(judged?.value).toBeCloseTo(23.49, 2);
    expect(row?.conformance).toBeGreaterThan(0.99);
  });
  it("that reads 26.1 lukewarm is too close to call, and the run asks again", () => {
    const { row, run, judged } = read(procedure, "26.1", "27 degC");
    expect(row).toMatchObject({ outcome: "borderline", verdict: "too-close" });
    expect(promptOf(procedure, run)).toMatchObject({ kind: "measure", step: "coil", visit: 2 });
    if (judged === undefined) throw new Error("nothing was judged");
    expect(clearText(judged)).toMatch(
      /^It would be clear at 24\.\d\u00a0Ω or below, or at 25\.\d\u00a0Ω or above\.$/,
    );
    expect(judged.settle.map((advice) => advice.kind)).toEqual(["measure-leads", "read-again"]);
  });
  it("that is hot and too close to call had better cool to about 35 degC", () => {
    const { judged } = read(procedure, "31.0", "80 degC");
    expect(judged?.verdict).toBe("too-close");
    const words = judged?.settle.map((advice) => settleText(advice)) ?? [];
    expect(words).toContain(
      "Let the part cool to about 35\u00a0°C, enter its temperature and measure again.",
    );
  });
  it("that is close to a limit with its temperature unknown is told at which temperature the limit holds", () => {
    const { judged } = read(solenoid("{ leads: subtract }"), "25.2");
    expect(judged?.verdict).toBe("too-close");
    const words = judged?.settle.map((advice) => settleText(advice)).join(" ");
    expect(words).toContain("The limits hold at 20\u00a0°C.");
  });
  it("counts how well the thermometer knows the temperature, though it is another instrument", () => {
    const { judged } = read(procedure, "26.1", "45");
    const line = judged?.budget?.lines.find((one) => one.part === "temperature");
    // Half-widths 1 % of 45 and 2 counts of 1 degC; .00393 / 1.09825 of the value per kelvin.
    expect(line?.u).toBeCloseTo((23.491 * 0.00393 * Math.hypot(0.45, 2)) / 1.09825 / Math.sqrt(3), 4);
  });
  it("counts how near the limits' temperature was kept when they were set", () => {
    const { judged } = read(solenoid(WARM, "20 degC ± 5 degC"), "26.1", "45");
    const line = judged?.budget?.lines.find((one) => one.part === "conditions");
    // .00393 / 1.09825 of the reading without its leads per kelvin, half-width 5 K.
    expect(line?.u).toBeCloseTo((25.8 * 0.00393 * 5) / 1.09825 / Math.sqrt(3), 9);
    expect(judged?.value).toBe(read(procedure, "26.1", "45").judged?.value);
    expect(judged?.u).toBeGreaterThan(read(procedure, "26.1", "45").judged?.u ?? 1);
  });
  it.each(["OL", "O.L", "4k7", "3.2 kΩ", "8 k"])("that reads %s is called bad", (text) => {
    const { row, run } = read(procedure, text, "45");
    expect(row).toMatchObject({ outcome: "above", verdict: "above" });
    expect(run.step).toBe("bad");
  });
  it.each(["0.0", "0.1", "0.2", "0.3"])("that reads %s through leads of .3 ohm is a short", (text) => {
    const { row, run } = read(procedure, text, "45");
    expect(row).toMatchObject({ outcome: "below", verdict: "below" });
    expect(row?.corrected).toBeLessThanOrEqual(0);
    expect(run.step).toBe("bad");
  });
  it("is judged by the mean of several readings typed with semicolons", () => {
    const { row, judged } = read(procedure, "26.1; 26.3; 26.0", "45");
    expect(row).toMatchObject({ outcome: "within", reading: "26.1 Ohm; 26.3 Ohm; 26.0 Ohm" });
    expect(judged?.count).toBe(3);
    expect(read(procedure, row?.reading ?? "", "45").judged?.value).toBe(judged?.value);
  });
  it("that was read in volts is refused, and nothing else changes", () => {
    const opened = openRun(procedure, { run: "run-1", at: AT });
    const event = { type: "reading", step: "coil", at: AT, reading: "12.6 V", temperature: "45" } as const;
    const next = advance(procedure, opened, event);
    expect(next.ok ? undefined : next.refusal).toMatchObject({
      code: "bad-reading",
      problem: { code: "wrong-dimension", text: "12.6 V" },
    });
  });
});

describe("torques as a repair prints them (common practice)", () => {
  const acts = solenoid(WARM).repairs.get("fit-coil")?.do ?? [];
  const printed = acts.map((act) => act.torque && torqueText(act.torque, "si").first);

  it("about 10 lbf.ft on a small fastener is 13.6 N·m, about 20 lbf.in 2.3 N·m", () => {
    expect(printed).toEqual(["13.6\u00a0N·m", "2.3\u00a0N·m"]);
  });
  it("the small one stands with a caution not to overtighten", () => {
    expect(acts[1]?.cautions).toEqual(["overtighten"]);
  });
  it("so does every 2.3 N·m of the gate lift", () => {
    const { repairs, cautions } = shippedProcedure("gate-lift-does-not-lower");
    const small = [...repairs.values()]
      .flatMap((repair) => repair.do)
      .filter((act) => act.torque !== undefined && "value" in act.torque && act.torque.value === 2.3);
    expect(small.length).toBeGreaterThan(0);
    for (const act of small) {
      const words = act.cautions.map((id) => cautions.get(id)?.consequence).join(" ");
      expect(words).toContain("Overtightened");
      expect(act.torque && torqueText(act.torque, "us").first).toBe("20.4\u00a0lbf·in");
    }
  });
});
