import { describe, expect, it } from "vitest";
import { answersSaid, saidText } from "../../../runner/kit/answers-said.ts";
import { ask, jobOf } from "../../engine/reasoning/reasoning-job.ts";

describe("what an answer says of a fault", () => {
  it.each([
    [1, "says nothing of it"],
    [1.05, "says nothing of it"],
    [2, "a little for it"],
    [1 / 2, "a little against it"],
    [10, "for it"],
    [1 / 10, "against it"],
    [30, "strongly for it"],
    [1 / 200, "very strongly against it"],
    [Number.POSITIVE_INFINITY, "proves it"],
    [0, "rules it out"],
  ])("at %d to one is: %s", (ratio, text) => {
    expect(saidText(Math.log(ratio))).toBe(text);
  });

  it("stands beside the answer's own words, a hundred to one at the end of the bar", () => {
    const job = jobOf({ a: 1, b: 1 }, ask("first", "good", 'a: { "yes": 1 }, b: { "yes": 0 }')).say(
      "first",
      "yes",
    );
    const said = (fault: string) => answersSaid(job.procedure, job.run, fault);
    expect(said("a")).toEqual([
      { step: "first", title: "First", answer: "Yes", strength: 1, text: "proves it" },
    ]);
    expect(said("b")).toMatchObject([{ strength: -1, text: "rules it out" }]);
  });

  it("says that an answer was left out, which is not that it says nothing", () => {
    const steps =
      ask("first", "second", 'a: { "yes": 1 }, b: { "yes": 0 }') +
      ask("second", "third", 'a: { "yes": 0 }, b: { "yes": 0.9 }') +
      ask("third", "good", 'otherwise: { "yes": 0.5 }');
    const job = jobOf({ a: 1, b: 1 }, steps).say("first", "yes").say("second", "yes").say("third", "yes");
    expect(answersSaid(job.procedure, job.run, "a").map(({ text }) => text)).toEqual([
      "proves it",
      "left out: it does not fit the answers before it",
      "says nothing of it",
    ]);
  });
});
