import type { Step } from "../procedure/model.ts";

/** An act, or a question or reading that tells nothing of the faults: never overtaken, by whatever step. */
export function comesFirst(step: Step): boolean {
  return step.kind === "do" || ((step.kind === "ask" || step.kind === "measure") && !step.evidence);
}
