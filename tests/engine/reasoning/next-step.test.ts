import { describe, expect, it } from "vitest";
import { nextStepAdvice } from "../../../engine/reasoning/next-step.ts";
import type { Job } from "../machine/job.ts";
import { ask, jobOf } from "./reasoning-job.ts";

const SET_UPS = {
  "set-ups": `
  shield-off: { do: Take the shield off., minutes: 8, put-back: { do: Refit it., minutes: 6 } }
  plug-apart: { do: Unplug it., minutes: 4, needs: [shield-off], put-back: { do: Plug it in., minutes: 1 } }`,
};

/** An `ask` of so many minutes that tells one fault from the rest with so much certainty. */
function tells(id: string, next: string, fault: string, minutes: number, more = "", sure = 0.95): string {
  const evidence = `${fault}: { "yes": ${sure} }, otherwise: { "no": ${sure} }`;
  return ask(id, next, evidence, ["yes", "no"], `minutes: ${minutes}\n    ${more}`);
}

const advised = (job: Job) => nextStepAdvice(job.procedure, job.run);
const steps = (job: Job) => advised(job).map(({ step }) => step);
const of = (job: Job, step: string) => {
  const found = advised(job).find((each) => each.step === step);
  if (found === undefined) throw new Error(`${step} is not advised`);
  return found;
};

