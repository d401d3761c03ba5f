import type { Procedure, Step, StepId } from "./model.ts";
import { nextSteps } from "./next-steps.ts";

/**
 * The steps from which an `end: fixed` can be reached without passing a `conclude`. A verification has failed
 * as soon as a run goes to a step that is not in here. A `conclude` never is, since to enter it is to pass it;
 * a called `fixed` counts like one at the top. Conditions are not weighed: every arm counts as open.
 */
export function reachesFixed(procedure: Procedure): ReadonlySet<StepId> {
  const known = REACHING.get(procedure);
  if (known !== undefined) return known;
  const reaching = walkBack(procedure, (step) => step.kind === "end" && step.end === "fixed");
  REACHING.set(procedure, reaching);
  return reaching;
}

/** The steps from which a run can come to a `conclude`, that one included; reckoned anew at each call. */
export function reachesConclusion(procedure: Procedure): ReadonlySet<StepId> {
  return walkBack(procedure, (step) => step.kind === "conclude");
}

/** A procedure never changes once linked, and a run asks at every step. */
const REACHING = new WeakMap<Procedure, ReadonlySet<StepId>>();

/** The steps from which one of these is come to without passing a `conclude`. */
function walkBack(procedure: Procedure, isWanted: (step: Step) => boolean): ReadonlySet<StepId> {
  const before = new Map<StepId, StepId[]>();
  const waiting: StepId[] = [];
  for (const step of procedure.steps.values()) {
    if (isWanted(step)) waiting.push(step.id);
    if (step.kind === "conclude") continue;
    for (const next of nextSteps(procedure, step)) {
      const known = before.get(next);
      if (known === undefined) before.set(next, [step.id]);
      else known.push(step.id);
    }
  }
  const reaching = new Set<StepId>(waiting);
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    for (const earlier of before.get(id) ?? []) {
      if (reaching.has(earlier)) continue;
      reaching.add(earlier);
      waiting.push(earlier);
    }
  }
  return reaching;
}
