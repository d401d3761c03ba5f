/** What a run's answers say of each fault, one entry for each step: its latest result alone. */
import type { Run, StepResult } from "../machine/run.ts";
import { toldSteps } from "../machine/told.ts";
import type { FaultId, Outcome, Procedure, Step, StepId } from "../procedure/model.ts";
import type { JudgedReading } from "../quantity/judged-reading.ts";
import { likelihoodRow, tellingOutcomes } from "./likelihood.ts";

export interface Answered {
  readonly step: StepId;
  readonly outcome: Outcome;
  /** P(result | fault), in the order of the procedure's faults. */
  readonly likelihoods: readonly number[];
  /** How many results of the step say something: its answers or bands. */
  readonly outcomes: number;
}

/**
 * The answers that say something, in the order of the latest visits. A step looked at again counts once, by its
 * latest result: two looks at the same thing are not two witnesses. `cannot`, `stop` and `borderline` say nothing,
 * and neither does what is answered of a repaired machine (`told.ts`).
 */
export function answeredSteps(procedure: Procedure, run: Run): readonly Answered[] {
  const faults = [...procedure.faults.keys()];
  return toldSteps(run).flatMap(({ step: id, result, judged }) => {
    const step = procedure.steps.get(id);
    if (step?.evidence === undefined) return [];
    const telling = tellingOutcomes(step);
    if (!telling.includes(result.outcome)) return [];
    return {
      step: id,
      outcome: result.outcome,
      likelihoods: faults.map((fault) => resultLikelihood(procedure, step, fault, result, judged)),
      outcomes: telling.length,
    };
  });
}

/**
 * P(result | fault). A clear reading counts at its band's word, as the proofs take it, so that what was proven of
 * a way holds in every run that walks it. A close call that was decided brings the reading's own uncertainty in:
 * what each band says is weighed by the chance that the true value lies there.
 */
function resultLikelihood(
  procedure: Procedure,
  step: Step,
  fault: FaultId,
  { outcome, shares }: StepResult,
  judged: JudgedReading | undefined,
): number {
  // A reading that was only noted was judged by no bands.
  const bands = judged === undefined || judged.bands.length === 0 ? undefined : judged.bands;
  const row = likelihoodRow(procedure, step, fault, bands);
  if (shares === undefined) return row?.get(outcome) ?? 1;
  return Object.entries(shares).reduce((sum, [band, share]) => sum + share * (row?.get(band) ?? 0), 0);
}