describe("what would help next", () => {
  it("puts the quick step first where both tell alike", () => {
    const text = tells("first", "second", "a", 10) + tells("second", "good", "b", 2);
    const job = jobOf({ a: 1, b: 1 }, text);
    expect(steps(job)).toEqual(["second", "first"]);
    // Settled with the same chance q: 10 + (1 - q) 2 against 2 + (1 - q) 10, so that 8 q minutes are saved.
    const { tells: q, saves } = of(job, "second");
    expect(saves).toBeCloseTo(8 * q, 9);
    expect(of(job, "first").saves).toBe(0);
  });

  it("takes the share of doubt from the entropy, reckoned by hand", () => {
    const job = jobOf({ a: 1, b: 1 }, tells("first", "good", "a", 1, "", 0.9));
    // 1 bit before; after either answer .9 against .1: .468996 bit (binary entropy of .1, computed).
    expect(of(job, "first").tells).toBeCloseTo(1 - 0.4689956, 6);
  });

  it("says what each answer would leave, the likeliest first", () => {
    const job = jobOf({ a: 1, b: 3 }, tells("first", "good", "a", 1, "", 0.9));
    expect(of(job, "first").outcomes).toEqual([
      {
        outcome: "no",
        probability: expect.closeTo(0.7, 9),
        fault: "b",
        certainty: expect.closeTo(0.675 / 0.7, 9),
        settles: false,
      },
      {
        outcome: "yes",
        probability: expect.closeTo(0.3, 9),
        fault: "a",
        certainty: expect.closeTo(0.225 / 0.3, 9),
        settles: false,
      },
    ]);
  });

  it("takes a second look at a step for no new evidence, as the odds do", () => {
    const text = `
  first:
    ask: Well?
    answers: { "yes": { goto: first, at-most: 1, else: second }, "no": { goto: second } }
    evidence: { a: { "no": 0.7 }, otherwise: { "yes": 0.7 } }${tells("second", "good", "b", 3)}`;
    const job = jobOf({ a: 1, b: 1 }, text);
    expect(steps(job).toSorted()).toEqual(["first", "second"]);
    job.say("first", "yes");
    expect(job.run.step).toBe("first");
    expect(steps(job)).toEqual(["second"]);
    expect(of(job, "second").saves).toBe(0);
  });

  it("takes a second look for evidence where the first was too close to call, or fits with nothing", () => {
    const close = `
  first:
    measure: voltage
    unit: V
    with: meter
    bands: { low: { under: 10 V, goto: second }, high: { from: 10 V, goto: second } }
    borderline: { goto: first, at-most: 2 }
    evidence: { a: { low: 0.9 }, otherwise: { high: 0.9 } }`;
    const read = jobOf({ a: 1, b: 1 }, close + tells("second", "good", "b", 3)).say("first", "10.00 V");
    expect(read.run.step).toBe("first");
    expect(steps(read).toSorted()).toEqual(["first", "second"]);
    const text =
      ask("first", "second", 'a: { "yes": 1 }, otherwise: { "yes": 0 }') +
      `
  second:
    ask: Well?
    answers: { "yes": { goto: third }, dim: { goto: third }, "no": { goto: second, at-most: 1, else: third } }
    evidence: { a: { "no": 1 }, b: { "yes": 0.9, dim: 0.1 }, c: { "yes": 0.2, dim: 0.8 } }` +
      tells("third", "good", "b", 3);
    const atOdds = jobOf({ a: 1, b: 1, c: 1 }, text).say("first", "no").say("second", "no");
    expect(atOdds.run.step).toBe("second");
    expect(steps(atOdds).toSorted()).toEqual(["second", "third"]);
  });

  it("counts what has to be taken apart and put back, and nothing for what is open", () => {
    const text =
      tells("first", "second", "a", 2, "needs: [shield-off]") +
      tells("second", "third", "b", 3, "needs: [plug-apart]") +
      tells("third", "good", "c", 1);
    const job = jobOf({ a: 1, b: 1, c: 1 }, text, SET_UPS);
    expect(of(job, "first")).toMatchObject({ minutes: 16, make: ["shield-off"], written: true });
    expect(of(job, "second")).toMatchObject({ minutes: 22, make: ["shield-off", "plug-apart"] });
    job.ready();
    expect(of(job, "first")).toMatchObject({ minutes: 2, make: [] });
    expect(of(job, "second")).toMatchObject({ minutes: 8, make: ["plug-apart"] });
    job.say("first", "no");
    // The shield is off: the step on the plug costs its own minutes and the plug's.
    expect(of(job, "second")).toMatchObject({ minutes: 8, written: true });
  });

  it("leaves out what was answered, what its `after` waits for, and what tells nothing", () => {
    const text =
      tells("first", "second", "a", 1) +
      tells("second", "third", "b", 1, "after: [third]") +
      tells("third", "fourth", "c", 1) +
      ask("fourth", "good", 'a: { "yes": 0.5 }, otherwise: { "yes": 0.5 }');
    const job = jobOf({ a: 1, b: 1, c: 1 }, text);
    expect(steps(job).toSorted()).toEqual(["first", "third"]);
    job.say("first", "no");
    // What the written order asks for may be done, `after` or not.
    expect(steps(job).toSorted()).toEqual(["second", "third"]);
  });

  it("never overtakes an act or a first question that stands on every way", () => {
    const text = `
  first: { do: Chock the wheels., done: { goto: second } }${
    ask("second", "third", "") + tells("third", "fourth", "a", 1) + tells("fourth", "good", "b", 1)
  }`;
    const job = jobOf({ a: 1, b: 1 }, text);
    expect(steps(job)).toEqual([]);
    expect(steps(job.say("first", "done"))).toEqual([]);
    expect(steps(job.say("second", "yes")).length).toBe(2);
  });

  it("never advises what meets high voltage, in a step or in what it needs", () => {
    const text =
      tells("first", "second", "a", 1) +
      tells("second", "third", "b", 1, "needs: [cover-off]\n    cautions: [fan-starts]") +
      tells("third", "good", "c", 1, "hazards: [airbag]");
    const setUps = "\n  cover-off: { do: Off., minutes: 1, hazards: [electric-high], put-back: none }";
    const job = jobOf({ a: 1, b: 1, c: 1 }, text, { "set-ups": setUps });
    expect(steps(job)).toEqual(["first"]);
  });

  it("saves nothing by a step that only tells apart what is concluded together", () => {
    const text =
      tells("first", "second", "c", 5) +
      tells("second", "both", "a", 1) +
      `
  both: { conclude: [a, b], goto: bad }
  third: { conclude: c, goto: bad }`;
    const job = jobOf({ a: 1, b: 1, c: 1 }, text);
    // Whether it is a says a little of c; whether it is c settles it.
    expect(of(job, "first").tells).toBeGreaterThan(0.6);
    expect(of(job, "second").tells).toBeLessThan(of(job, "first").tells / 2);
  });

  it("advises nothing once nothing is in doubt", () => {
    const text =
      ask("first", "second", 'a: { "yes": 1 }, otherwise: { "no": 1 }') + tells("second", "good", "b", 1);
    expect(steps(jobOf({ a: 1, b: 1 }, text).say("first", "yes"))).toEqual([]);
  });
});
