/**
 * What would help next: the steps that could be answered now, by the minutes that asking them first saves.
 *
 * Minutes saved. The doubt is the entropy of the faults, in bits, faults that are always concluded together taken
 * as one. A step takes away the share q of it that its answer is expected to remove: (doubt now - mean doubt after)
 * / doubt now, by the evidence as written. The search is then reckoned as if each step settled it with probability
 * q, one as independent of the other, dearest by minutes over q last; the steps after the first always in that
 * order. What a step saves is the expected minutes of the search that begins with the step that the run asks for
 * now, less those of the search that begins with this one. Where the step asked for now says nothing of the faults
 * it comes first either way, and the comparison is with the best step, so that nothing saves more than 0.
 *
 * Its limits: it looks one answer ahead, so that a step worth something only together with another counts for
 * nothing; steps that tell the same are counted as if each told something new, but one that was answered already
 * and is asked again tells nothing, as it would show the same; set-ups are counted as they are made
 * now, although one step may open what the next one needs; where an answer leads in the written order is not looked
 * at. It ranks; the exact expectation of a whole order is the planner's.
 */
import { canBeNext } from "../machine/can-be-next.ts";
import { numericBands } from "../machine/limits.ts";
import type { Run } from "../machine/run.ts";
import { sceneOf } from "../machine/scene.ts";
import { toMake } from "../machine/set-ups.ts";
import { undoneAt } from "../machine/settings.ts";
import type { AskStep, FaultId, MeasureStep, Outcome, Procedure, Step, StepId } from "../procedure/model.ts";
import { answeredSteps } from "./answered.ts";
import { likelihoodRow, tellingOutcomes } from "./likelihood.ts";
import { newlyProven } from "./newly-proven.ts";
import { posterior } from "./posterior.ts";

export interface Advice {
  readonly step: StepId;
  /** The run asks for it now. */
  readonly written: boolean;
  /** Set-ups still to be made for it, in order; none where everything that it needs is open already. */
  readonly make: readonly string[];
  /** Minutes of the step now: its wait, set-ups to undo, set-ups to make and their putting back included. */
  readonly minutes: number;
  /** The share of the doubt that its answer is expected to take away, 0 to 1. */
  readonly tells: number;
  /** Expected minutes saved by asking it first; below 0 where it costs some. */
  readonly saves: number;
  /** What its answers would leave, the likeliest answer first. */
  readonly outcomes: readonly AdvisedOutcome[];
}

interface AdvisedOutcome {
  readonly outcome: Outcome;
  /** P(outcome) by the odds now. */
  readonly probability: number;
  /** The fault that is likeliest then, and how likely those are that are concluded with it. */
  readonly fault: FaultId;
  readonly certainty: number;
  /** Whether a conclusion that the run can still come to is proven then, and was not before. */
  readonly settles: boolean;
}

/** Less of the doubt than this is rounding, not evidence. */
const LEAST_TOLD = 1e-9;

/** The steps that could be answered now and tell something, by falling minutes saved. */
export function nextStepAdvice(procedure: Procedure, run: Run): readonly Advice[] {
  const { faults, atOdds } = posterior(procedure, run);
  const odds = faults.filter(({ probability }) => probability > 0);
  const groups = groupsOf(procedure, odds);
  const doubt = entropy(sums(odds, groups));
  if (!(doubt > LEAST_TOLD)) return [];
  const at = run.events.at(-1)?.at ?? run.opening.at;
  // The odds count a step once; an answer that they left out may still be put right.
  const counted = new Set(answeredSteps(procedure, run).map(({ step }) => step));
  for (const step of atOdds) counted.delete(step);
  const proves = newlyProven(procedure, run, shareAmong(odds));
  const told = canBeNext(procedure, run).flatMap((step) => {
    if (counted.has(step.id)) return [];
    const outcomes = outcomesOf(procedure, run, step, odds, groups, at);
    const after = outcomes.reduce((sum, one) => sum + one.probability * one.doubt, 0);
    const tells = Math.min(1, (doubt - after) / doubt);
    if (!(tells > LEAST_TOLD)) return [];
    const make = toMake(procedure, step, run.made);
    return {
      step: step.id,
      written: step.id === run.step,
      make,
      minutes: minutesOf(procedure, run, step, make),
      tells,
      outcomes: outcomes
        .map(({ outcome, probability, fault, certainty, left }) => ({
          outcome,
          probability,
          fault,
          certainty,
          settles: proves(step, outcome, shareAmong(left)),
        }))
        .sort((a, b) => b.probability - a.probability),
    };
  });
  const best = told.toSorted((a, b) => a.minutes * b.tells - b.minutes * a.tells);
  const now = told.find((each) => each.written) ?? best[0];
  if (now === undefined) return [];
  const asked = searchMinutes(now, best);
  return best
    .map((each) => ({ ...each, saves: asked - searchMinutes(each, best) }))
    .sort((a, b) => b.saves - a.saves);
}

