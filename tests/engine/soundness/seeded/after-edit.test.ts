import { describe, expect, it } from "vitest";
import { keepUnchanged } from "../../../../engine/procedure/keep-unchanged.ts";
import type { Procedure, Step } from "../../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../../engine/soundness/check.ts";
import { checked } from "./checked.ts";
import { spoiled } from "./defect.ts";
import { DEFECTS, SOUND } from "./suite.ts";

/** Both that can be run: the procedure before a slip and after it. */
const EDITS = DEFECTS.flatMap((defect) => {
  const before = SOUND.find(({ id }) => id === defect.into);
  const older = before && checked(before);
  const newer = checked(spoiled(defect, SOUND));
  if (older?.procedure === undefined || newer.procedure === undefined) return [];
  const sheets = { older: older.withSheets, newer: newer.withSheets };
  return [{ ...defect, older: older.procedure, newer: newer.procedure, sheets }];
});

/** What is found without anything known of an earlier proof. */
function found(procedure: Procedure, sheets: readonly Procedure[] = []) {
  return checkProcedure(structuredClone(procedure), structuredClone(sheets));
}

/** A step with other words, times and set-ups, and with other evidence. */
function rewritten({ setUps }: Procedure, step: Step): readonly Step[] {
  const needs = [...setUps.keys()].slice(0, 1);
  const { evidence, ...blind } = step;
  return [
    { ...step, title: "Other words", minutes: step.minutes + 7 },
    { ...step, hazards: ["airbag"], cautions: [] },
    { ...step, needs, without: [] },
    { ...step, needs: [], without: needs },
    ...(evidence === undefined
      ? []
      : [blind as Step, { ...step, evidence: { ...evidence, rows: new Map() } }]),
  ];
}

describe("a procedure proved again after an edit", () => {
  it.each(EDITS)(
    "gives what a first proof gives: $code into $into, $what, and back",
    ({ older, newer, sheets }) => {
      checkProcedure(older, sheets.older);
      const spoilt = keepUnchanged(older, newer);
      expect(checkProcedure(spoilt, sheets.newer)).toEqual(found(newer, sheets.newer));
      const mended = keepUnchanged(spoilt, structuredClone(older));
      expect(checkProcedure(mended, structuredClone(sheets.older))).toEqual(found(older, sheets.older));
    },
  );

  it.each(EDITS)(
    "gives it after edits of words and evidence alone too: $code into $into, $what",
    ({ newer }) => {
      let last = newer;
      checkProcedure(last);
      for (const [id, step] of newer.steps)
        for (const edited of rewritten(newer, step)) {
          const next = structuredClone({ ...newer, steps: new Map([...newer.steps, [id, edited]]) });
          last = keepUnchanged(last, next);
          expect(checkProcedure(last)).toEqual(found(next));
        }
    },
  );

  it("was tried with 100 slips or more, some of them with a sheet", () => {
    expect(EDITS.length).toBeGreaterThanOrEqual(100);
    expect(EDITS.filter(({ sheets }) => sheets.newer.length > 0).length).toBeGreaterThanOrEqual(3);
  });
});
