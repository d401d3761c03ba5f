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
});
