import type { Branch, EndStep, Procedure, Step, StepId } from "./model.ts";

/** The branch of the calling step that a called end takes; undefined where the run ends there. */
export function returnBranch(procedure: Procedure, end: EndStep): Branch | undefined {
  if (end.returnsTo === undefined) return undefined;
  return procedure.steps.get(end.returnsTo)?.outcomes.get(end.end === "fixed" ? "fault-found" : end.end);
}

/** Every step that can come right after this one, in the order written; a step can stand there twice. */
export function nextSteps(procedure: Procedure, step: Step): readonly StepId[] {
  if (step.kind === "call") return [step.entry];
  if (step.kind === "end") {
    const branch = returnBranch(procedure, step);
    return branch === undefined ? [] : addTargets(branch, []);
  }
  const next: StepId[] = [];
  for (const branch of step.outcomes.values()) addTargets(branch, next);
  return next;
}

function addTargets(branch: Branch, to: StepId[]): StepId[] {
  for (const arm of branch.arms) to.push(arm.goto);
  if (branch.else !== undefined) to.push(branch.else);
  return to;
}
