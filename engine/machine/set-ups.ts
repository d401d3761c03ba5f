/** What has to be made, undone and put back for a step, in which order. */
import type { Procedure, Step } from "../procedure/model.ts";

/** A step's own needs with those of the repairs it makes. */
export function requirementsOf(
  procedure: Procedure,
  step: Step,
): { readonly needs: readonly string[]; readonly without: readonly string[] } {
  if (step.kind !== "conclude") return step;
  const repairs = step.repairs.flatMap((id) => procedure.repairs.get(id) ?? []);
  return {
    needs: [...step.needs, ...repairs.flatMap((repair) => repair.needs)],
    without: [...step.without, ...repairs.flatMap((repair) => repair.without)],
  };
}

/** The set-ups with all that they need, each once: what a set-up needs first, then as written. */
export function withNeeds(procedure: Procedure, ids: readonly string[]): readonly string[] {
  const order: string[] = [];
  const seen = new Set<string>();
  const visit = (id: string): void => {
    if (seen.has(id)) return;
    seen.add(id);
    for (const need of procedure.setUps.get(id)?.needs ?? []) visit(need);
    order.push(id);
  };
  for (const id of ids) visit(id);
  return order;
}

/**
 * The set-ups that can't stand beside one: those that it must be without, and those that must be without it,
 * whichever of the two says so.
 */
export function excludedBy(procedure: Procedure, id: string): ReadonlySet<string> {
  let known = EXCLUDED.get(procedure.setUps);
  if (known === undefined) {
    known = exclusions(procedure);
    EXCLUDED.set(procedure.setUps, known);
  }
  return known.get(id) ?? NONE;
}

/** A procedure never changes once linked, and a run asks before every step. */
const EXCLUDED = new WeakMap<Procedure["setUps"], ReadonlyMap<string, ReadonlySet<string>>>();
const NONE: ReadonlySet<string> = new Set();

function exclusions({ setUps }: Procedure): ReadonlyMap<string, ReadonlySet<string>> {
  const excluded = new Map<string, Set<string>>([...setUps.keys()].map((id) => [id, new Set()]));
  for (const { id, without } of setUps.values())
    for (const other of without) {
      excluded.get(id)?.add(other);
      excluded.get(other)?.add(id);
    }
  return excluded;
}

/**
 * The set-ups to undo before a step, last made first: what the step must be without, what can't stand beside a
 * set-up still to be made, and what is `strange` there, with all that rests on it; and, when `clearing`, whatever
 * the step does not need.
 */
export function toUndo(
  procedure: Procedure,
  step: Step,
  made: readonly string[],
  clearing: boolean,
  strange: readonly string[] = [],
): readonly string[] {
  const requirements = requirementsOf(procedure, step);
  const needed = withNeeds(procedure, requirements.needs);
  const keep = new Set(needed);
  const unwanted = new Set([...requirements.without, ...strange]);
  for (const id of needed)
    if (!made.includes(id)) for (const other of excludedBy(procedure, id)) unwanted.add(other);
  const fallen = restingOn(procedure, unwanted);
  return made.filter((id) => !keep.has(id) && (clearing || fallen.has(id))).reverse();
}

/** Set-ups with all that need one of them, in turn: they are undone together. */
export function restingOn(procedure: Procedure, ids: Iterable<string>): ReadonlySet<string> {
  let needing = NEEDING.get(procedure.setUps);
  if (needing === undefined) {
    needing = needingEach(procedure);
    NEEDING.set(procedure.setUps, needing);
  }
  const found = new Set(ids);
  // A set takes in what is added while it is gone through.
  for (const id of found) for (const other of needing.get(id) ?? []) found.add(other);
  return found;
}

const NEEDING = new WeakMap<Procedure["setUps"], ReadonlyMap<string, readonly string[]>>();

function needingEach({ setUps }: Procedure): ReadonlyMap<string, readonly string[]> {
  const needing = new Map<string, string[]>();
  for (const { id, needs } of setUps.values())
    for (const need of needs) {
      const known = needing.get(need) ?? [];
      known.push(id);
      needing.set(need, known);
    }
  return needing;
}

/** The set-ups still to be made before a step, in order. */
export function toMake(procedure: Procedure, step: Step, made: readonly string[]): readonly string[] {
  return withNeeds(procedure, requirementsOf(procedure, step).needs).filter((id) => !made.includes(id));
}
