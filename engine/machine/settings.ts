/**
 * The state in which the written order looks at each step: which set-ups can be made there.
 *
 * What a step is taken to show holds for the machine as its author knew it there: voltage at a plug that nobody has
 * pulled yet. In another order a set-up that belongs to a later step can be made already; it is put back first
 * where the written order never has it made.
 */
import type { Procedure, Step, StepId } from "../procedure/model.ts";
import { nextSteps } from "../procedure/next-steps.ts";
import { requirementsOf, toUndo, withNeeds } from "./set-ups.ts";

/**
 * The set-ups to undo before a step, last made first: what {@link toUndo} says and, where steps may be taken in any
 * order, what the written order never has made at this step. A set-up with nothing to put back stays as it is.
 */
export function undoneAt(
  procedure: Procedure,
  step: Step,
  made: readonly string[],
  clearing: boolean,
  inAnyOrder = procedure.freeOrder,
): readonly string[] {
  if (!inAnyOrder || made.length === 0) return toUndo(procedure, step, made, clearing);
  const there = settingsOf(procedure).get(step.id);
  const strange = made.filter(
    (id) => there?.has(id) === false && procedure.setUps.get(id)?.putBack !== undefined,
  );
  return toUndo(procedure, step, made, clearing, strange);
}

/** By step: the set-ups that some way of the written order has made when it is open. Conditions are not weighed. */
export function settingsOf(procedure: Procedure): ReadonlyMap<StepId, ReadonlySet<string>> {
  const known = SETTINGS.get(procedure);
  if (known !== undefined) return known;
  const settings = new Settings(procedure).walked();
  SETTINGS.set(procedure, settings);
  return settings;
}

/** A procedure never changes once linked, and a run asks before every step. */
const SETTINGS = new WeakMap<Procedure, ReadonlyMap<StepId, ReadonlySet<string>>>();

class Settings {
  readonly #procedure: Procedure;
  /** What can be made when a step is come to; apart from that, when a verification begins there. */
  readonly #coming = { plain: new Map<StepId, Set<string>>(), clearing: new Map<StepId, Set<string>>() };
  readonly #open = new Map<StepId, Set<string>>();
  /** In the order come to, each once: what leads to a step is mostly known when it is looked at. */
  readonly #waiting = new Set<StepId>();

  constructor(procedure: Procedure) {
    this.#procedure = procedure;
  }

  walked(): ReadonlyMap<StepId, ReadonlySet<string>> {
    this.#come(this.#procedure.start, [], false);
    // A set goes on over what is added to it meanwhile, and over what was taken out and added anew.
    for (const id of this.#waiting) {
      this.#waiting.delete(id);
      const step = this.#procedure.steps.get(id);
      if (step?.kind === "call" || step?.kind === "end") this.#passThrough(step);
      else if (step !== undefined) this.#leave(step);
    }
    return this.#open;
  }

  #come(id: StepId, made: Iterable<string>, clearing: boolean): void {
    const coming = clearing ? this.#coming.clearing : this.#coming.plain;
    const known = coming.get(id);
    const all = known ?? new Set<string>();
    const before = all.size;
    for (const each of made) all.add(each);
    if (known === undefined) coming.set(id, all);
    if (known === undefined || all.size > before) this.#waiting.add(id);
  }

  #passThrough(step: Step): void {
    for (const clearing of [false, true]) {
      const made = (clearing ? this.#coming.clearing : this.#coming.plain).get(step.id);
      if (made === undefined) continue;
      for (const next of nextSteps(this.#procedure, step)) this.#come(next, made, clearing);
    }
  }

  #leave(step: Step): void {
    const procedure = this.#procedure;
    const open = new Set(withNeeds(procedure, requirementsOf(procedure, step).needs));
    const begun = new Set<string>();
    for (const clearing of [false, true]) {
      const made = [...((clearing ? this.#coming.clearing : this.#coming.plain).get(step.id) ?? [])];
      const undone = new Set(toUndo(procedure, step, made, clearing));
      for (const id of made) {
        begun.add(id);
        if (!undone.has(id)) open.add(id);
      }
    }
    this.#open.set(step.id, open);
    for (const [outcome, branch] of step.outcomes) {
      // Who can't, or leaves, may do so with some of it made or undone.
      const made = outcome === "cannot" || outcome === "stop" ? new Set([...open, ...begun]) : open;
      const clearing = step.kind === "conclude" && outcome === "repaired";
      for (const { goto } of branch.arms) this.#come(goto, made, clearing);
      if (branch.else !== undefined) this.#come(branch.else, made, clearing);
    }
  }
}
