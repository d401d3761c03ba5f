import { describe, expect, it } from "vitest";
import { checked } from "./seeded/checked.ts";

/** What is said of conditions and values that can't be worked out, by a procedure with this branch and value. */
function told(
  branch: string,
  { facts = "", amps = "goto: look", value = "" }: { facts?: string; amps?: string; value?: string } = {},
) {
  const text = `procedure: one
title: The lamp stays dark
revision: 1
complaint: It stays dark.
${facts}
faults:
  wire-open: { title: Wire open, prior: 1 }
  other: { title: Something else, prior: 1 }
start: volts
steps:
  volts: { measure: voltage, unit: V, goto: amps }
  amps: { measure: current, unit: A, ${amps} }
  look:
    ask: Is the wire open?
    answers:
      "yes": { ${branch} }
      "no": { goto: last }
  last: { measure: voltage, unit: V, ${value} goto: refer }
  refer: { end: referred }
`;
  const { findings, procedure } = checked({ id: "one", text } as Parameters<typeof checked>[0]);
  if (procedure === undefined) throw new Error(JSON.stringify(findings));
  return findings
    .filter(({ code }) => code === "bad-expression")
    .map(({ severity, params }) => `${severity} ${params.why}`);
}

function when(condition: string): string {
  return `then: [ { if: '${condition}', goto: last }, { goto: refer } ]`;
}

