/** What a run's answers say of each fault, one entry for each step: its latest result alone. */
import { own } from "../machine/own.ts";
import type { Run, StepResult } from "../machine/run.ts";
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
 * latest result: two looks at the same thing are not two witnesses. `cannot`, `stop` and `borderline` say nothing.
 */
export function answeredSteps(procedure: Procedure, run: Run): readonly Answered[] {
  const faults = [...procedure.faults.keys()];
  return latestVisits(run).flatMap((id) => {
    const step = procedure.steps.get(id);
    const result = own(run.results, id);
    if (step?.evidence === undefined || result === undefined) return [];
    const telling = tellingOutcomes(step);
    if (!telling.includes(result.outcome)) return [];
    const judged = own(run.readings, id);
    return {
      step: id,
      outcome: result.outcome,
      likelihoods: faults.map((fault) => resultLikelihood(procedure, step, fault, result, judged)),
      outcomes: telling.length,
    };
  });
}

function latestVisits(run: Run): readonly StepId[] {
  const order = new Set<StepId>();
  for (const row of run.path) {
    order.delete(row.step);
    order.add(row.step);
  }
  return [...order];
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
