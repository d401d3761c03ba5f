/** What may not be overtaken when a step is taken by choice: what makes safe or makes sure. */
import type { Procedure, Step } from "../procedure/model.ts";
import type { Run } from "./run.ts";
import { requirementsOf, toUndo, withNeeds } from "./set-ups.ts";

/** An act, or a question or reading that tells nothing of the faults: never overtaken, by whatever step. */
export function comesFirst(step: Step): boolean {
  return step.kind === "do" || ((step.kind === "ask" || step.kind === "measure") && !step.evidence);
}

/**
 * What a look would still do for safety before it is answered, as marks: cautions to be acknowledged for the first
 * time in this run, set-ups to be made, and set-ups to be undone, as far as these have to do with a hazard. A
 * set-up with nothing to put back is one, too: what was let off, cooled or chocked leaves nothing apart. A step
 * that does not do the same does not overtake it: nobody can tell from the text that it does not rest on it. On
 * the safe side: a set-up that only brings a hazard is waited for as well.
 */
export function safetyMarks(
  procedure: Procedure,
  run: Pick<Run, "made" | "warned">,
  step: Step,
): ReadonlySet<string> {
  const requirements = requirementsOf(procedure, step);
  const setUps = withNeeds(procedure, requirements.needs);
  const shown = [
    ...step.cautions,
    ...setUps.flatMap((id) => procedure.setUps.get(id)?.cautions ?? []),
    ...(step.kind === "conclude" ? repairCautions(procedure, step.repairs) : []),
  ];
  const marks = new Set<string>();
  for (const id of shown)
    if (isOfHazard(procedure, id) && !run.warned?.includes(id)) marks.add(`caution ${id}`);
  for (const id of setUps) if (!run.made.includes(id) && isForSafety(procedure, id)) marks.add(`make ${id}`);
  for (const id of toUndo(procedure, step, run.made, false))
    if (isForSafety(procedure, id)) marks.add(`undo ${id}`);
  return marks;
}

function repairCautions(procedure: Procedure, repairs: readonly string[]): readonly string[] {
  return repairs.flatMap((id) => {
    const repair = procedure.repairs.get(id);
    return [...(repair?.cautions ?? []), ...(repair?.do.flatMap((act) => act.cautions) ?? [])];
  });
}

/**
 * A caution that tells of harm to people, as every signal but `notice` does, whether it names what it covers or not;
 * a notice where it does, or where its button says that something was done.
 */
function isOfHazard(procedure: Procedure, id: string): boolean {
  const caution = procedure.cautions.get(id);
  if (caution === undefined) return false;
  return caution.signal !== "notice" || caution.covers.length > 0 || caution.acknowledge !== undefined;
}

function isForSafety(procedure: Procedure, id: string): boolean {
  const setUp = procedure.setUps.get(id);
  if (setUp === undefined) return false;
  const { cautions, hazards, putBack } = setUp;
  return putBack === undefined || hazards.length > 0 || cautions.some((each) => isOfHazard(procedure, each));
}
