/** What one run teaches about how common faults are, and how they show. */
import type { Run } from "../machine/run.ts";
import type { FaultId, Outcome, Procedure, StepId } from "../procedure/model.ts";
import { tellingOutcomes } from "../reasoning/likelihood.ts";

export interface Lesson {
  /** The fault whose repair was verified. */
  readonly fault: FaultId;
  /** The latest answer of each step before that repair; only of steps with evidence. */
  readonly answers: ReadonlyMap<StepId, Outcome>;
}

/** Why a run teaches nothing. */
export type NoLesson = "not-verified" | "several-faults";

/**
 * The lesson of a run whose single concluded fault was repaired and verified. A run that was left, referred or
 * ended without a fault teaches nothing: nobody knows what was behind it. Neither does a conclusion of several
 * faults together: which of them it was stays open.
 */
export function lessonOf(procedure: Procedure, run: Run): Lesson | NoLesson {
  if (run.end !== "fixed") return "not-verified";
  const repair = run.path.findLastIndex(({ outcome }) => outcome === "repaired");
  const step = procedure.steps.get(run.path[repair]?.step ?? "");
  if (step?.kind !== "conclude") return "not-verified";
  const [fault, ...more] = step.faults;
  if (fault === undefined || run.struck.includes(fault)) return "not-verified";
  if (more.length > 0) return "several-faults";
  const answers = new Map<StepId, Outcome>();
  for (const row of run.path.slice(0, repair)) {
    const asked = procedure.steps.get(row.step);
    if (asked?.evidence === undefined) continue;
    if (tellingOutcomes(asked).includes(row.outcome)) answers.set(row.step, row.outcome);
    // Looked at again without a result: what was seen before no longer counts.
    else answers.delete(row.step);
  }
  return { fault, answers };
}
