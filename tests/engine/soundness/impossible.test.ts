import { describe, expect, it } from "vitest";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";

/** Arms of the second measurement's outcomes that are called impossible, as `outcome>goto`. */
function impossible(second: string, high = "refer", low = "second"): readonly string[] {
  const text = `
procedure: lamp-stays-dark
title: Lamp stays dark
revision: 1
complaint: The lamp stays dark.
instruments:
  meter: { title: Meter, accuracy: { voltage: { reading: 1 %, counts: 2, resolution: 0.01 V } } }
facts:
  supply: { ask: Which supply?, choices: { low: 12 V, high: 24 V } }
  ambient: { measure: temperature, unit: degC, say: In the shade. }
faults:
  other: { title: Something else, prior: 1 }
start: first
steps:
  first:
    measure: voltage
    say: Red lead to the feed.
    unit: V
    bands:
      low:  { under: 9 V, goto: ${low} }
      mid:  { from: 9 V, to: 12 V, goto: second }
      high: { over: 12 V, goto: ${high} }
  second:
    measure: voltage
    say: Red lead to the ground.
    unit: V
${second}
  a: { do: Look., done: { goto: refer } }
  b: { do: Look again., done: { goto: refer } }
  refer: { end: referred }
`;
  const { procedure, findings } = loadProcedure(text, "lamp-stays-dark.yaml", {
    procedure: () => undefined,
    equipment: () => undefined,
  });
  expect(findings.filter(({ severity }) => severity === "error")).toEqual([]);
  if (procedure === undefined) throw new Error("no procedure");
  return checkProcedure(procedure)
    .filter(({ code }) => code === "impossible-branch")
    .map(({ params }) => `${params.outcome}>${params.goto ?? params.why}`);
}

/** `low` under 5 V with a condition, `high` above. */
function conditioned(condition: string): string {
  return `    bands:
      low:  { under: 5 V, then: [ { if: '${condition}', goto: a }, { goto: b } ] }
      high: { from: 5 V, goto: b }`;
}

describe("impossible-branch over readings", () => {
  it.each([
    ["contradicts its own band", "reading > 6.0", "low>a"],
    ["says of its own band what always holds", "reading < 6.0", "low>b"],
    ["contradicts the bands of the first look", 'readings["first"] > 12.5', "low>a"],
    ["says of the first look what its bands say", "readings.first <= 12.0", "low>b"],
    ["needs a sum that the bands can't reach", 'readings["first"] + reading >= 17.0', "low>a"],
    [
      "needs a difference that they can't have",
      "readings.first - reading > -0.0 && readings.first < -1.0 && reading > 0.0",
      "low>a",
    ],
    ["can't hold with itself", "reading > 3.0 && reading < 2.0", "low>a"],
    ["always holds by abs", "abs(reading) >= 0.0", "low>b"],
    ["never holds by min", "min(reading, 4.0) > 4.5", "low>a"],
    ["never holds by max", "max(reading, 4.0) < 3.5", "low>a"],
    ["never holds on time", 'elapsed["first"] < -1.0', "low>a"],
    ["never holds for a measured fact", "facts.ambient > 30.0 && facts.ambient < 20.0", "low>a"],
    [
      "never holds for one choice or the other",
      'facts.supply == "low" ? reading > 6.0 : reading > 7.0',
      "low>a",
    ],
    ["wants a code in a list without entries", '"P0480" in facts.codes && size(facts.codes) == 0', "low>a"],
    [
      "wants more codes than a list has entries",
      '"P0480" in facts.codes && "P0481" in facts.codes && size(facts.codes) < 2',
      "low>a",
    ],
    ["wants a code and wants it not", '"P0480" in facts.codes && !("P0480" in facts.codes)', "low>a"],
    ["wants an entry of the empty list", 'facts.codes == [] && "P0480" in facts.codes', "low>a"],
    [
      "wants one that is so in none",
      'facts.codes.exists(c, c.startsWith("P")) && facts.codes.size() < 1',
      "low>a",
    ],
    ["wants less than no entries", "size(facts.codes) < 0", "low>a"],
    ["is divided by a number", "reading / 2.0 > 2.5", "low>a"],
    ["is not exceeded: to is included, under is not", "reading >= 5.0", "low>a"],
  ])("a condition that %s", (_, condition, expected) => {
    expect(impossible(conditioned(condition))).toEqual([expected]);
  });

  it.each([
    ["what the bands leave open", "reading > 4.0"],
    ["the limit that is included", "readings.first >= 12.0"],
    ["a sum that can just be reached", 'readings["first"] + reading > 16.9'],
    ["an over-range reading: the lowest is -OL", "reading < -1.0e30"],
    ["a product of readings, which is not decided", "reading * reading < -1.0"],
    [
      "as many codes as the list has entries",
      '"P0480" in facts.codes && "P0481" in facts.codes && "P0480" in facts.codes && size(facts.codes) == 2',
    ],
    ["a code in a list or none", '"P0480" in facts.codes || size(facts.codes) == 0'],
    ["a list with entries and without a code", '!("P0480" in facts.codes) && size(facts.codes) > 3'],
    ["one choice of a fact", 'facts.supply == "low" && reading < 1.0'],
  ])("says nothing of %s", (_, condition) => {
    expect(impossible(conditioned(condition))).toEqual([]);
  });

  it("holds an earlier reading only to what it can have been on the ways here", () => {
    const condition = conditioned("readings.first >= 9.0");
    expect(impossible(condition, "refer")).toEqual([]);
    expect(impossible(condition, "refer", "a")).toEqual(["low>b"]);
  });

  it("finds a band that a value computed from six readings never has, over range included", () => {
    const steps = ["third", "fourth", "fifth", "sixth"];
    const more = steps.map(
      (id, at) => `  ${id}: { measure: voltage, unit: V, goto: ${steps[at + 1] ?? "last"} }`,
    );
    const sum = ["first", "second", ...steps].map((id) => `readings.${id}`).join(" - ");
    const found = impossible(`    goto: third
${more.join("\n")}
  last:
    measure: voltage
    unit: V
    value: "abs(${sum})"
    bands:
      negative: { under: 0 V, goto: a }
      small: { from: 0 V, goto: b }`);
    expect(found).toEqual(["negative>value"]);
  });

  it("finds bands that a computed value never lies in", () => {
    const bands = `    value: "abs(reading - readings.first)"
    bands:
      negative: { under: 0 V, goto: a }
      small: { from: 0 V, to: 1 V, goto: a }
      large: { over: 1 V, goto: b }`;
    expect(impossible(bands)).toEqual(["negative>value"]);
  });

  it("finds a borderline that no reading takes, for want of an instrument or of bands", () => {
    const bands = (more: string) => `${more}
    bands: { small: { under: 1 V, goto: a }, large: { from: 1 V, goto: b } }
    borderline: { goto: a }`;
    expect(impossible(bands(""))).toEqual(["borderline>no-instrument"]);
    expect(impossible(bands("    with: meter"))).toEqual([]);
    expect(impossible("    with: meter\n    goto: a\n    borderline: { goto: b }")).toEqual([
      "borderline>not-judged",
    ]);
  });

  it("finds bands whose readings are asked for again", () => {
    const bands = `    plausible: { from: -0.05 V, to: 30 V }
    bands:
      reversed: { under: -1 V, goto: a }
      low: { from: -1 V, under: 5 V, goto: a }
      high: { from: 5 V, goto: b }`;
    expect(impossible(bands)).toEqual(["reversed>plausible"]);
  });
});
