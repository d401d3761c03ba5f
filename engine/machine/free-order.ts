/**
 * Free order: what an answer given by choice is worth to the written order.
 *
 * A chosen step does not take its own branch when it is answered, unless that leads straight out of the job
 * (`heard-at-once.ts`). Its answer is evidence; the run then goes back to the written step that waits, unless all
 * answers together now prove a conclusion. When the written order comes to a step that was answered by choice, it
 * takes that answer without asking again. So every way is a written way, answered in another order, or ends at a
 * conclusion that has its proof. What the chosen answers can take away is the proof of a conclusion that the
 * written way leads to: it is not entered then, and the job ends unresolved.
 */
import { isEnough } from "../procedure/called-rules.ts";
import { unguardedReadings } from "../procedure/expression.ts";
import { expressionsOf } from "../procedure/link-needs.ts";
import type { ConcludeStep, Procedure, Step, StepId } from "../procedure/model.ts";
import { nextSteps } from "../procedure/next-steps.ts";
import { posterior } from "../reasoning/posterior.ts";
import { spokenFor } from "../reasoning/spoken-for.ts";
import { barredSteps } from "./can-be-next.ts";
import { own } from "./own.ts";
import type { Run, StepResult } from "./run.ts";
import { leadsUnwarned } from "./stages.ts";

/** The answer that a step was given by choice before the written order came to it; none while a repair is proven. */
export function answerAhead(run: Run, step: StepId): StepResult | undefined {
  if (run.verifying !== undefined || run.ahead?.includes(step) !== true) return undefined;
  return own(run.results, step);
}

/** The run with one step's answer no longer ahead of the written order. */
export function withoutAhead(run: Run, step: StepId): Run {
  return run.ahead?.includes(step)
    ? withAhead(
        run,
        run.ahead.filter((id) => id !== step),
      )
    : run;
}

/** The run with those steps answered ahead of the written order. */
export function withAhead({ ahead: _, ...run }: Run, ahead: readonly StepId[]): Run {
  return ahead.length === 0 ? run : { ...run, ahead };
}

/**
 * The conclusion that all answers together prove, of several the one with the fewest faults, then the surest; none
 * that no answer speaks for, however likely it is left (`spoken-for.ts`), as in plan; none that rests on an act not
 * done, on readings not taken, on a caution not shown, or leads to steps that do.
 */
export function provenConclusion(procedure: Procedure, run: Run): StepId | undefined {
  const proof = proofOf(procedure, run);
  const spoken = spokenFor(procedure, run);
  const proven = [...procedure.steps.values()].filter(
    (step): step is ConcludeStep =>
      step.kind === "conclude" && isEnough(procedure, step, proof(step)) && spoken(step),
  );
  if (proven.length === 0) return undefined;
  const barred = barredSteps(procedure, run);
  return proven
    .toSorted((a, b) => a.faults.length - b.faults.length || proof(b) - proof(a))
    .find((step) => !barred.has(step.id) && canBeEntered(procedure, run, step))?.id;
}

/** Whether a conclusion and what it leads to rest on no reading that was not taken, and on no caution not shown. */
export function canBeEntered(procedure: Procedure, run: Run, step: ConcludeStep): boolean {
  return hasReadingsFrom(procedure, run, step) && !leadsUnwarned(procedure, run, step);
}

/** Whether answers given by choice, and they alone, take away the proof of a conclusion of the written way. */
export function losesProof(procedure: Procedure, run: Run, step: ConcludeStep): boolean {
  const latest = new Map(run.path.map((row) => [row.step, row.chosen === true]));
  // Asked again after a repair, a step counts as written.
  const aside = (run.aside ?? []).filter((id) => latest.get(id));
  const ahead = [...(run.ahead ?? []), ...aside];
  if (ahead.length === 0 || isEnough(procedure, step, proofOf(procedure, run)(step))) return false;
  const told = Object.fromEntries(Object.entries(run.told).filter(([id]) => !ahead.includes(id)));
  return isEnough(procedure, step, proofOf(procedure, { ...run, told })(step));
}

function proofOf(procedure: Procedure, run: Run): (step: ConcludeStep) => number {
  const odds = new Map(posterior(procedure, run).faults.map((each) => [each.fault, each.probability]));
  return (step) => step.faults.reduce((sum, fault) => sum + (odds.get(fault) ?? 0), 0);
}

/** Whether all that conditions and limits use, here and behind, was read and entered. */
function hasReadingsFrom(procedure: Procedure, run: Run, from: Step): boolean {
  const seen = new Set<StepId>([from.id]);
  const waiting: Step[] = [from];
  for (let step = waiting.pop(); step !== undefined; step = waiting.pop()) {
    for (const expression of expressionsOf(procedure, step)) {
      if (unguardedReadings(expression).some((id) => own(run.readings, id) === undefined)) return false;
      if (expression.elapsed.some((id) => own(run.entered, id) === undefined)) return false;
    }
    for (const id of nextSteps(procedure, step)) {
      const next = procedure.steps.get(id);
      if (next === undefined || seen.has(id)) continue;
      seen.add(id);
      waiting.push(next);
    }
  }
  return true;
}
