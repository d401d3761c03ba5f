import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { checkText } from "../../author/app/check-text.ts";
import { readAnswers } from "../../engine/machine/answers.ts";
import { walkAnswers } from "../../engine/machine/walk.ts";
import { starterText } from "../../engine/procedure/starter.ts";

const check = (id: string) =>
  checkText({ version: 1, id, text: starterText(id), called: new Map(), equipment: new Map() });

describe("starterText", () => {
  it("checks clean: nothing to mend, nothing to consider, no note", () => {
    const report = check("gate-lift-stays-up");
    expect(report.findings).toEqual([]);
    expect(report.walkable).toBe(true);
  });

  it("checks clean under every name that a file may have", () => {
    const word = fc.stringMatching(/^[a-z0-9_]{1,8}$/);
    const id = fc.array(word, { minLength: 1, maxLength: 3 }).map((words) => words.join("-"));
    fc.assert(
      fc.property(id, (name) => {
        expect(check(name).findings).toEqual([]);
      }),
      { numRuns: 40, examples: [["no"], ["null"], ["12"], ["1e3"], ["__proto__"], ["constructor"]] },
    );
  });

  it.each([
    ["feed-open", "feed: 0.2 V"],
    ["ground-open", "feed: 12.6 V\nground: 0.3 V"],
    ["part-failed", 'feed: 12.6 V\nground: 12.5 V\ndirect: "no"'],
  ])("finds %s, repairs and verifies it", (fault, readings) => {
    const { procedure } = check("example");
    if (!procedure) throw new Error("the starter has no procedure");
    const answers = readAnswers(`present: "yes"\n${readings}\nagain: "yes"\n`, "answers.yaml", procedure);
    if (!answers.ok) throw new Error("the answers do not fit");
    const { run, at } = walkAnswers(procedure, { run: "test", at: 0 }, answers.answers);
    expect(at).toBeUndefined();
    expect(run.end).toBe("fixed");
    expect(run.concluded).toEqual([fault]);
    expect(run.made).toEqual([]);
  });
});
