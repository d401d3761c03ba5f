import { describe, expect, it } from "vitest";
import type { Finding } from "../../../engine/procedure/finding.ts";
import { checked } from "./seeded/checked.ts";
import { expectShown } from "./seeded/expect-shown.ts";

/** What is said of the conclusion `worn-bad`; errors are replayed. */
function told(steps: string, more = ""): readonly Finding[] {
  const text = `procedure: one
title: The lamp stays dark
revision: 1
complaint: It stays dark.
${more}faults:
  worn: { title: Worn, prior: 1 }
  other: { title: Something else, prior: 1 }
start: first
steps:
${steps}
  worn-bad: { conclude: worn, goto: refer }
  refer: { end: referred }
`;
  const { findings, procedure } = checked({ id: "one", text, called: {}, sheets: {} } as never);
  if (procedure === undefined) throw new Error(JSON.stringify(findings));
  const found = findings.filter(({ code }) => code === "unsupported-conclusion");
  for (const finding of found)
    if (finding.witness?.every(({ hangsOn }) => hangsOn === undefined) && finding.severity === "error")
      expectShown(procedure, finding);
  return found;
}

/** `first` measures, `look` asks; each answer of `look` goes on by conditions on that reading. */
function lookAfterReading(yes: string, no: string, evidence = "") {
  return `  first:
    measure: voltage
    unit: V
    bands:
      low: { under: 5 V, goto: look }
      high: { from: 5 V, goto: look }
${evidence}  look:
    ask: Is it worn?
    answers:
      "yes": { then: [ { if: "${yes}", goto: worn-bad }, { goto: refer } ] }
      "no": { then: [ { if: "${no}", goto: worn-bad }, { goto: refer } ] }`;
}

/** Worst where it was high. */
const HIGH_SPEAKS_AGAINST = `    evidence: { worn: { high: 0.1 }, otherwise: { high: 0.6 } }
`;

