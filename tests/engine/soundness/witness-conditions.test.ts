import { describe, expect, it } from "vitest";
import { readAnswers } from "../../../engine/machine/answers.ts";
import { walkAnswers } from "../../../engine/machine/walk.ts";
import { witnessAnswers } from "../../../engine/soundness/witness-answers.ts";
import { checked } from "./seeded/checked.ts";
import type { SoundCase } from "./seeded/parts.ts";

interface Told {
  readonly facts?: string;
  readonly where?: string;
  /** What else the step with the condition says. */
  readonly look?: string;
}

/** The witness of a conclusion without proof behind a condition, and the path of the run that it gives. */
function shown(condition: string, { facts = "", where = "worn", look = "" }: Told = {}) {
  const [then, last] = where === "worn" ? ["worn-bad", "refer"] : ["refer", "worn-bad"];
  const text = `procedure: one
title: The lamp stays dark
revision: 1
complaint: It stays dark.
cautions: { stand: { signal: warning, hazard: It can start., avoid: Keep clear., covers: [rotating] } }
facts: { warm: { title: Warm, measure: temperature, unit: degC }${facts} }
faults:
  worn: { title: Worn, prior: 1 }
  other: { title: Something else, prior: 1 }
start: first
steps:
  first: { measure: voltage, unit: V, goto: second }
  second:
    measure: voltage
    unit: V
    bands:
      low: { under: 5 V, goto: refer }
      high: { from: 5 V, goto: look }
  look:
    ask: Is it worn?
${look}    answers:
      "yes": { then: [ { if: '${condition}', goto: ${then} }, { goto: ${last} } ] }
      "no": { goto: refer }
  worn-bad: { conclude: worn, goto: refer }
  refer: { end: referred }
`;
  const { findings, procedure } = checked({ id: "one", text } as SoundCase);
  if (procedure === undefined) throw new Error(JSON.stringify(findings));
  const witness = findings.find(({ code }) => code === "unsupported-conclusion")?.witness ?? [];
  const read = readAnswers(witnessAnswers(procedure, witness), "answers.yaml", procedure);
  if (!read.ok) throw new Error(JSON.stringify(read.findings));
  const { run } = walkAnswers(procedure, { run: "w", at: 0 }, read.answers);
  return { witness, steps: run.path.map(({ step }) => step), facts: run.facts, readings: run.readings };
}

const KIND = ", kind: { title: Kind, ask: Which?, choices: [small, large] }";

describe("the witness of a way behind a condition", () => {
  it.each([
    "facts.warm > 30.0",
    "facts.warm < -5.0",
    "readings.first - readings.second > 5.0",
    "readings.first + readings.second < 2.0",
    "abs(readings.first - 2.0 * readings.second) < 0.5 && facts.warm * 2.0 > readings.first",
    '"P0480" in facts.codes',
    '"P0480" in facts.codes && !("P0481" in facts.codes) && size(facts.codes) > 2',
    '"P0480" in facts.codes && "P0481" in facts.codes && size(facts.codes) < 3',
    "size(facts.codes) == 0 && facts.warm > 50.0",
    'facts.warm > 30.0 ? "P0480" in facts.codes : facts.warm > 25.0',
  ])("has facts and readings that meet %s", (condition) => {
    const { witness, steps } = shown(condition);
    expect(witness.filter(({ hangsOn }) => hangsOn !== undefined)).toEqual([]);
    expect(steps).toContain("worn-bad");
  });

  it.each([
    "readings.first * readings.second > 50.0",
    "readings.first * readings.first > 1000.0 && readings.second < 7.0",
    "facts.warm * readings.second < -100.0",
    "int(readings.first) % 7 == 5",
    'facts.codes.exists(code, code.startsWith("P048")) && readings.second > 7.0',
    'facts.codes.filter(code, code != "P0480").size() == 1',
    "readings.first / readings.second > 10.0",
  ])("has plain values that meet %s, which no sum says", (condition) => {
    const { witness, steps } = shown(condition);
    expect(witness.filter(({ hangsOn }) => hangsOn !== undefined)).toEqual([]);
    expect(steps).toContain("worn-bad");
  });

  it("has values that meet none of the conditions before the last arm", () => {
    const { witness, steps, facts } = shown("facts.warm < 40.0", { where: "last" });
    expect(witness.some(({ hangsOn }) => hangsOn !== undefined)).toBe(false);
    expect(steps).toContain("worn-bad");
    expect(facts.warm).toBeGreaterThanOrEqual(40);
  });

  it("has the choice that goes with a number", () => {
    const { steps, facts } = shown('facts.kind == "large" && facts.warm > 30.0', { facts: KIND });
    expect(steps).toContain("worn-bad");
    expect(facts.kind).toBe("large");
  });

  it("tells a measured fact behind the cautions that come before it", () => {
    const { witness, steps, facts } = shown('facts.warm > 30.0 && facts.kind == "large"', {
      facts: KIND,
      look: "    cautions: [stand]\n",
    });
    expect(witness.filter(({ hangsOn }) => hangsOn !== undefined)).toEqual([]);
    expect(steps).toEqual(expect.arrayContaining(["facts/kind", "facts/warm", "worn-bad"]));
    expect(steps.slice(0, -2)).toEqual(witness.map(({ step }) => step));
    expect(facts.warm).toBeGreaterThan(30);
  });

  it("keeps each reading in its band", () => {
    const { readings, steps } = shown("readings.second < 5.5");
    expect(steps).toContain("worn-bad");
    expect(readings.second?.value).toBeGreaterThanOrEqual(5);
    expect(readings.second?.value).toBeLessThan(5.5);
  });

  it("says on what it hangs where no such values are found", () => {
    const late = 'elapsed["first"] > 600.0';
    const { witness, steps } = shown(late);
    expect(witness.at(-1)).toMatchObject({ step: "look", outcome: "yes", hangsOn: late });
    expect(steps).not.toContain("worn-bad");
    expect(shown('elapsed["first"] < 600.0', { where: "last" }).witness.at(-1)?.hangsOn).toBe(
      '!(elapsed["first"] < 600.0)',
    );
  });
});