type Told = Omit<Advice, "saves">;

/** Expected minutes of a search that begins with one step and goes on with the others in their order. */
function searchMinutes(first: Told, others: readonly Told[]): number {
  let minutes = first.minutes;
  let going = 1 - first.tells;
  for (const each of others) {
    if (each === first) continue;
    minutes += going * each.minutes;
    going *= 1 - each.tells;
  }
  return minutes;
}

function minutesOf(procedure: Procedure, run: Run, step: Step, make: readonly string[]): number {
  const waited = "waitMinutes" in step ? (step.waitMinutes ?? 0) : 0;
  const putBack = (id: string) => procedure.setUps.get(id)?.putBack?.minutes ?? 0;
  const undone = undoneAt(procedure, step, run.made, false).reduce((sum, id) => sum + putBack(id), 0);
  return make.reduce(
    (sum, id) => sum + (procedure.setUps.get(id)?.minutes ?? 0) + putBack(id),
    step.minutes + waited + undone,
  );
}

interface Odds {
  readonly fault: FaultId;
  readonly probability: number;
}

function shareAmong(odds: readonly Odds[]): (fault: FaultId) => number {
  const shares = new Map(odds.map(({ fault, probability }) => [fault, probability]));
  return (fault) => shares.get(fault) ?? 0;
}

/** For each fault the number of its group: faults that every conclusion names together need no telling apart. */
function groupsOf(procedure: Procedure, odds: readonly Odds[]): readonly number[] {
  const concluding = new Map<FaultId, StepId[]>();
  for (const step of procedure.steps.values())
    if (step.kind === "conclude")
      for (const fault of step.faults) {
        const known = concluding.get(fault);
        if (known === undefined) concluding.set(fault, [step.id]);
        else known.push(step.id);
      }
  const numbers = new Map<string, number>();
  return odds.map(({ fault }) => {
    const mark = JSON.stringify(concluding.get(fault) ?? fault);
    const number = numbers.get(mark) ?? numbers.size;
    numbers.set(mark, number);
    return number;
  });
}

function sums(
  odds: readonly { readonly probability: number }[],
  groups: readonly number[],
): readonly number[] {
  const total = new Array<number>(odds.length).fill(0);
  for (const [index, { probability }] of odds.entries()) {
    const group = groups[index] ?? 0;
    total[group] = (total[group] ?? 0) + probability;
  }
  return total;
}

/** In bits. */
function entropy(shares: readonly number[]): number {
  return shares.reduce((sum, share) => (share > 0 ? sum - share * Math.log2(share) : sum), 0);
}

/** What each answer of a step would leave, by the odds now; answers that can't come are left out. */
function outcomesOf(
  procedure: Procedure,
  run: Run,
  step: AskStep | MeasureStep,
  odds: readonly Odds[],
  groups: readonly number[],
  at: number,
) {
  const bands =
    step.kind === "measure" ? numericBands(procedure, run, step, sceneOf(procedure, run, at)) : undefined;
  const named = (fault: FaultId) => step.evidence?.rows.has(fault) || step.evidence?.reads.has(fault);
  // No fault can have an empty id, so this is the row of every fault not named.
  const usual = likelihoodRow(procedure, step, "", bands);
  const rows = odds.map(({ fault }) => (named(fault) ? likelihoodRow(procedure, step, fault, bands) : usual));
  return tellingOutcomes(step).flatMap((outcome) => {
    const joint = odds.map(({ probability }, index) => probability * (rows[index]?.get(outcome) ?? 0));
    const probability = joint.reduce((sum, p) => sum + p, 0);
    if (!(probability > 0)) return [];
    const left = odds.map(({ fault }, index) => ({ fault, probability: (joint[index] ?? 0) / probability }));
    const grouped = sums(left, groups);
    const likeliest = left.reduce((most, { probability: p }, index) => {
      return p > (left[most]?.probability ?? 0) ? index : most;
    }, 0);
    return {
      outcome,
      probability,
      left,
      doubt: entropy(grouped),
      fault: odds[likeliest]?.fault ?? "",
      certainty: grouped[groups[likeliest] ?? 0] ?? 0,
    };
  });
}