describe("a conclusion with too little proof", () => {
  it("is an error by the worst way that a run walks, where conditions bar those that are worse", () => {
    // High 1/7, low 0.9/1.3: `high` needs a reading under 3 V, which is none of its band.
    const [finding, ...others] = told(lookAfterReading("readings.first < 3.0", "false", HIGH_SPEAKS_AGAINST));
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ severity: "error", step: "worn-bad", params: { probability: 0.6923 } });
    expect(finding?.witness?.map(({ step, outcome }) => `${step} ${outcome}`)).toEqual([
      "first low",
      "look yes",
    ]);
  });

  it("is an error by a way with clear readings, where the worst needs one that is too close to call", () => {
    // High is 5.00 V and no more there, in whose doubt the limit lies.
    const meter = `instruments:
  meter: { title: Meter, accuracy: { voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V } } }
`;
    const steps = lookAfterReading("readings.first <= 5.0", "false", HIGH_SPEAKS_AGAINST);
    const [finding] = told(steps.replace("unit: V", "unit: V\n    with: meter"), meter);
    expect(finding).toMatchObject({ severity: "error", params: { probability: 0.6923 } });
    expect(finding?.witness?.[0]).toMatchObject({ step: "first", outcome: "low" });
  });

  it("is an error by another way to the same state, where conditions bar the shortest", () => {
    // Nothing is said of the band, so that both ways come to one state.
    const [finding] = told(lookAfterReading("readings.first > 7.0", "false"));
    expect(finding).toMatchObject({ severity: "error", params: { probability: 0.5 } });
    expect(finding?.witness?.map(({ step, outcome }) => `${step} ${outcome}`)).toEqual([
      "first high",
      "look yes",
    ]);
  });

  it("is a note that nothing is proven, where no run was found that walks such a way", () => {
    const found = told(`  first: { measure: voltage, unit: V, goto: second }
  second:
    ask: Is it bright?
    answers:
      "yes": { then: [ { if: "readings.first < 3.0", goto: look }, { goto: refer } ] }
      "no": { goto: refer }
  look:
    ask: Is it worn?
    answers:
      "yes": { then: [ { if: "readings.first > 7.0", goto: worn-bad }, { goto: refer } ] }
      "no": { goto: refer }`);
    expect(found).toMatchObject([{ severity: "note", step: "worn-bad", params: { why: "no-reading" } }]);
    expect(found[0]?.witness?.at(-1)).toMatchObject({ step: "look", hangsOn: "readings.first > 7.0" });
  });

  it("stays an error where only more time is asked for than the minutes of the steps", () => {
    const [finding] = told(`  first: { measure: voltage, unit: V, goto: look }
  look:
    ask: Is it worn?
    answers:
      "yes": { then: [ { if: 'elapsed["first"] > 600.0', goto: worn-bad }, { goto: refer } ] }
      "no": { goto: refer }`);
    expect(finding).toMatchObject({ severity: "error", params: { probability: 0.5 } });
    expect(finding?.witness?.at(-1)?.hangsOn).toBe('elapsed["first"] > 600.0');
  });

  it("is shown by a fact that is not known rather than by a temperature that nothing has", () => {
    const [finding, ...others] = told(
      `  first:
    ask: Is it warm?
    answers:
      "yes": { then: [ { if: "facts.heat > -1000.0", goto: refer }, { goto: worn-bad } ] }
      "no": { goto: refer }`,
      "facts:\n  heat: { measure: temperature, unit: degC }\n",
    );
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ severity: "error" });
    expect(finding?.witness?.[0]).toEqual({ step: "facts/heat", outcome: "unknown" });
  });

  it("stays an error where one combination of many choices is asked for", () => {
    const choices = "{ a: A, b: B, c: C, d: D, e: E }";
    const facts = ["one", "two", "three", "four"];
    const more = `facts:\n${facts.map((id) => `  ${id}: { ask: Which?, choices: ${choices} }\n`).join("")}`;
    const steps = (condition: string) => `  first: { measure: voltage, unit: V, goto: look }
  look:
    ask: Is it worn?
    answers:
      "yes": { then: [ { if: "${condition}", goto: worn-bad }, { goto: refer } ] }
      "no": { goto: refer }`;
    const all = (how: string) => facts.map((id) => `facts.${id} ${how}`).join(" && ");
    for (const condition of [
      all("== 'd'"),
      all("!= 'a'"),
      `${all("== 'd'")} && readings.first > 7.0`,
      `${all("!= 'a'")} && readings.first > 7.0`,
    ]) {
      const [finding, ...others] = told(steps(condition), more);
      expect(others).toEqual([]);
      expect(finding).toMatchObject({ severity: "error", params: { probability: 0.5 } });
      expect(finding?.witness?.every(({ hangsOn }) => hangsOn === undefined)).toBe(true);
    }
  });

  it("stays an error where less time is asked for than the minutes of the steps, and no wait takes it", () => {
    const steps = (wait: string) => `  first: { measure: voltage, unit: V, goto: cool }
  cool: { do: Let it stand., minutes: 20, ${wait}done: { goto: look } }
  look:
    ask: Is it worn?
    answers:
      "yes": { then: [ { if: 'elapsed["first"] < 10.0', goto: worn-bad }, { goto: refer } ] }
      "no": { goto: refer }`;
    const [finding, ...others] = told(steps(""));
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ severity: "error", params: { probability: 0.5 } });
    expect(finding?.witness?.at(-1)?.hangsOn).toBe('elapsed["first"] < 10.0');
    expect(told(steps("wait: 9 min, "))).toMatchObject([{ severity: "error" }]);
    expect(told(steps("wait: 10 min, "))).toMatchObject([{ severity: "note" }]);
  });

  it("stays an error where a moment between two times is asked for", () => {
    const found = told(`  first: { measure: voltage, unit: V, goto: look }
  look:
    ask: Is it worn?
    answers:
      "yes": { then: [ { if: 'elapsed["first"] > 33.0 && elapsed["first"] < 34.0', goto: worn-bad }, { goto: refer } ] }
      "no": { goto: refer }`);
    expect(found).toMatchObject([{ severity: "error", params: { probability: 0.5 } }]);
  });

  it("is a note where the times that two conditions ask for contradict each other", () => {
    const found = told(`  first: { measure: voltage, unit: V, goto: second }
  second:
    ask: Is it bright?
    answers:
      "yes": { then: [ { if: 'elapsed["first"] > 600.0', goto: look }, { goto: refer } ] }
      "no": { goto: refer }
  look:
    ask: Is it worn?
    answers:
      "yes": { then: [ { if: 'elapsed["first"] < 500.0', goto: worn-bad }, { goto: refer } ] }
      "no": { goto: refer }`);
    expect(found).toMatchObject([{ severity: "note", params: { why: "no-reading" } }]);
  });

  it("is an error by a reading whose value goes by the time between two looks", () => {
    const found = told(`  first: { measure: voltage, unit: V, goto: second }
  second:
    measure: voltage
    unit: V
    wait: 10 min
    value: '(readings.first - reading) / elapsed["first"]'
    bands:
      slow: { under: 0.1 V, goto: refer }
      mid: { from: 0.1 V, under: 0.2 V, goto: worn-bad }
      fast: { from: 0.2 V, goto: refer }`);
    expect(found).toMatchObject([{ severity: "error", params: { probability: 0.5 } }]);
  });

  it.each(["reading * 2.0 + 1.0", "reading * reading", "abs(reading - 9.0) + 1.0"])(
    "is an error by a reading at the limit of a value of %s, and by one in a narrow band",
    (value) => {
      const meter = `instruments:
  meter: { title: Meter, accuracy: { voltage: { reading: 0.5 %, counts: 3, resolution: 0.001 V } } }
`;
      const look = (borderline: string, mid: string) => `  first:
    measure: voltage
    unit: V
    with: meter
    value: "${value}"
    bands:
      low: { under: 7.3 V, goto: refer }
      mid: { from: 7.3 V, under: 7.7 V, goto: ${mid} }
      high: { from: 7.7 V, goto: refer }
    borderline: { goto: ${borderline} }`;
      expect(told(look("worn-bad", "refer"), meter)).toMatchObject([{ severity: "error" }]);
      expect(told(look("refer", "worn-bad"), meter)).toMatchObject([{ severity: "error" }]);
    },
  );

  it("is left open, too, where what is told falls short only after another conclusion", () => {
    const text = (still: string) => `procedure: one
title: The lamp stays dark
revision: 1
complaint: It stays dark.
specifications:
  feed: { ask: true, unit: V, limits: [from] }
faults:
  worn: { title: Worn, prior: 1 }
  bent: { title: Bent, prior: 1, repair: fit }
  other: { title: Something else, prior: 1 }
repairs:
  fit: { minutes: 1, do: [ { say: Fit it. } ] }
start: first
steps:
  first:
    ask: Is it bent?
    answers: { "yes": { goto: bent-bad }, "no": { goto: second } }
    evidence: { bent: { "yes": 0.98 }, otherwise: { "no": 0.95 } }
  second:
    measure: voltage
    unit: V
    specification: feed
    outcomes: { below: { goto: worn-bad }, within: { goto: refer } }
    evidence: { worn: { reads: 2 V ± 1 V }, otherwise: { within: 0.6 } }
  bent-bad: { conclude: bent, verify: again }
  again: { ask: Is it lit?, answers: { "yes": { goto: fixed }, "no": { goto: ${still} } } }
  worn-bad: { conclude: worn, goto: refer }
  fixed: { end: fixed }
  refer: { end: referred }
`;
    const of = (still: string) =>
      checked({ id: "one", text: text(still), called: {}, sheets: {} } as never)
        .findings.filter(({ code, step }) => code === "unsupported-conclusion" && step === "worn-bad")
        .map(({ severity, params }) => `${severity} ${params.why}`);
    // Which limits a run goes by, nobody knows beforehand.
    expect(of("refer")).toEqual(["note limits-open"]);
    // Of the two that are left, nothing speaks for one.
    expect(of("worn-bad")).toEqual(["warning after-conclusion", "note limits-open"]);
  });
});
