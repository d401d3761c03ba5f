import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";

/** Why the step that a run stands at comes next, in a sentence. */
export function whyText(procedure: Procedure, run: Run): string {
  const step = procedure.steps.get(run.step);
  if (step === undefined || run.phase === "ended") return "The job is at its end.";
  if (run.verifying !== undefined) return "A repair was made. This proves whether it was the fault.";
  if (step.kind === "conclude") return "What you found leaves this fault as the one to repair.";
  if (step.evidence === undefined)
    return `“${step.title}” makes sure that the job is on the right way before more is taken apart.`;
  const speaks = [...new Set([...step.evidence.rows.keys(), ...step.evidence.reads.keys()])]
    .filter((fault) => !run.struck.includes(fault))
    .flatMap((fault) => procedure.faults.get(fault)?.title ?? [])
    .slice(0, 3);
  if (speaks.length === 0) return `“${step.title}” tells the faults that are left apart.`;
  return `“${step.title}” shows whether it is one of these: ${speaks.join("; ")}.`;
}
