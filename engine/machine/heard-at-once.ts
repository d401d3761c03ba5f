/**
 * Which answers given by choice take their own branch at once.
 *
 * A chosen answer is evidence, and the run goes back to the written step. Not so where its branch leads straight to
 * a referral, or to where the job is left, a conclusion without a repair before it or not: what such an end says is
 * heard at once. The conclusion need not be proven for it, and says so itself then. The one answer that waits for
 * its turn is the one that found nothing, as at the end of a list of looks: with other looks still open it must
 * not end the job. So does a look that goes on alike whatever is answered: no answer of it asks to be heard.
 */
import type { Branch, Outcome, Procedure, Step, StepId } from "../procedure/model.ts";
import { returnBranch } from "../procedure/next-steps.ts";
import { comesFirst } from "./comes-first.ts";
import { decideBranch } from "./decide.ts";
import type { Hop, Run } from "./run.ts";
import { comesUnwarned } from "./stages.ts";

/** More acts, conclusions and returns in a row than this are no straight way. */
const MOST_PASSED = 100;

/** The branch of a chosen answer where it is to be taken at once; undefined where the written step comes first. */
export function heardAtOnce(
  procedure: Procedure,
  run: Run,
  step: Step,
  outcome: Outcome,
  at: number,
): Hop | undefined {
  if (outcome === "cannot" || outcome === "borderline" || foundNothing(procedure, step, outcome))
    return undefined;
  if (goesOnAlike(step)) return undefined;
  const hop = decideBranch(procedure, run, step, outcome, at);
  return hop.outcome === outcome && leadsOut(procedure, run, hop.goto, at) ? hop : undefined;
}

/** Whether all answers of a step that tell something, of several, lead to one and the same step. */
function goesOnAlike(step: Step): boolean {
  const told = tellingAnswers(step);
  const targets = new Set(told.flatMap(([, branch]) => targetsOf(branch)));
  return told.length > 1 && targets.size === 1;
}

function tellingAnswers(step: Step): readonly (readonly [Outcome, Branch])[] {
  return [...step.outcomes].filter(
    ([outcome, { implied }]) =>
      !implied && outcome !== "cannot" && outcome !== "borderline" && outcome !== "stop",
  );
}

/**
 * Whether an answer of a step asks for an act at once, or for a question that tells nothing of the faults, which
 * another answer does not ask for. Given by choice it would be put off and the act with it, which could be what
 * makes safe; so such a step is never chosen. An answer that is heard at once has its act done, and one that found
 * nothing may wait with an act on the way out of the job. Which arm of a branch will hold is not weighed.
 */
export function putsOffAct(procedure: Procedure, run: Run, step: Step): boolean {
  const acts = tellingAnswers(step).map(([outcome, branch]) => ({
    outcome,
    acts: actsOf(procedure, branch),
  }));
  return acts.some(
    ({ outcome, acts: own }) =>
      [...own].some((act) => !acts.every((each) => each.acts.has(act))) &&
      heardAtOnce(procedure, run, step, outcome, 0) === undefined &&
      !(foundNothing(procedure, step, outcome) && [...own].every((act) => leadsOut(procedure, run, act, 0))),
  );
}

/** The acts and first questions that a branch leads to at once, calls and returns passed over. */
function actsOf(procedure: Procedure, branch: Branch): ReadonlySet<StepId> {
  const acts = new Set<StepId>();
  const seen = new Set(targetsOf(branch));
  for (const id of seen) {
    const step = procedure.steps.get(id);
    if (step === undefined) continue;
    if (comesFirst(step)) acts.add(id);
    else if (step.kind === "call") seen.add(step.entry);
    else if (step.kind === "end") {
      const back = returnBranch(procedure, step);
      for (const next of back === undefined ? [] : targetsOf(back)) seen.add(next);
    }
  }
  return acts;
}

function targetsOf({ arms, else: rest }: Branch): readonly StepId[] {
  return [...arms.map(({ goto }) => goto), ...(rest === undefined ? [] : [rest])];
}

/**
 * Whether an answer is the one that a sound part gives: likelier than all others together under the faults that the
 * step does not look for, by its `otherwise`; without that row, under more than half of all faults by theirs. Where
 * the rows do not say so no answer is.
 */
export function foundNothing(procedure: Procedure, step: Step, outcome: Outcome): boolean {
  const { evidence } = step;
  if (evidence === undefined) return false;
  if (evidence.otherwise !== undefined) return (evidence.otherwise.get(outcome) ?? 0) > 0.5;
  const giving = [...evidence.rows.values()].filter((row) => (row.get(outcome) ?? 0) > 0.5);
  return giving.length * 2 > procedure.faults.size;
}

/**
 * Whether a step is a referral or leaves the job, or leads there over nothing but acts, conclusions without a repair
 * and a call's return.
 */
function leadsOut(procedure: Procedure, run: Run, from: StepId, at: number): boolean {
  let id = from;
  for (let passed = 0; passed < MOST_PASSED; passed += 1) {
    const step = procedure.steps.get(id);
    if (step?.kind === "do" || (step?.kind === "conclude" && step.verify === undefined)) {
      if (comesUnwarned(procedure, run, step)) return false;
      id = decideBranch(procedure, run, step, step.kind === "do" ? "done" : "concluded", at).goto;
    } else if (step?.kind === "end") {
      const back = returnBranch(procedure, step);
      if (back === undefined) return step.end === "referred" || step.end === "stopped";
      const call = procedure.steps.get(back.step);
      if (call === undefined) return false;
      id = decideBranch(procedure, run, call, back.outcome, at).goto;
    } else return false;
  }
  return false;
}
