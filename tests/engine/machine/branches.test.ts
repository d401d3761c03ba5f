import { describe, expect, it } from "vitest";
import { fanText, sound } from "../procedure/fan-text.ts";
import { Job } from "./job.ts";

const ENDS = `
  good: { end: no-fault-found }
  handed-on: { end: referred }
  fixed: { end: fixed }`;
const job = (steps: string, start = "first") => new Job(sound(fanText({ start, steps: steps + ENDS })));
/** u of 1.00 V is 0.5 % and 3 counts of 0.01 V: about 0.0176 V, so 1.00 V is too close to 1 V. */
const measured = (more: string) => `
  first:
    measure: voltage
    unit: V
    with: meter
    bands: { low: { under: 1 V, goto: handed-on }, high: { from: 1 V, goto: good } }
    ${more}`;

describe("at-most", () => {
  const asking = (more: string) => `
  first: { ask: Again?, answers: { again: { goto: first, at-most: 2${more} }, enough: { goto: good } } }`;

  it("lets a branch be taken so often, and then leads to else", () => {
    const run = job(asking(", else: handed-on")).say("first", "again").say("first", "again");
    expect(run.run.end).toBeUndefined();
    expect(run.say("first", "again").run.end).toBe("referred");
  });

  it("without else ends unresolved once it is used up", () => {
    const run = job(asking("")).say("first", "again").say("first", "again").say("first", "again");
    expect(run.path).toEqual(["first again", "first again", "first again", "end/unresolved unresolved"]);
  });
});

describe("a reading too close to call", () => {
  it("takes the borderline branch where one is written, and says so by that name", () => {
    const run = job(measured("borderline: { goto: first, at-most: 2 }")).say("first", "1.00");
    expect(run.path).toEqual(["first borderline"]);
    expect(run.run.path[0]).toMatchObject({ verdict: "too-close", corrected: 1, reading: "1.00 V" });
    expect(run.prompt).toMatchObject({ kind: "measure", visit: 2 });
  });

  it("takes the band that the value picks where borderline is not written", () => {
    expect(job(measured("")).say("first", "1.00").path[0]).toBe("first high");
    expect(job(measured("")).say("first", "0.99").path[0]).toBe("first low");
  });

  it("takes the band that the value picks once borderline is used up without else", () => {
    const run = job(measured("borderline: { goto: first, at-most: 2 }"));
    run.say("first", "1.00").say("first", "0.99").say("first", "1.01");
    expect(run.path).toEqual(["first borderline", "first borderline", "first high", "good no-fault-found"]);
  });

  it("takes borderline's else once it is used up", () => {
    const run = job(measured("borderline: { goto: first, at-most: 1, else: handed-on }"));
    run.say("first", "1.00").say("first", "1.00");
    expect(run.path).toEqual(["first borderline", "first borderline", "handed-on referred"]);
  });

  it("is never over range", () => {
    expect(job(measured("borderline: { goto: first, at-most: 2 }")).say("first", "OL").path[0]).toBe(
      "first high",
    );
    expect(job(measured("borderline: { goto: first, at-most: 2 }")).say("first", "-OL").path[0]).toBe(
      "first low",
    );
  });
});

describe("what can't be evaluated", () => {
  const value = (say: string, cannot = "") => `
  first:
    measure: voltage
    unit: V
    value: "${say}"
    bands: { low: { under: 1 V, goto: good }, high: { from: 1 V, goto: good } }
    ${cannot}`;

  it.each(["(reading - reading) / (reading - reading)", 'readings[\\"second\\"] + reading'])(
    "counts as cannot: %s",
    (say) => {
      const steps = `${value(say)}
  second: { measure: voltage, unit: V, goto: first }`;
      expect(job(steps).say("first", "12.0").path).toEqual(["first cannot", "end/unresolved unresolved"]);
    },
  );

  it("takes the written cannot", () => {
    const say = "(reading - reading) / (reading - reading)";
    expect(job(value(say, "cannot: { goto: handed-on }")).say("first", "12.0").run.end).toBe("referred");
  });

  it("counts as cannot in a condition, and then says nothing of faults", () => {
    const steps = `
  first:
    ask: Does it click?
    answers: { "yes": { then: [ { if: "readings[\\"second\\"] > 1.0", goto: good }, { goto: good } ] }, "no": { goto: second } }
    evidence: { fuse-open: { "yes": 0 } }
  second: { measure: voltage, unit: V, goto: first }`;
    const run = job(steps).say("first", "yes");
    expect(run.path[0]).toBe("first cannot");
    expect(run.run.results.first).toEqual({ outcome: "cannot" });
  });
});

describe("a reading that is not plausible", () => {
  it("is asked for again and is no outcome", () => {
    const run = job(measured("plausible: { from: -0.05 V }"));
    const refusal = run.tryTo({ type: "reading", step: "first", reading: "-12.4" });
    expect(refusal).toMatchObject({ code: "bad-reading", problem: { code: "implausible" } });
    expect(run.run.events).toEqual([]);
    expect(run.prompt).toMatchObject({ kind: "measure", visit: 1 });
    expect(run.say("first", "-0.05").path[0]).toBe("first low");
  });
});

describe("over range", () => {
  it("is within a specification that has no upper limit, and above one that has", () => {
    const steps = (outcomes: string, name: string, unit: string, kind: string) => `
  first: { measure: ${kind}, unit: ${unit}, with: meter, specification: ${name}, outcomes: { ${outcomes} } }`;
    const open = steps("below: { goto: handed-on }, within: { goto: good }", "feed-voltage", "V", "voltage");
    expect(job(open).say("first", "OL").run.path[0]).toMatchObject({ outcome: "within", verdict: "within" });
    const both = "below: { goto: good }, within: { goto: good }, above: { goto: handed-on }";
    const row = job(steps(both, "winding", "Ohm", "resistance")).say("first", "OL").run.path[0];
    expect(row).toMatchObject({ outcome: "above", verdict: "above", reading: "OL" });
    expect(row).not.toHaveProperty("corrected");
  });
});

describe("cannot and stop", () => {
  it("cannot wants a reason, and ends unresolved where it is not written", () => {
    const run = job(measured(""));
    expect(run.tryTo({ type: "cannot", step: "first", reason: " " })).toEqual({ code: "reason-needed" });
    expect(run.say("first", "cannot").path).toEqual(["first cannot", "end/unresolved unresolved"]);
  });

  it("an answer of another step, or of none, changes nothing", () => {
    const run = job(`${measured("")}
  second: { ask: Well?, answers: { "yes": { goto: good } } }`);
    const before = run.run;
    expect(run.tryTo({ type: "answer", step: "second", answer: "yes" })?.code).toBe("not-expected");
    expect(run.tryTo({ type: "answer", step: "first", answer: "low" })?.code).toBe("not-expected");
    expect(run.tryTo({ type: "done", step: "first" })?.code).toBe("not-expected");
    expect(run.run).toBe(before);
  });
});

describe("elapsed", () => {
  it("is the minutes since a step was last entered, and none for an answer of before", () => {
    const steps = `
  first: { measure: voltage, unit: V, goto: second }
  second:
    measure: voltage
    unit: V
    value: "(readings.first - reading) / elapsed[\\"first\\"]"
    bands: { slow: { under: 0.1 V, goto: good }, fast: { from: 0.1 V, goto: handed-on } }`;
    const run = job(steps).say("first", "12.0");
    run.now += 8 * 60_000;
    // A minute passed before each event: 10 minutes since `first` was entered.
    expect(run.say("second", "11.5").run.readings.second?.value).toBeCloseTo(0.05, 12);
  });
});
