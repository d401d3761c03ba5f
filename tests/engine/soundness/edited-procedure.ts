import type { Procedure, Step } from "../../../engine/procedure/model.ts";

/**
 * The procedure with one step of another one written in place of its own of the same name: the whole step, or one
 * of its branches alone.
 */
export function editedProcedure(
  procedure: Procedure,
  other: Procedure,
  at: number,
  branchOnly: boolean,
): Procedure {
  const ids = [...procedure.steps.keys()].filter((id) => other.steps.has(id));
  const id = ids[at % ids.length] ?? "";
  const [step, written] = [procedure.steps.get(id), other.steps.get(id)];
  if (step === undefined || written === undefined) return procedure;
  const edited = branchOnly ? withBranch(step, written, at) : written;
  return { ...procedure, steps: new Map([...procedure.steps, [id, edited]]) };
}

function withBranch(step: Step, written: Step, at: number): Step {
  const outcome = [...step.outcomes.keys()][at % 2] ?? "";
  const branch = written.outcomes.get(outcome);
  return branch === undefined ? step : { ...step, outcomes: new Map([...step.outcomes, [outcome, branch]]) };
}
