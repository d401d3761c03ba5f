/** What looks do for safety, and what they change for others: what neither may be overtaken nor be done too soon. */
import type { Procedure, Step } from "../procedure/model.ts";
import { own } from "./own.ts";
import type { Run } from "./run.ts";
import { excludedBy, requirementsOf, toMake, withNeeds } from "./set-ups.ts";
import { undoneAt } from "./settings.ts";

/** What of a run it depends on. */
export type Reached = Pick<Run, "made" | "warned" | "facts">;

/** What is done for safety, with the work that the same step does before it: set-ups and measured facts. */
export type SafetyMarks = ReadonlyMap<string, ReadonlySet<string>>;

/**
 * What a look would still do for safety before it is answered, as marks: cautions to be acknowledged for the first
 * time in this run, set-ups to be made, and set-ups to be undone, as far as these have to do with a hazard. A
 * set-up with nothing to put back is one, too: what was let off, cooled or chocked leaves nothing apart. A step
 * that does not do the same, and as soon, does not overtake it: nobody can tell from the text that it does not rest
 * on it. On the safe side: a set-up that only brings a hazard is waited for as well.
 */
export function safetyMarks(procedure: Procedure, run: Reached, step: Step): SafetyMarks {
  const marks = new Map<string, ReadonlySet<string>>();
  const before = new Set<string>();
  const mark = (name: string) => {
    if (!marks.has(name)) marks.set(name, new Set(before));
  };
  const warn = (cautions: readonly string[] = []) => {
    for (const id of cautions)
      if (isOfHazard(procedure, id) && !run.warned?.includes(id)) mark(`caution ${id}`);
  };
  const measured = step.facts.filter((id) => isStillMeasured(procedure, run, id));
  if (measured.length > 0) warn(step.cautions);
  for (const id of measured) before.add(`fact ${id}`);
  for (const id of undoneAt(procedure, step, run.made, false)) {
    warn(procedure.setUps.get(id)?.putBack?.cautions);
    if (isForSafety(procedure, id)) mark(`undo ${id}`);
    before.add(`undo ${id}`);
  }
  for (const id of toMake(procedure, step, run.made)) {
    warn(procedure.setUps.get(id)?.cautions);
    if (isForSafety(procedure, id)) mark(`make ${id}`);
    before.add(`make ${id}`);
  }
  warn(step.cautions);
  if (step.kind === "conclude") warn(repairCautions(procedure, step.repairs));
  return marks;
}

/**
 * Whether a step with such marks does what a mark of another step stands for, with no other work before it than that
 * step has there: the pressure is let off before the cover is opened, not behind it.
 */
export function doesAsSoon(own: SafetyMarks, mark: string, before: ReadonlySet<string>): boolean {
  const work = own.get(mark);
  return work !== undefined && [...work].every((each) => before.has(each));
}

/**
 * What a look changes about set-ups that have to do with a hazard: those that it makes, and those that it undoes.
 * What is looked at afterwards is judged, and stood at, in that state: with the pressure off, the engine running, the
 * prop taken out.
 */
export function safetyChanges(
  procedure: Procedure,
  { made }: Pick<Run, "made">,
  step: Step,
): ReadonlySet<string> {
  const making = toMake(procedure, step, made).map((id) => ["make", id] as const);
  const undoing = undoneAt(procedure, step, made, false).map((id) => ["undo", id] as const);
  return new Set(
    [...making, ...undoing].flatMap(([change, id]) => (isForSafety(procedure, id) ? `${change} ${id}` : [])),
  );
}

/**
 * How a step wants the set-ups that have to do with a hazard: `with` or `without` each. Of two looks that want one
 * differently neither overtakes the other: what comes behind both finds it as the later of them left it.
 */
export function safetyWants(procedure: Procedure, step: Step): ReadonlySet<string> {
  const { needs, without } = requirementsOf(procedure, step);
  const made = withNeeds(procedure, needs);
  const unwanted = new Set([...without, ...made.flatMap((id) => [...excludedBy(procedure, id)])]);
  const apart =
    unwanted.size === 0
      ? []
      : [...procedure.setUps.keys()].filter((id) =>
          withNeeds(procedure, [id]).some((under) => unwanted.has(under)),
        );
  const wanted = [...made.map((id) => ["with", id] as const), ...apart.map((id) => ["without", id] as const)];
  return new Set(wanted.flatMap(([how, id]) => (isForSafety(procedure, id) ? `${how} ${id}` : [])));
}

/** The opposite of what a step wants. */
export function oppositeOf(want: string): string {
  return want.startsWith("with ") ? want.replace("with ", "without ") : want.replace("without ", "with ");
}

/** A fact that is measured at this step, should the run come to it now. */
function isStillMeasured(procedure: Procedure, run: Pick<Run, "facts">, id: string): boolean {
  const fact = procedure.facts.get(id);
  return fact?.measure !== undefined && fact.given === undefined && own(run.facts, id) === undefined;
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

/**
 * Whether a set-up has to do with a hazard, or can't be put back: by what it is made or put back with, for letting the
 * vehicle down is as much to do with a hazard as raising it.
 */
export function isForSafety(procedure: Procedure, id: string): boolean {
  const setUp = procedure.setUps.get(id);
  if (setUp === undefined) return false;
  const { cautions, hazards, putBack } = setUp;
  if (putBack === undefined || hazards.length > 0 || (putBack.hazards?.length ?? 0) > 0) return true;
  return [...cautions, ...putBack.cautions].some((each) => isOfHazard(procedure, each));
}
