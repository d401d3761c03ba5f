/** What has to be known, undone, made and acknowledged before a step's own prompt is shown. */
import type { Caution, Procedure, Signal, Step } from "../procedure/model.ts";
import { own } from "./own.ts";
import type { Run } from "./run.ts";
import { toMake } from "./set-ups.ts";
import { undoneAt } from "./settings.ts";

export type Preparation =
  | { readonly kind: "fact"; readonly fact: string }
  | { readonly kind: "specification"; readonly specification: string }
  | { readonly kind: "set-up"; readonly setUp: string; readonly change: "make" | "put-back" }
  | { readonly kind: "cautions"; readonly for: string; readonly cautions: readonly string[] };

/** The next thing to do before the step is open, or undefined when it is. */
export function nextPreparation(procedure: Procedure, run: Run, step: Step): Preparation | undefined {
  const next = nextFact(procedure, run, step);
  if (next !== undefined) return next;
  for (const id of step.specifications)
    if (procedure.specifications.get(id)?.open && own(run.specifications, id) === undefined)
      return { kind: "specification", specification: id };
  return nextSetUp(procedure, run, step) ?? cautionsBefore(run, step.id, cautionsOf(procedure, step));
}

/** To measure a fact is work: the step's own cautions come first, and what is only asked comes before these. */
function nextFact(procedure: Procedure, run: Run, step: Step): Preparation | undefined {
  const open = step.facts.filter((id) => isOpenFact(procedure, run, id));
  const isMeasured = (id: string) => procedure.facts.get(id)?.measure !== undefined;
  const shown = open.some(isMeasured) ? cautionsBefore(run, step.id, cautionsOf(procedure, step)) : undefined;
  const fact = shown === undefined ? open[0] : open.find((id) => !isMeasured(id));
  return fact === undefined ? shown : { kind: "fact", fact };
}

function isOpenFact(procedure: Procedure, run: Run, id: string): boolean {
  return procedure.facts.get(id)?.given === undefined && own(run.facts, id) === undefined;
}

function nextSetUp(procedure: Procedure, run: Run, step: Step): Preparation | undefined {
  const undo = undoneAt(procedure, step, run.made, run.clearing)[0];
  if (undo !== undefined) {
    const cautions = procedure.setUps.get(undo)?.putBack?.cautions ?? [];
    return (
      cautionsBefore(run, `put-back ${undo}`, cautions) ?? {
        kind: "set-up",
        setUp: undo,
        change: "put-back",
      }
    );
  }
  const make = toMake(procedure, step, run.made)[0];
  if (make === undefined) return undefined;
  const cautions = procedure.setUps.get(make)?.cautions ?? [];
  return cautionsBefore(run, `set-up ${make}`, cautions) ?? { kind: "set-up", setUp: make, change: "make" };
}

/** The cautions of putting back what is apart at the end, set-up by set-up, last made first. */
export function cautionsAtEnd(
  procedure: Procedure,
  run: Run,
): (Preparation & { readonly kind: "cautions" }) | undefined {
  for (const id of run.made.toReversed()) {
    const next = cautionsBefore(run, `put-back ${id}`, procedure.setUps.get(id)?.putBack?.cautions ?? []);
    if (next !== undefined) return next;
  }
  return undefined;
}

function cautionsBefore(
  run: Run,
  what: string,
  cautions: readonly string[],
): (Preparation & { readonly kind: "cautions" }) | undefined {
  if (cautions.length === 0 || run.acknowledged.includes(what)) return undefined;
  return { kind: "cautions", for: what, cautions };
}

/** A step's cautions with those of its repairs and their acts, each once. */
function cautionsOf(procedure: Procedure, step: Step): readonly string[] {
  if (step.kind !== "conclude") return step.cautions;
  const repairs = step.repairs.flatMap((id) => procedure.repairs.get(id) ?? []);
  return [
    ...new Set([
      ...step.cautions,
      ...repairs.flatMap((repair) => [...repair.cautions, ...repair.do.flatMap((act) => act.cautions)]),
    ]),
  ];
}

const RANK: Readonly<Record<Signal, number>> = { danger: 0, warning: 1, caution: 2, notice: 3 };

/** The cautions, highest signal word first, otherwise as written (ANSI Z535.6: the highest word leads). */
export function bySignal(procedure: Procedure, ids: readonly string[]): readonly Caution[] {
  return ids
    .flatMap((id) => procedure.cautions.get(id) ?? [])
    .toSorted((a, b) => RANK[a.signal] - RANK[b.signal]);
}
