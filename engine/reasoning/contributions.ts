/** What each earlier answer of a run says for or against one fault. */
import type { Run } from "../machine/run.ts";
import type { FaultId, Outcome, Procedure, StepId } from "../procedure/model.ts";
import { answeredSteps } from "./answered.ts";
import { oddsAfter, startingOdds } from "./posterior.ts";

export interface Contribution {
  readonly step: StepId;
  readonly outcome: Outcome;
  /**
   * Natural logarithm of the likelihood ratio: by how much the answer moved the log-odds of the fault against all
   * others together, as they stood then. ±Infinity where it proves the fault or rules it out; 0 where it says
   * nothing.
   */
  readonly logRatio: number;
  /** The odds do not count it, for no fault explains it and all before it; its ratio is 0 then. */
  readonly leftOut: boolean;
}

/**
 * The answers in the order given, each with its say on the fault. The sum from the prior's log-odds is the log-odds
 * of the posterior. With three faults or more an answer's say rests on how the others stood when it was given.
 */
export function contributions(procedure: Procedure, run: Run, fault: FaultId): readonly Contribution[] {
  const at = [...procedure.faults.keys()].indexOf(fault);
  let odds = startingOdds(procedure, run);
  return answeredSteps(procedure, run).map((answer) => {
    const { step, outcome } = answer;
    const next = oddsAfter(odds, answer);
    // With no fault left, as where all were struck, no answer is at odds with anything.
    if (next === undefined) return { step, outcome, logRatio: 0, leftOut: odds.some((p) => p > 0) };
    const before = odds;
    odds = next;
    return { step, outcome, logRatio: logRatioOf(before, answer.likelihoods, at), leftOut: false };
  });
}

/** log of P(answer | fault) / P(answer | any other), the others weighed as they stand. */
function logRatioOf(odds: readonly number[], likelihoods: readonly number[], at: number): number {
  let others = 0;
  let weight = 0;
  for (const [index, p] of odds.entries()) {
    if (index === at) continue;
    weight += p;
    others += p * (likelihoods[index] ?? 1);
  }
  const here = likelihoods[at] ?? 1;
  // Nothing to speak for or against: the fault is out already, or it is the only one left.
  if (!((odds[at] ?? 0) > 0) || !(weight > 0)) return 0;
  const ratio = Math.log(here) - Math.log(others / weight);
  return Number.isNaN(ratio) ? 0 : ratio;
}
