import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { learn } from "../../../engine/audit/learn.ts";
import { learnedText } from "../../../engine/audit/learned-text.ts";
import { type Lesson, lessonFor, lessonOf } from "../../../engine/audit/lesson.ts";
import { readAnswers } from "../../../engine/machine/answers.ts";
import { walkAnswers } from "../../../engine/machine/walk.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { library } from "../../trees.ts";

const TEXT = `# Numbers below are depot practice.
procedure: horn-silent
title: Horn silent
revision: 1
complaint: The horn is silent.
faults:
  fuse-open:   { title: Fuse open, prior: 10, repair: mend }  # the usual one
  horn-open:   { title: Horn open, prior: 6, repair: mend }
  switch-open: { title: Switch open, prior: 4, repair: mend }
  other:       { title: Something else, prior: 5 }
repairs:
  mend: { minutes: 5, do: [{ say: Mend it. }] }
start: feed
steps:
  feed:
    ask: Is there voltage at the horn?
    answers:
      "yes": { goto: click }
      "no": { goto: fuse-bad }
      unsteady: { goto: handed-on }
    evidence:
      fuse-open: { "no": 0.9 }   # the rest is shared
      otherwise: { "yes": 0.8, "no": 0.1, unsteady: 0.1 }
  click:
    ask: Does the switch click?
    answers:
      "yes": { goto: horn-bad }
      "no": { goto: switch-bad }
    evidence:
      horn-open: { "yes": 0.5, "no": 0.5 }
      switch-open: { "no": 0.9 }
  fuse-bad: { conclude: fuse-open, verify: works }
  horn-bad: { conclude: horn-open, verify: works }
  switch-bad: { conclude: switch-open, verify: works }
  works:
    ask: Does it sound?
    answers:
      "yes": { goto: mended }
      "no": { goto: feed, at-most: 1, else: handed-on }
  mended: { end: fixed }
  handed-on: { end: referred, say: Hand it on. }
`;

const loaded = loadProcedure(TEXT, "horn-silent.yaml", library);
const horn = (() => {
  if (loaded.procedure === undefined) throw new Error(JSON.stringify(loaded.findings));
  return loaded.procedure;
})();
const source = (() => {
  const found = loaded.sources.get("horn-silent.yaml");
  if (found === undefined) throw new Error("no source");
  return found;
})();

/** The lesson of a run walked with these answers. */
function lesson(answers: string): Lesson | string {
  const read = readAnswers(answers, "answers.yaml", horn);
  if (!read.ok) throw new Error(JSON.stringify(read));
  return lessonOf(horn, walkAnswers(horn, { run: "one", at: 0 }, read.answers).run);
}

const ALL = new Set(["fuse-open", "horn-open", "switch-open"]);
const UNREAD = { readings: new Map(), specifications: {} };
const FUSE: Lesson = { ...UNREAD, fault: "fuse-open", could: ALL, answers: new Map([["feed", "no"]]) };
const hornOpen = (click: string): Lesson => ({
  ...UNREAD,
  fault: "horn-open",
  could: ALL,
  answers: new Map([
    ["feed", "yes"],
    ["click", click],
  ]),
});
const SWITCH: Lesson = {
  ...UNREAD,
  fault: "switch-open",
  could: ALL,
  answers: new Map([
    ["feed", "yes"],
    ["click", "no"],
  ]),
};

