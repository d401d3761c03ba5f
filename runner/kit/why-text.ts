import type { Run } from "../../engine/machine/run.ts";
import type { AskStep, MeasureStep, Procedure } from "../../engine/procedure/model.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { conclusionProof } from "./proof-text.ts";

/** Faults named before the rest is counted. */
const NAMED = 3;

/** Why the step that a run stands at comes next, in a sentence. */
export function whyText(procedure: Procedure, run: Run): string {
  const step = procedure.steps.get(run.step);
  if (step === undefined || run.phase === "ended") return "The job is at its end.";
  if (run.verifying !== undefined) return "A repair was made. This proves whether it was the fault.";
  if (step.kind === "conclude")
    return conclusionProof(procedure, run, step).isProven
      ? "What you found leaves this fault as the one to repair."
      : "The written order comes to this fault, but what you found does not prove it.";
  if (step.kind !== "ask" && step.kind !== "measure")
    return `“${step.title}” is done here before the job goes on.`;
  if (step.evidence === undefined) return routeText(step);
  const { rows, reads } = step.evidence;
  const left = posterior(procedure, run).faults.filter(({ probability }) => probability > 0);
  if (left.length < 2)
    return `“${step.title}” is what the written order asks next; one fault is left by now.`;
  const spoken = left.filter(({ fault }) => rows.has(fault) || reads.has(fault)).map(({ title }) => title);
  if (spoken.length === 0) return `“${step.title}” says little of the faults that are left.`;
  const more = spoken.length > NAMED ? `; ${spoken.length - NAMED} more` : "";
  const named = spoken.slice(0, NAMED).join("; ") + more;
  return spoken.length === left.length
    ? `“${step.title}” tells these apart: ${named}.`
    : `“${step.title}” shows whether it is ${spoken.length === 1 ? "this" : "one of these"}: ${named}.`;
}

/** What a question or reading is for that speaks of no fault. */
function routeText(step: AskStep | MeasureStep): string {
  const targets = new Set(
    [...step.outcomes.values()]
      .filter(({ outcome }) => outcome !== "cannot" && outcome !== "stop")
      .flatMap(({ arms }) => arms.map(({ goto }) => goto)),
  );
  return targets.size > 1
    ? `“${step.title}” decides how the job goes on.`
    : `“${step.title}” is noted here before the job goes on.`;
}
