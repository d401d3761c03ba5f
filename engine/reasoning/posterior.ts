/** How likely each fault is after what a run has shown: Bayes under the single-fault assumption. */
import { filled } from "../machine/filled.ts";
import type { Run } from "../machine/run.ts";
import type { FaultId, Procedure, StepId } from "../procedure/model.ts";
import { scopeOf } from "../procedure/titles.ts";
import { type Answered, answeredSteps } from "./answered.ts";
import { priorShares, shares } from "./prior-shares.ts";

interface FaultProbability {
  readonly fault: FaultId;
  readonly title: string;
  readonly probability: number;
}

export interface Posterior {
  /**
   * By falling probability; struck faults at 0, last. They sum to 1 while any fault is left: "something else" is
   * a fault that somebody wrote, and takes its share like any other.
   */
  readonly faults: readonly FaultProbability[];
  /** Steps at whose answers no fault was left that explains all; the odds before them stand. */
  readonly atOdds: readonly StepId[];
  /**
   * The answer most at odds with the others: the one step whose answer, taken as a slip, lets the rest fit best.
   * Absent while all answers fit together.
   */
  readonly lookAgain?: StepId;
}

/** The fault probabilities of a run: the latest result of each step counts once. */
export function posterior(procedure: Procedure, run: Run): Posterior {
  const { odds, atOdds, lookAgain } = weigh(startingOdds(procedure, run), answeredSteps(procedure, run));
  return {
    faults: [...procedure.faults.values()]
      .map((fault, index) => ({
        fault: fault.id,
        title: filled(procedure, run, scopeOf(fault.id), fault.title),
        probability: odds[index] ?? 0,
      }))
      .sort((a, b) => b.probability - a.probability),
    atOdds,
    ...(lookAgain === undefined ? {} : { lookAgain }),
  };
}

/** The shares of the faults before any answer, in the order written; struck ones at 0. */
export function startingOdds(procedure: Procedure, run: Run): readonly number[] {
  return priorShares(procedure.faults.values(), run.struck);
}

/** The odds after an answer; undefined where it leaves no fault possible. */
export function oddsAfter(odds: readonly number[], answer: Answered): readonly number[] | undefined {
  const next = shares(odds.map((p, index) => p * (answer.likelihoods[index] ?? 1)));
  return next.some((p) => p > 0) ? next : undefined;
}

function weigh(start: readonly number[], answers: readonly Answered[]) {
  let odds = start;
  const atOdds: StepId[] = [];
  const fitting: Answered[] = [];
  let lookAgain: StepId | undefined;
  for (const answer of answers) {
    fitting.push(answer);
    const next = oddsAfter(odds, answer);
    if (next !== undefined) odds = next;
    else if (odds.some((p) => p > 0)) {
      atOdds.push(answer.step);
      lookAgain = mostAtOdds(start, fitting);
      fitting.pop();
    }
  }
  return { odds, atOdds, lookAgain };
}

/**
 * Of answers that do not fit together, the step most likely to have been a slip: a slip gives each of the step's
 * answers alike, so it is weighed by how well the others fit without it, over how many answers it has. The newest
 * where several weigh the same, or where no single slip explains all.
 */
function mostAtOdds(start: readonly number[], answers: readonly Answered[]): StepId | undefined {
  let most = { step: answers.at(-1)?.step, weight: Number.NEGATIVE_INFINITY };
  for (const doubted of answers) {
    const others = answers.filter((answer) => answer !== doubted);
    const weight = logFit(start, others) - Math.log(doubted.outcomes);
    if (weight > Number.NEGATIVE_INFINITY && weight >= most.weight) most = { step: doubted.step, weight };
  }
  return most.step;
}

/** log P(answers); in steps, so that a long run's product does not sink below the smallest number. */
function logFit(start: readonly number[], answers: readonly Answered[]): number {
  let odds = start;
  let log = 0;
  for (const { likelihoods } of answers) {
    const joint = odds.map((p, index) => p * (likelihoods[index] ?? 1));
    const total = joint.reduce((sum, p) => sum + p, 0);
    if (!(total > 0)) return Number.NEGATIVE_INFINITY;
    log += Math.log(total);
    odds = joint.map((p) => p / total);
  }
  return log;
}