describe("the lesson of a run", () => {
  it("is its verified fault with the latest answer of each step before the repair", () => {
    expect(lesson('feed: "yes"\nclick: "no"\nworks: "yes"')).toEqual(SWITCH);
  });

  it("is of the second repair where the first did not help", () => {
    expect(lesson('feed: ["no", "yes"]\nclick: "yes"\nworks: ["no", "yes"]')).toEqual(hornOpen("yes"));
  });

  it("holds nothing that was answered to verify a repair", () => {
    const told = TEXT.replace(
      "    ask: Does it sound?\n",
      '    ask: Does it sound?\n    evidence: { otherwise: { "yes": 0.9 } }\n',
    );
    const { procedure } = loadProcedure(told, "horn-silent.yaml", library);
    if (procedure === undefined) throw new Error("does not load");
    const read = readAnswers(
      'feed: ["no", "yes"]\nclick: "yes"\nworks: ["no", "yes"]',
      "answers.yaml",
      procedure,
    );
    if (!read.ok) throw new Error(JSON.stringify(read));
    const { run } = walkAnswers(procedure, { run: "one", at: 0 }, read.answers);
    expect(run.path.filter(({ step }) => step === "works")).toHaveLength(2);
    expect(lessonOf(procedure, run)).toEqual(hornOpen("yes"));
  });

  it("leaves out, for another revision, the steps that give other outcomes there", () => {
    const later = loadProcedure(
      TEXT.replace(
        '"no": { goto: switch-bad }',
        '"no": { goto: switch-bad }\n      faint: { goto: switch-bad }',
      ),
      "horn-silent.yaml",
      library,
    ).procedure;
    if (later === undefined) throw new Error("does not load");
    expect(lessonFor(horn, SWITCH, horn)).toEqual(SWITCH);
    expect(lessonFor(later, SWITCH, horn)).toEqual({
      ...UNREAD,
      fault: "switch-open",
      could: ALL,
      answers: new Map([["feed", "yes"]]),
    });
  });

  it("leaves out, for another revision, a question that was turned round, and none that was only put better", () => {
    const inOther = (...changes: readonly (readonly [string, string])[]) => {
      const text = changes.reduce((old, [from, to]) => old.replaceAll(from, to), TEXT);
      const { procedure, findings } = loadProcedure(text, "horn-silent.yaml", library);
      if (procedure === undefined) throw new Error(JSON.stringify(findings));
      return [...lessonFor(procedure, SWITCH, horn).answers];
    };
    const question = "Does the switch click?";
    // A row of one half each way says nothing of which way it is asked.
    const turned = ['switch-open: { "no": 0.9 }', 'switch-open: { "yes": 0.9 }'] as const;
    expect(inOther([question, "Do you hear the switch click?"])).toEqual([...SWITCH.answers]);
    expect(inOther([question, "Is the switch mute?"], turned)).toEqual([["feed", "yes"]]);
    // Numbers alone, of which the author thinks otherwise now, take no run away.
    expect(inOther(turned)).toEqual([...SWITCH.answers]);
  });

  it("is none for a run that was left, handed on or not verified", () => {
    expect(lesson("feed: stop")).toBe("not-verified");
    expect(lesson("feed: unsteady")).toBe("not-verified");
    expect(lesson('feed: "no"\nworks: cannot')).toBe("not-verified");
    expect(lesson("feed: cannot")).toBe("not-verified");
  });
});

