import type { Procedure, StepId } from "../../engine/procedure/model.ts";

/** What to do about answers that no fault explains together: the one most at odds is looked at again. */
export function lookAgainText(procedure: Procedure, step: StepId): string {
  const title = procedure.steps.get(step)?.title ?? step;
  return `These answers do not fit together: look again at “${title}”.`;
}
