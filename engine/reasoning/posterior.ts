/** How likely each fault is after what a run has shown: Bayes under the single-fault assumption. */
import { filled } from "../machine/filled.ts";
import { own } from "../machine/own.ts";
import type { Run, StepResult } from "../machine/run.ts";
import type { FaultId, Procedure, Step, StepId } from "../procedure/model.ts";
import { scopeOf } from "../procedure/titles.ts";
import type { NumericBand } from "../quantity/verdict.ts";
import { likelihoodRow } from "./likelihood.ts";

interface FaultProbability {
  readonly fault: FaultId;
  readonly title: string;
  readonly probability: number;
}

export interface Posterior {
  /** By falling probability; struck faults at 0, last. They sum to 1 while any fault is left. */
  readonly faults: readonly FaultProbability[];
  /** Steps whose answers no fault explains together; the odds before them stand. */
  readonly atOdds: readonly StepId[];
}

/** The fault probabilities of a run: the latest result of each step counts once. */
export function posterior(procedure: Procedure, run: Run): Posterior {
  const faults = [...procedure.faults.values()];
  let odds = normalised(faults.map((fault) => (run.struck.includes(fault.id) ? 0 : fault.prior)));
  const atOdds: StepId[] = [];
  for (const id of stepsInOrder(run)) {
    const step = procedure.steps.get(id);
    const result = own(run.results, id);
    if (step === undefined || result === undefined) continue;
    const next = normalised(
      odds.map(
        (p, index) =>
          p * resultLikelihood(procedure, step, faults[index]?.id ?? "", result, bandsOf(run, id)),
      ),
    );
    if (next.every((p) => p === 0)) {
      if (odds.some((p) => p > 0)) atOdds.push(id);
      continue;
    }
    odds = next;
  }
  return {
    faults: faults
      .map((fault, index) => ({
        fault: fault.id,
        title: filled(procedure, run, scopeOf(fault.id), fault.title),
        probability: odds[index] ?? 0,
      }))
      .sort((a, b) => b.probability - a.probability),
    atOdds,
  };
}

/** The bands that the latest reading was judged by; none where only its number was noted. */
function bandsOf(run: Run, step: StepId): readonly NumericBand[] | undefined {
  const bands = own(run.readings, step)?.bands ?? [];
  return bands.length === 0 ? undefined : bands;
}

/** The steps with a result, in the order of their latest visit, so that the newest answer is the one at odds. */
function stepsInOrder(run: Run): readonly StepId[] {
  const order = new Set<StepId>();
  for (const row of run.path) {
    order.delete(row.step);
    order.add(row.step);
  }
  return [...order];
}

/** P(result | fault); 1 where the result says nothing. A close call weighs each band by its share. */
function resultLikelihood(
  procedure: Procedure,
  step: Step,
  fault: FaultId,
  result: StepResult,
  bands?: readonly NumericBand[],
): number {
  const row = likelihoodRow(procedure, step, fault, bands);
  if (row === undefined) return 1;
  if (result.shares !== undefined && row.has(result.outcome)) {
    let sum = 0;
    for (const [band, share] of Object.entries(result.shares)) sum += share * (row.get(band) ?? 0);
    return sum;
  }
  return row.get(result.outcome) ?? 1;
}

function normalised(weights: readonly number[]): readonly number[] {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return total > 0 ? weights.map((weight) => weight / total) : weights.map(() => 0);
}
