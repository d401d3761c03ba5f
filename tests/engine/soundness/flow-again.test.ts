import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { editedSteps, flowAgain, flowOf } from "../../../engine/soundness/flow.ts";
import { randomProcedure } from "./random-procedure.ts";

/** One branch leads elsewhere: to another step, to none that exists, or nowhere at all. */
function redirected(procedure: Procedure, at: number, to: number): Procedure {
  const steps = [...procedure.steps.values()];
  const step = steps[at % steps.length];
  const [outcome, branch] = [...(step?.outcomes ?? [])][to % 2] ?? [];
  if (step === undefined || outcome === undefined || branch === undefined) return procedure;
  const goto = [...steps.map(({ id }) => id), "none"][to % (steps.length + 1)] ?? "";
  const arms = to % 7 === 0 ? [] : branch.arms.map((arm) => ({ ...arm, goto }));
  const outcomes = new Map([...step.outcomes, [outcome, { ...branch, arms }]]);
  return { ...procedure, steps: new Map([...procedure.steps, [step.id, { ...step, outcomes }]]) };
}

describe("a flow made of an earlier one", () => {
  it("is the flow made anew, whatever branch was led elsewhere", () => {
    let shared = 0;
    fc.assert(
      fc.property(randomProcedure(), fc.nat(), fc.nat(), (procedure, at, to) => {
        const last = flowOf(procedure);
        const edited = redirected(procedure, at, to);
        const changed = editedSteps(last, edited) ?? [-1];
        expect(changed).not.toContain(-1);
        const again = flowAgain(edited, last, changed);
        expect(again).toEqual(flowOf(edited));
        if (again.out === last.out && again.edges !== last.edges) shared += 1;
      }),
      { numRuns: 500 },
    );
    expect(shared).toBeGreaterThan(100);
  });
});