describe("learning", () => {
  it("changes nothing without runs", () => {
    expect(learn(horn, [], 20)).toEqual({
      lessons: 0,
      otherFaults: new Map(),
      notOfPriors: 0,
      priors: [],
      shares: [],
    });
    expect(learnedText(source, learn(horn, [], 20)).text).toBe(TEXT);
  });

  it("weighs the written priors as so many runs, and leaves faults that no run can verify alone", () => {
    const { priors } = learn(horn, [...Array(5).fill(FUSE), ...Array(5).fill(SWITCH)], 10);
    // Weights 10, 6, 4 of the three that can be verified count as 5, 3, 2 runs: 10, 3, 7 of 20.
    expect(priors.map(({ fault, learned }) => [fault, learned])).toEqual([
      ["fuse-open", 10],
      ["horn-open", 3],
      ["switch-open", 7],
    ]);
  });

  it("lets no run speak against a fault that its text could not conclude", () => {
    const older = new Set(["fuse-open", "horn-open"]);
    const lessons = [
      ...Array(13).fill({ ...FUSE, could: older }),
      ...Array(4).fill({ ...hornOpen("yes"), could: older }),
    ];
    const { priors, notOfPriors } = learn(horn, lessons, 20);
    // Of weights 10, 6 and 4 the two keep their 16 together. They count as 10 and 6 runs: 23 and 10 of 33.
    expect(priors.map(({ fault, count, of }) => [fault, count, of])).toEqual([
      ["fuse-open", 13, 17],
      ["horn-open", 4, 17],
    ]);
    expect(priors[0]?.learned).toBeCloseTo((16 * 23) / 33, 12);
    expect(priors[1]?.learned).toBeCloseTo((16 * 10) / 33, 12);
    expect(notOfPriors).toBe(0);
  });

  it("puts runs of texts that know more and less together, each within what it could find", () => {
    const older = new Set(["fuse-open", "horn-open"]);
    const lessons = [
      ...Array(6).fill({ ...FUSE, could: older }),
      ...Array(6).fill(SWITCH),
      ...Array(4).fill(FUSE),
    ];
    const { priors } = learn(horn, lessons, 10);
    // 5, 3 and 2 runs as written. Of 10 newer runs 6 are switches: 8 of 20. Of the other 12, fuse 5 + 10 of 18.
    const learned = new Map(priors.map(({ fault, learned: share }) => [fault, share]));
    expect(learned.get("switch-open")).toBeCloseTo((20 * 8) / 20, 12);
    expect(learned.get("fuse-open")).toBeCloseTo((12 * 15) / 18, 12);
    expect(learned.get("horn-open")).toBeCloseTo((12 * 3) / 18, 12);
    expect(priors.map(({ count, of }) => [count, of])).toEqual([
      [10, 16],
      [0, 16],
      [6, 10],
    ]);
  });

  it("tells of the lessons that it can't use: faults that are gone, and texts that fit with no other", () => {
    const apart = { ...FUSE, could: new Set(["fuse-open", "switch-open"]) };
    const older = { ...FUSE, could: new Set(["fuse-open", "horn-open"]) };
    const gone = { ...FUSE, fault: "plug-off", could: new Set(["plug-off"]) };
    const { lessons, otherFaults, notOfPriors } = learn(horn, [older, older, apart, gone, gone], 10);
    expect([lessons, [...otherFaults], notOfPriors]).toEqual([3, [["plug-off", 2]], 1]);
    const alone = learn(horn, [{ ...FUSE, could: new Set(["fuse-open", "plug-off"]) }], 10);
    expect([alone.priors, alone.notOfPriors]).toEqual([[], 1]);
  });

  it("learns a row of evidence: 3 of 10 on one to one is a third", () => {
    const lessons = [...Array(3).fill(hornOpen("yes")), ...Array(7).fill(hornOpen("no"))];
    const row = learn(horn, lessons, 2).shares.filter(
      ({ row, step }) => row === "horn-open" && step === "click",
    );
    expect(row.map(({ outcome, count, of }) => [outcome, count, of])).toEqual([
      ["yes", 3, 10],
      ["no", 7, 10],
    ]);
    expect(row[0]?.learned).toBeCloseTo(1 / 3, 12);
    expect(row[0]?.interval.low).toBeCloseTo(0.10926, 5);
    expect(row[0]?.interval.high).toBeCloseTo(0.60974, 5);
  });

  it("pools the faults that otherwise speaks for", () => {
    const { shares } = learn(horn, [SWITCH, hornOpen("yes"), FUSE], 8);
    const pooled = shares.filter(({ row }) => row === "otherwise");
    expect(pooled.map(({ outcome, count, of }) => [outcome, count, of])).toEqual([
      ["yes", 2, 2],
      ["no", 0, 2],
      ["unsteady", 0, 2],
    ]);
  });

  it("writes the numbers in place: comments stay, rows still sum to one, and the text still loads", () => {
    const lessons = [FUSE, FUSE, SWITCH, hornOpen("yes"), hornOpen("no"), hornOpen("yes")];
    const { text, changed, left } = learnedText(source, learn(horn, lessons, 10));
    expect(left).toEqual([]);
    expect(changed.length).toBeGreaterThan(5);
    expect(text.replaceAll(/\d+(\.\d+)?/g, "0")).toBe(TEXT.replaceAll(/\d+(\.\d+)?/g, "0"));
    const again = loadProcedure(text, "horn-silent.yaml", library);
    expect(again.findings.filter(({ severity }) => severity === "error")).toEqual([]);
    const sums =
      again.procedure && checkProcedure(again.procedure).filter(({ code }) => code === "evidence-sum");
    expect(sums).toEqual([]);
    const row = again.procedure?.steps.get("feed")?.evidence?.otherwise ?? new Map<string, number>();
    expect([...row.values()].reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 9);
    expect(again.procedure?.faults.get("other")?.prior).toBe(5);
  });

  it("rounds nothing away that can happen", () => {
    const { text } = learnedText(source, learn(horn, Array(60_000).fill(SWITCH), 1));
    const again = loadProcedure(text, "horn-silent.yaml", library).procedure;
    for (const { id, prior } of again?.faults.values() ?? []) expect([id, prior > 0]).toEqual([id, true]);
    const feed = again?.steps.get("feed")?.evidence?.otherwise ?? new Map<string, number>();
    expect([...feed]).toEqual([
      ["yes", 0.9998],
      ["no", 0.0001],
      ["unsteady", 0.0001],
    ]);
    // What the row leaves to the answer it does not name is still something.
    expect(again?.steps.get("click")?.evidence?.rows.get("switch-open")?.get("no")).toBe(0.9999);
  });

  it("does not write through an alias", () => {
    const aliased = TEXT.replace(
      'horn-open: { "yes": 0.5, "no": 0.5 }',
      'horn-open: &even { "yes": 0.5, "no": 0.5 }',
    ).replace('switch-open: { "no": 0.9 }', "switch-open: *even");
    const other = loadProcedure(aliased, "horn-silent.yaml", library);
    const otherSource = other.sources.get("horn-silent.yaml");
    if (other.procedure === undefined || otherSource === undefined) throw new Error("does not load");
    const learned = learn(other.procedure, [hornOpen("yes"), SWITCH], 5);
    const { text, left } = learnedText(otherSource, learned);
    expect(text).toContain('&even { "yes": 0.5, "no": 0.5 }');
    expect(left.map(({ node }) => node.path[3])).toEqual([
      "horn-open",
      "horn-open",
      "switch-open",
      "switch-open",
    ]);
  });

  const someLessons = fc.array(fc.constantFrom(FUSE, SWITCH, hornOpen("yes"), hornOpen("no")), {
    minLength: 1,
    maxLength: 40,
  });

  it("does not hang on the order of the runs", () => {
    fc.assert(
      fc.property(someLessons, fc.integer({ min: 1, max: 100 }), (lessons, strength) => {
        expect(learn(horn, [...lessons].reverse(), strength)).toEqual(learn(horn, lessons, strength));
      }),
    );
  });

  it("keeps the written numbers as their strength grows, and holds the learned ones in their intervals", () => {
    fc.assert(
      fc.property(someLessons, (lessons) => {
        const strong = learn(horn, lessons, 1e9);
        for (const one of [...strong.priors, ...strong.shares])
          expect(one.learned).toBeCloseTo(one.written, 5);
        const weak = learn(horn, lessons, 10);
        for (const one of weak.priors) {
          expect(one.interval.low).toBeLessThanOrEqual(one.learned);
          expect(one.interval.high).toBeGreaterThanOrEqual(one.learned);
        }
        expect(weak.priors.reduce((sum, { learned }) => sum + learned, 0)).toBeCloseTo(20, 9);
      }),
    );
  });
});
