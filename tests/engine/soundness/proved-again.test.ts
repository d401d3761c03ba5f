import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { keepUnchanged } from "../../../engine/procedure/keep-unchanged.ts";
import type { Procedure, Step, StepId } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { editedProcedure } from "./edited-procedure.ts";
import { randomProcedure } from "./random-procedure.ts";
import { randomSound } from "./random-sound.ts";

const edits = fc.array(fc.tuple(fc.nat(), fc.boolean()), { minLength: 4, maxLength: 12 });

/** After each edit on the way from one procedure towards another, and once more with nothing edited. */
function provedAlong(first: Procedure, other: Procedure, changes: readonly (readonly [number, boolean])[]) {
  let [text, last] = [first, first];
  checkProcedure(last);
  for (const [at, branchOnly] of changes) {
    text = editedProcedure(text, other, at, branchOnly);
    last = keepUnchanged(last, structuredClone(text));
    expect(checkProcedure(last)).toEqual(checkProcedure(structuredClone(text)));
    expect(checkProcedure(last)).toEqual(checkProcedure(last));
  }
}

describe("a procedure proved again after each of several edits", () => {
  it("gives what a first proof gives, whatever was edited", () => {
    fc.assert(
      fc.property(randomProcedure(), randomProcedure(), edits, (first, other, changes) => {
        provedAlong(first, { ...other, faults: first.faults }, changes);
      }),
      { numRuns: 250 },
    );
  });

  it("gives it for procedures that are sound before", () => {
    fc.assert(
      fc.property(randomSound(), randomSound(), edits, (first, other, changes) => {
        provedAlong(first, other, changes);
      }),
      { numRuns: 60 },
    );
  });

  it("gives it after a step's name was changed, and changed back", () => {
    fc.assert(
      fc.property(randomProcedure(), fc.nat(), (procedure, at) => {
        const ids = [...procedure.steps.keys()];
        const named = renamed(procedure, ids[at % ids.length] ?? "", "another");
        checkProcedure(procedure);
        const again = keepUnchanged(procedure, structuredClone(named));
        expect(checkProcedure(again)).toEqual(checkProcedure(structuredClone(named)));
        expect(checkProcedure(keepUnchanged(again, procedure))).toEqual(
          checkProcedure(structuredClone(procedure)),
        );
      }),
      { numRuns: 150 },
    );
  });
});

/** The step has another name; what leads to it does so no more. */
function renamed(procedure: Procedure, id: StepId, name: StepId): Procedure {
  const steps = [...procedure.steps].map(([each, step]): readonly [StepId, Step] => {
    if (each !== id) return [each, step];
    const outcomes = [...step.outcomes].map(([key, branch]) => [key, { ...branch, step: name }] as const);
    return [name, { ...step, id: name, outcomes: new Map(outcomes) }];
  });
  return { ...procedure, steps: new Map(steps) };
}
