import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { besideOf, changesOf, keepUnchanged } from "../../../engine/procedure/keep-unchanged.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { SHIPPED, shippedProcedure } from "../../trees.ts";
import { randomProcedure } from "../soundness/random-procedure.ts";

/** The procedure as if linked again: equal in all, the same in nothing. */
function again(procedure: Procedure): Procedure {
  return structuredClone(procedure);
}

describe("two readings of one procedure", () => {
  it.each(SHIPPED)("are the same in every step where nothing has changed: %s", (id) => {
    const older = shippedProcedure(id);
    const newer = keepUnchanged(older, again(older));
    for (const [step, each] of newer.steps) expect(each).toBe(older.steps.get(step));
    expect(besideOf(newer)).toBe(besideOf(older));
  });

  it("differ in the step that was edited, and in nothing else", () => {
    const older = shippedProcedure("slow-crank");
    const edited = again(older);
    const [id, step] = [...edited.steps][3] ?? [];
    if (id === undefined || step === undefined) throw new Error("no step");
    const newer = keepUnchanged(older, {
      ...edited,
      steps: new Map([...edited.steps, [id, { ...step, minutes: 99 }]]),
    });
    const changed = [...newer.steps]
      .filter(([each, at]) => at !== older.steps.get(each))
      .map(([each]) => each);
    expect(changed).toEqual([id]);
  });

  it("share nothing beside the steps once any of it has changed", () => {
    const older = shippedProcedure("slow-crank");
    const newer = keepUnchanged(older, { ...again(older), certainty: 0.9 });
    expect(besideOf(newer)).not.toBe(besideOf(older));
    expect(newer.certainty).toBe(0.9);
  });

  it("differ in words where only those and times do, in evidence where that does, and go other ways where a branch leads elsewhere", () => {
    const older = shippedProcedure("slow-crank");
    const [id, step] = [...older.steps].find(([, each]) => each.kind === "ask") ?? [];
    if (id === undefined || step === undefined) throw new Error("no step");
    const having = (changed: typeof step) => ({ ...older, steps: new Map([...older.steps, [id, changed]]) });
    expect(changesOf(older, having({ ...step, title: "Other words", minutes: 99 }))).toEqual({
      words: true,
      evidence: false,
    });
    const [outcome, branch] = [...step.outcomes][0] ?? [];
    if (outcome === undefined || branch === undefined) throw new Error("no branch");
    const arms = branch.arms.map((arm) => ({ ...arm, goto: older.start }));
    const outcomes = new Map([...step.outcomes, [outcome, { ...branch, arms }]]);
    expect(changesOf(older, having({ ...step, outcomes }))).toBeUndefined();
    const asked = [...older.steps.values()].find((each) => each.evidence !== undefined);
    if (asked === undefined) throw new Error("no evidence");
    const { evidence: _, ...blind } = asked;
    expect(changesOf(older, { ...older, steps: new Map([...older.steps, [asked.id, blind]]) })).toEqual({
      words: false,
      evidence: true,
    });
    expect(changesOf(older, older)).toEqual({ words: false, evidence: false });
  });

  it("go the same ways where one step lost its evidence, and are proved as if new", () => {
    fc.assert(
      fc.property(randomProcedure(), fc.nat(), (older, pick) => {
        const telling = [...older.steps.values()].filter((each) => each.evidence !== undefined);
        const asked = telling[pick % telling.length];
        fc.pre(asked !== undefined);
        const { evidence: _, ...blind } = asked;
        const newer = { ...again(older), steps: new Map([...again(older).steps, [asked.id, blind]]) };
        checkProcedure(older);
        const kept = keepUnchanged(older, newer);
        expect(changesOf(older, kept)).toEqual({ words: false, evidence: true });
        expect(checkProcedure(kept)).toEqual(checkProcedure(again(newer)));
      }),
      { numRuns: 100 },
    );
  });

  it("do not go the same ways where a branch leads elsewhere or a reading is of another quantity", () => {
    const older = shippedProcedure("slow-crank");
    const step = [...older.steps.values()].find((each) => each.kind === "measure");
    if (step?.kind !== "measure") throw new Error("no reading");
    const having = (changed: typeof step) => ({
      ...older,
      steps: new Map([...older.steps, [step.id, changed]]),
    });
    expect(changesOf(older, having({ ...step, title: "Other words" }))).toBeDefined();
    expect(
      changesOf(older, having({ ...step, outcomes: new Map([...step.outcomes].slice(1)) })),
    ).toBeUndefined();
    const quantity = step.quantity === "voltage" ? "current" : "voltage";
    expect(changesOf(older, having({ ...step, quantity }))).toBeUndefined();
  });

  it("are proved as if new where a limit has moved under a branch that asks for the reading", () => {
    const withLimit = (volts: number): Procedure => {
      const { procedure } = loadProcedure(
        `procedure: limit
title: Limit
revision: 1
complaint: It stays off.
faults:
  feed: { title: Feed open, prior: 3 }
  other: { title: Something else, prior: 1 }
start: volt
steps:
  volt:
    measure: voltage
    unit: V
    bands:
      low: { under: ${volts} V, then: [ { if: "reading > 4.0", goto: near }, { goto: far } ] }
      high: { from: ${volts} V, goto: feed-open }
    evidence:
      feed: { high: 0.99 }
      otherwise: { low: 0.99 }
  feed-open: { conclude: feed, goto: near }
  near: { end: referred }
  far: { end: referred }
`,
        "limit.yaml",
        { procedure: () => undefined, equipment: () => undefined },
      );
      if (procedure === undefined) throw new Error("the procedure has errors");
      return procedure;
    };
    const impossible = (procedure: Procedure) =>
      checkProcedure(procedure).filter(({ code }) => code === "impossible-branch").length;
    const wide = withLimit(5);
    expect(impossible(wide)).toBe(0);
    const narrow = keepUnchanged(wide, withLimit(3));
    expect(impossible(narrow)).toBe(1);
    expect(impossible(keepUnchanged(narrow, withLimit(5)))).toBe(0);
  });

  it("are proved alike, whatever was proved before", () => {
    fc.assert(
      fc.property(randomProcedure(), randomProcedure(), (older, newer) => {
        checkProcedure(older);
        const kept = keepUnchanged(older, newer);
        expect(kept).toEqual(newer);
        expect(checkProcedure(kept)).toEqual(checkProcedure(again(newer)));
      }),
      { numRuns: 100 },
    );
  });
});
