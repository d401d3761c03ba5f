/** Whether an answer speaks for a conclusion: what nothing has spoken for is left likely, not found. */

import type { Run } from "../machine/run.ts";
import type { Branch, ConcludeStep, Outcome, Procedure, Step, StepId } from "../procedure/model.ts";
import { returnBranch } from "../procedure/next-steps.ts";
import { answeredSteps } from "./answered.ts";
import { likelihoodRow } from "./likelihood.ts";
import { startingOdds } from "./posterior.ts";

/** Tells whether some answer of a run that counts speaks for a conclusion, as {@link speaksFor} has it. */
export function spokenFor(procedure: Procedure, run: Run): (conclusion: ConcludeStep) => boolean {
  const answered = answeredSteps(procedure, run);
  const speaks = speaksFor(procedure, run);
  return (conclusion) =>
    answered.some(({ step: id, outcome, likelihoods }) => {
      const step = procedure.steps.get(id);
      return step !== undefined && speaks(conclusion, step, outcome, likelihoods);
    });
}

/**
 * Tells whether an answer speaks for a conclusion: the written order concludes its faults by that answer, or the
 * step's evidence has a row for one of them and the answer makes that one likelier than it was before all answers.
 * `likelihoods` are those of the answer, in the order of the faults; those as written where none are given.
 */
export function speaksFor(
  procedure: Procedure,
  run: Run,
): (conclusion: ConcludeStep, step: Step, outcome: Outcome, likelihoods?: readonly number[]) => boolean {
  const faults = [...procedure.faults.keys()];
  const start = startingOdds(procedure, run);
  return (conclusion, step, outcome, given) => {
    const branch = step.outcomes.get(outcome);
    if (branch !== undefined && concludes(procedure, branch, conclusion)) return true;
    const { evidence } = step;
    const own = conclusion.faults.filter((fault) => evidence?.rows.has(fault) || evidence?.reads.has(fault));
    if (own.length === 0) return false;
    const likelihoods =
      given ?? faults.map((fault) => likelihoodRow(procedure, step, fault)?.get(outcome) ?? 1);
    const mean = likelihoods.reduce((sum, likelihood, index) => sum + likelihood * (start[index] ?? 0), 0);
    return own.some((fault) => (likelihoods[faults.indexOf(fault)] ?? 0) > mean);
  };
}

/** Whether a branch leads to a conclusion of just these faults, over acts, calls and returns at most. */
function concludes(procedure: Procedure, branch: Branch, { faults }: ConcludeStep): boolean {
  const seen = new Set(targetsOf(branch));
  for (const id of seen) {
    const step = procedure.steps.get(id);
    if (step?.kind === "conclude") {
      if (step.faults.length === faults.length && step.faults.every((fault) => faults.includes(fault)))
        return true;
    } else if (step?.kind === "call") seen.add(step.entry);
    else if (step?.kind === "do" || step?.kind === "end") {
      const next = step.kind === "do" ? step.outcomes.get("done") : returnBranch(procedure, step);
      for (const target of next === undefined ? [] : targetsOf(next)) seen.add(target);
    }
  }
  return false;
}

function targetsOf({ arms, else: rest }: Branch): readonly StepId[] {
  return [...arms.map(({ goto }) => goto), ...(rest === undefined ? [] : [rest])];
}
