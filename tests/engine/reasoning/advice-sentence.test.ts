import { describe, expect, it } from "vitest";
import { adviceSentence } from "../../../engine/reasoning/advice-sentence.ts";
import { nextStepAdvice } from "../../../engine/reasoning/next-step.ts";
import type { Job } from "../machine/job.ts";
import { ask, jobOf } from "./reasoning-job.ts";

const SET_UPS = {
  "set-ups":
    "\n  shield-off: { title: Shield off, do: Take it off., minutes: 8, put-back: { do: Refit it., minutes: 6 } }",
};

const told = (job: Job, language?: string) =>
  nextStepAdvice(job.procedure, job.run).map((each) => [
    each.step,
    adviceSentence(job.procedure, job.run, each, language),
  ]);

describe("advice in words", () => {
  it("says what a step settles, what it costs and what it saves", () => {
    const rows = (fault: string) => `${fault}: { "yes": 0.95 }, otherwise: { "no": 0.95 }`;
    const text =
      ask("first", "second", rows("a"), ["yes", "no"], "minutes: 3\n    needs: [shield-off]") +
      `
  second:
    ask: Well?
    minutes: 2
    answers: { "yes": { goto: is-b }, "no": { goto: is-a } }
    evidence: { ${rows("b")} }
  is-a: { conclude: a, goto: bad }
  is-b: { conclude: b, goto: bad }`;
    expect(told(jobOf({ a: 1, b: 1 }, text, SET_UPS))).toEqual([
      [
        "second",
        "Its answer settles it. 2\u00a0min, nothing to take apart. Done first it saves about 11\u00a0min on average.",
      ],
      [
        "first",
        "Its answer settles it. 17\u00a0min, taking apart first: Shield off. It is the next one as written.",
      ],
    ]);
    const open = jobOf({ a: 1, b: 1 }, text, SET_UPS).ready();
    expect(told(open).find(([step]) => step === "first")?.[1]).toContain("what it needs is open already");
  });

  it("says that an answer settles it only where that leads to a conclusion which was not proven before", () => {
    const sure = (fault: string) => `${fault}: { "yes": 0.95 }, otherwise: { "no": 0.95 }`;
    const nothingConcluded = ask("first", "good", sure("a"));
    expect(told(jobOf({ a: 1, b: 1 }, nothingConcluded))[0]?.[1]).toMatch(/^It tells “/);
    // Of three alike, "yes" proves a; "no" leaves b and c at one half each. "Yes" comes to 0.333 of such jobs.
    const onlyA = `${ask("first", "is-a", sure("a"))}\n  is-a: { conclude: a, goto: bad }`;
    expect(told(jobOf({ a: 1, b: 1, c: 1 }, onlyA))[0]?.[1]).toMatch(
      /^Its answer settles it in about 4 of 10 /,
    );
    // The written step's "yes" leads past the conclusion, and its "no" proves nothing that is concluded.
    const past = `
  first:
    ask: Well?
    answers: { "yes": { goto: good }, "no": { goto: is-a } }
    evidence: { ${sure("a")} }
  is-a: { conclude: a, goto: bad }`;
    expect(told(jobOf({ a: 1, b: 1, c: 1 }, past))[0]?.[1]).not.toContain("settles");
    // At 9 to 1 the fault is proven already: another answer for it settles nothing.
    const again = ask("first", "is-a", 'a: { "yes": 0.6 }, otherwise: { "yes": 0.5 }');
    const before = told(jobOf({ a: 9, b: 1 }, `${again}\n  is-a: { conclude: a, goto: bad }`))[0]?.[1];
    expect(before).toMatch(/^It makes “a” more likely or less\. /);
  });

  it("says which faults it tells apart, or which one it makes surer, where it settles nothing", () => {
    const parts = ask("first", "good", 'a: { "yes": 0.6 }, otherwise: { "yes": 0.4 }');
    expect(told(jobOf({ a: 1, b: 1 }, parts))[0]?.[1]).toMatch(/^It tells “[ab]” from “[ab]”\. /);
    expect(told(jobOf({ a: 7, b: 3 }, parts))[0]?.[1]).toMatch(/^It makes “a” more likely or less\. /);
  });

  it("says it in English where the language has no words", () => {
    const job = jobOf({ a: 1, b: 1 }, ask("first", "good", 'a: { "yes": 0.6 }, otherwise: { "yes": 0.4 }'));
    expect(told(job, "constructor")).toEqual(told(job));
  });
});