describe("a condition that can't be worked out in some run", () => {
  it.each([
    ['facts.codes[0] == "P0480"', "no-entry"],
    ['size(facts.codes) > 1 && facts.codes[2] == "P0480"', "no-entry"],
    ['size(facts.codes) >= 1 && facts.codes[size(facts.codes)] == "P0480"', "no-entry"],
    ['size(facts.codes) >= 1 && facts.codes[size(facts.codes) - 2] == "P0480"', "no-entry"],
    ['facts.codes != [] && facts.codes[1] == "P0480"', "no-entry"],
    ['facts.codes != ["P0480"] && facts.codes[0] == "P0480"', "no-entry"],
    ['facts.codes == [] && facts.codes[0] == "P0480"', "no-entry"],
    ['facts.codes.all(c, c.startsWith("P")) && facts.codes[0] == "P0480"', "no-entry"],
    ['!("P0481" in facts.codes) && facts.codes[0] == "P0480"', "no-entry"],
    ['"P0480" in facts.codes && "P0480" in facts.codes && facts.codes[1] == "P0480"', "no-entry"],
    ['"P0480" in facts.codes && !("P0481" in facts.codes) && facts.codes[1] == "P0480"', "no-entry"],
    ["facts.codes.exists(c, facts.codes[1] == c)", "no-entry"],
    ['facts.codes.filter(c, c.startsWith("P"))[0] == "P0480"', "no-entry"],
    ["10 / size(facts.codes) > 2", "by-nothing"],
    ["10 % size(facts.codes) > 2", "by-nothing"],
    ["readings.volts / readings.amps > 2.0", "by-nothing"],
    ["readings.volts / (readings.amps * readings.volts) > 2.0", "by-nothing"],
    ["int(readings.amps) > 3", "over-range"],
    ["int(readings.amps) % 2 == 0", "over-range"],
    ["readings.amps > 1.0 && int(readings.amps * 2.0) > 3", "over-range"],
    ["0.0 * readings.amps > 1.0", "over-range"],
    ["readings.amps * (readings.volts > 3.0 ? 0.0 : 1.0) > 1.0", "over-range"],
  ])("is told: %s", (condition, why) => {
    expect(told(when(condition))).toEqual([`warning ${why}`]);
  });

  it.each([
    'size(facts.codes) > 0 && facts.codes[0] == "P0480"',
    'facts.codes.size() > 0 && facts.codes[0] == "P0480"',
    'size(facts.codes) == 0 || facts.codes[0] == "P0480"',
    'size(facts.codes) > 0 ? facts.codes[0] == "P0480" : false',
    'size(facts.codes.filter(c, c.startsWith("P"))) > 0 && facts.codes.filter(k, k.startsWith("P"))[0] == "P0480"',
    'size(facts.codes) >= 1 && facts.codes[size(facts.codes) - 1] == "P0480"',
    'facts.codes != [] && facts.codes[0] == "P0480"',
    '!(facts.codes == []) && facts.codes[0] == "P0480"',
    'facts.codes == [] || facts.codes[0] == "P0480"',
    'facts.codes == ["P0480", "P0481"] && facts.codes[1] == "P0481"',
    '"P0481" in facts.codes && facts.codes[0] == "P0480"',
    '"P0480" in facts.codes && "P0481" in facts.codes && facts.codes[1] == "P0480"',
    'facts.codes.exists(c, c == "P0481") && facts.codes[0] == "P0480"',
    'facts.codes.exists_one(c, c == "P0481") && facts.codes[0] == "P0480"',
    'facts.codes.filter(c, c.startsWith("P")).exists(c, c != "P0481") && facts.codes[0] == "P0480"',
    'facts.codes.all(c, c.startsWith("P")) || facts.codes[0] == "P0480"',
    "facts.codes.exists(c, facts.codes[0] == c)",
    "size(facts.codes) > 0 && 10 / size(facts.codes) > 2",
    "readings.amps != 0.0 && readings.volts / readings.amps > 2.0",
    "readings.volts / 2.0 > 2.0",
    "readings.volts / max(abs(readings.amps), 0.1) > 2.0",
    "(readings.volts + 1.0) / (abs(readings.volts) + abs(readings.amps)) > 2.0",
    'readings.volts / elapsed["volts"] > 2.0',
    'readings["volts"] > 2.0',
    "abs(readings.amps) < 100.0 && int(readings.amps) > 3",
    "abs(readings.amps) < 100.0 && 0.0 * readings.amps > 1.0",
    "readings.volts * readings.amps > 1.0",
    "2.0 * readings.amps > 1.0",
    'int(elapsed["volts"]) > 3',
  ])("is not told where something guards it: %s", (condition) => {
    expect(told(when(condition))).toEqual([]);
  });

  it("is guarded by an arm before it", () => {
    const arms = (first: string) =>
      `then: [ { if: '${first}', goto: refer }, { if: 'readings.volts / readings.amps > 2.0', goto: last }, { goto: refer } ]`;
    expect(told(arms("readings.amps == 0.0"))).toEqual([]);
    expect(told(arms("readings.amps > 0.0"))).toEqual(["warning by-nothing"]);
  });

  it("is guarded by an arm before it that takes the empty list", () => {
    const arms = (first: string) =>
      `then: [ { if: '${first}', goto: refer }, { if: 'facts.codes[0] == "P0480"', goto: last }, { goto: refer } ]`;
    expect(told(arms("facts.codes == []"))).toEqual([]);
    expect(told(arms('"P0480" in facts.codes'))).toEqual(["warning no-entry"]);
  });

  it("is guarded by the outcomes that the reading can have had", () => {
    const bands = "bands: { none: { under: 1 A, goto: refer }, some: { from: 1 A, goto: look } }";
    expect(told(when("readings.volts / readings.amps > 2.0"), { amps: bands })).toEqual([]);
    const upTo = (end: string) =>
      `bands: { none: { under: 1 A, goto: refer }, some: { from: 1 A, ${end} goto: look } ${end && ", more: { from: 9 A, goto: refer }"} }`;
    expect(told(when("int(readings.amps) > 3"), { amps: upTo("under: 9 A,") })).toEqual([]);
    expect(told(when("int(readings.amps) > 3"), { amps: upTo("") })).toEqual(["warning over-range"]);
  });

  it("is told of a choice that is no number", () => {
    const facts = 'facts: { size: { title: Size, ask: Which?, choices: ["12", "24", other] } }';
    expect(told(when("double(facts.size) > 13.0"), { facts })).toEqual(["warning with-choice"]);
    expect(told(when('facts.size != "other" && double(facts.size) > 13.0'), { facts })).toEqual([]);
  });

  it("is one error where no run can work it out", () => {
    expect(told(when("1 / 0 > 1"))).toEqual(["error always-fails"]);
  });
});

describe("a value that can't be worked out in some run", () => {
  it("is told as a condition is", () => {
    expect(told("goto: last", { value: 'value: "readings.amps / reading",' })).toEqual([
      "warning by-nothing",
    ]);
    const plausible = "plausible: { from: 1 V },";
    expect(told("goto: last", { value: `value: "readings.amps / reading", ${plausible}` })).toEqual([]);
  });
});
