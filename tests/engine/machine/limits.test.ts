import { describe, expect, it } from "vitest";
import { layEquipment, loadEquipment } from "../../../engine/procedure/equipment.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { fanText, load, sound, told } from "../procedure/fan-text.ts";
import { Job } from "./job.ts";

const ENDS = `
  good: { end: no-fault-found }
  bad: { end: referred }`;
const MEASURE = `
  first:
    measure: voltage
    unit: V
    specification: feed-voltage
    outcomes: { below: { goto: bad }, within: { goto: good } }`;
const FACTS = `
  warmth: { measure: temperature, unit: degC }`;

function specified(specifications: string, steps = MEASURE): Procedure {
  return sound(fanText({ specifications, facts: FACTS, start: "first", steps: steps + ENDS }));
}

/** The band ends that the reading was judged by. */
function ends(job: Job, step = "first"): readonly (readonly [string, number, number])[] {
  return (job.run.readings[step]?.bands ?? []).map(({ outcome, low, high }) => [outcome, low, high]);
}

describe("a cited limit", () => {
  it("is the number of the other specification, in the step's unit", () => {
    const steps = `
  first:
    measure: voltage
    unit: mV
    bands: { low: { under: feed-voltage.from, goto: bad }, high: { from: feed-voltage.from, goto: good } }`;
    const job = new Job(specified("\n  feed-voltage: { from: 11.5 V }", steps)).say("first", "11499.9");
    expect(job.path[0]).toBe("first low");
    expect(ends(job)).toEqual([
      ["low", -Infinity, 11500],
      ["high", 11500, Infinity],
    ]);
  });
});

describe("a table limit", () => {
  const TABLE = `
  feed-voltage:
    from: { by: facts.warmth, table: [ [-18 degC, 8.5 V], [68 degF, 9.6 V], [303.15 K, 9.7 V] ] }`;
  const at = (warmth: number) =>
    new Job(specified(TABLE)).give({ type: "fact", fact: "warmth", value: warmth }).say("first", "12");

  it.each([
    [-18, 8.5],
    // Half way from -18 to 20 degC.
    [1, 9.05],
    [20, 9.6],
    [25, 9.65],
    [30, 9.7],
    // Outside the end value holds.
    [-40, 8.5],
    [80, 9.7],
  ])("at %d degC is %d V, linear between rows written in any unit", (warmth, volts) => {
    expect(ends(at(warmth))[0]?.[2]).toBeCloseTo(volts, 9);
  });

  it("over a fact that is not known can't be judged by", () => {
    const job = new Job(specified(TABLE)).give({ type: "fact", fact: "warmth", value: { unknown: true } });
    expect(job.say("first", "12").path[1]).toBe("first cannot");
    expect(job.run.path[1]).toMatchObject({ reading: "12 V", corrected: 12 });
  });

  it("with rows that do not rise is refused when it is linked", () => {
    const falling = `
  feed-voltage: { from: { by: facts.warmth, table: [ [20 degC, 9.6 V], [-18 degC, 8.5 V] ] } }`;
    const text = fanText({ specifications: falling, facts: FACTS, start: "first", steps: MEASURE + ENDS });
    expect(told(load(text)).some((finding) => finding.includes("table-not-rising"))).toBe(true);
  });

  it("over a reading goes by that reading", () => {
    const steps = `
  rest: { measure: voltage, unit: V, goto: first }${MEASURE}`;
    const table = `
  feed-voltage: { from: { by: 'readings["rest"]', table: [ [12 V, 9 V], [13 V, 10 V] ] } }`;
    const text = fanText({ specifications: table, start: "rest", steps: steps + ENDS });
    expect(ends(new Job(sound(text)).say("rest", "12.5").say("first", "9.6"))[0]?.[2]).toBeCloseTo(9.5, 12);
  });
});

describe("an open specification", () => {
  const OPEN = "\n  feed-voltage: { ask: true, unit: V, limits: [from, to] }";
  const STEP = `
  first:
    measure: voltage
    unit: V
    specification: feed-voltage
    outcomes: { below: { goto: bad }, within: { goto: good }, above: { goto: bad } }`;
  const tell = (job: Job, limits: Record<string, string>, source = "maker's sheet 4") =>
    job.tryTo({ type: "specification", specification: "feed-voltage", limits, source });

  it("is asked for before the step that needs it, once", () => {
    const job = new Job(specified(OPEN, STEP));
    expect(job.prompt).toMatchObject({ kind: "specification", unit: "V", limits: ["from", "to"] });
    expect(tell(job, { from: "11500 mV", to: "14.8" })).toBeUndefined();
    expect(job.say("first", "15").path).toEqual(["first above", "bad referred"]);
    expect(job.run.specifications["feed-voltage"]?.source).toBe("maker's sheet 4");
  });

  it.each([
    ["a limit that is missing", { from: "11" }, "to"],
    ["a limit that is no number", { from: "eleven", to: "14" }, "from"],
    ["a limit at no end", { from: "11", to: "OL" }, "to"],
    ["limits that leave nothing within", { from: "14", to: "11" }, "to"],
  ])("refuses %s", (_, limits, limit) => {
    const refusal = { code: "bad-specification", specification: "feed-voltage", limit };
    expect(tell(new Job(specified(OPEN, STEP)), limits)).toEqual(refusal);
  });

  it("refuses numbers without a source", () => {
    expect(tell(new Job(specified(OPEN, STEP)), { from: "1", to: "2" }, " ")?.code).toBe("source-needed");
  });

  it("is the sheet's where the sheet has it, and nobody is asked", () => {
    const job = new Job(onSheet(specified(OPEN, STEP)));
    expect(job.prompt.kind).toBe("measure");
    expect(ends(job.say("first", "11.6"))[0]).toEqual(["below", -Infinity, 11.7]);
  });

  it("told in a run goes before the sheet's, and the sheet's before the procedure's", () => {
    const written = specified("\n  feed-voltage: { from: 11.5 V }");
    expect(ends(new Job(written).say("first", "12"))[0]?.[2]).toBe(11.5);
    expect(ends(new Job(onSheet(written)).say("first", "12"))[0]?.[2]).toBe(11.7);
    const job = new Job(onSheet(written));
    expect(tell(job, { from: "11.9" })).toBeUndefined();
    expect(ends(job.say("first", "11.8"))).toEqual([
      ["below", -Infinity, 11.9],
      ["within", 11.9, Infinity],
    ]);
    expect(job.path[0]).toBe("first below");
  });

  function onSheet(procedure: Procedure): Procedure {
    const text = `
equipment: heron-35
title: Heron 35
specifications: { feed-voltage: { from: 11.7 V, source: sheet } }`;
    const { sheet } = loadEquipment(text, "heron-35.yaml");
    if (sheet === undefined) throw new Error("the sheet does not load");
    return layEquipment(procedure, sheet).procedure;
  }
});
