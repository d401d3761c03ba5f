/**
 * What a run shows and asks for at a step, one after the other: cautions, then perhaps the work behind them; and
 * whether the hazards of the whole machine were warned of by then.
 */
import { callsAround } from "../procedure/called-rules.ts";
import type { Hazard, Procedure, Step } from "../procedure/model.ts";
import { nextSteps } from "../procedure/next-steps.ts";
import type { Run } from "./run.ts";
import { requirementsOf, withNeeds } from "./set-ups.ts";

export interface Stage {
  readonly covers: ReadonlySet<Hazard>;
  readonly work: boolean;
  /** The set-up that is made behind these cautions. */
  readonly setUp?: string;
  /** The fact that is measured behind these cautions. */
  readonly fact?: string;
}

/**
 * The stages of a step in a run's order. Work is a reading, a fact that is measured, an act, a repair, and any
 * set-up; a question is none. Where a fact is measured, the step's cautions come before the set-ups; where it was
 * measured at an earlier step that one was looked at.
 */
export function stagesOf(procedure: Procedure, step: Step): readonly Stage[] {
  // A run stands at no call and asks for nothing at an end.
  if (step.kind === "call" || step.kind === "end") return [];
  const repairs =
    step.kind === "conclude" ? step.repairs.flatMap((id) => procedure.repairs.get(id) ?? []) : [];
  const stages = withNeeds(procedure, requirementsOf(procedure, step).needs).map((setUp) => ({
    covers: coveredBy(procedure, procedure.setUps.get(setUp)?.cautions ?? []),
    work: true,
    setUp,
  }));
  const acts = repairs.flatMap((repair) => [
    ...repair.cautions,
    ...repair.do.flatMap(({ cautions }) => cautions),
  ]);
  const covers = coveredBy(procedure, [...step.cautions, ...acts]);
  const fact = step.facts.find((id) => isMeasured(procedure, id));
  const measured = fact === undefined ? [] : [{ covers, work: true, fact }];
  return [...measured, ...stages, { covers, work: isWork(step) }];
}

/** A fact that some run measures: one that nobody gave. */
function isMeasured(procedure: Procedure, id: string): boolean {
  const fact = procedure.facts.get(id);
  return fact?.measure !== undefined && fact.given === undefined;
}

function isWork(step: Step): boolean {
  return (
    step.kind === "measure" || step.kind === "do" || (step.kind === "conclude" && step.repairs.length > 0)
  );
}

/** The hazards that some of these cautions cover. */
function coveredBy(procedure: Procedure, cautions: readonly string[]): ReadonlySet<Hazard> {
  return new Set(cautions.flatMap((id) => procedure.cautions.get(id)?.covers ?? []));
}

/**
 * What the machine itself does to people at a step: the hazards at the top of the procedure and of each call around.
 */
function machineHazards(procedure: Procedure, step: Step): ReadonlySet<Hazard> {
  const hazards = new Set(procedure.hazards);
  for (const { brings } of callsAround(procedure, step))
    for (const hazard of brings ?? []) hazards.add(hazard);
  return hazards;
}

/**
 * Whether a step's first work would come before any caution about a hazard of the machine, in a run that goes to it
 * now. What it shows in time itself counts, and whatever was acknowledged in the run before.
 */
export function comesUnwarned(procedure: Procedure, run: Run, step: Step): boolean {
  const hazards = machineHazards(procedure, step);
  if (hazards.size === 0) return false;
  const warned = coveredBy(procedure, run.warned ?? []);
  const stages = stagesOf(procedure, step);
  return [...hazards].some((hazard) => !warned.has(hazard) && firstOf(stages, hazard) === "work");
}

/**
 * Whether some work would come so from a step on, that step included, with nothing before it but what comes between.
 * Conditions are not weighed.
 */
export function leadsUnwarned(procedure: Procedure, run: Run, from: Step): boolean {
  const warned = coveredBy(procedure, run.warned ?? []);
  const hazards = new Set(procedure.hazards);
  for (const step of procedure.steps.values())
    if (step.kind === "call") for (const hazard of step.brings ?? []) hazards.add(hazard);
  return [...hazards].some((hazard) => !warned.has(hazard) && reachesWork(procedure, from, hazard));
}

function reachesWork(procedure: Procedure, from: Step, hazard: Hazard): boolean {
  const seen = new Set([from]);
  for (const step of seen) {
    const stages = stagesOf(procedure, step);
    if (firstOf(stages, hazard) === "work" && machineHazards(procedure, step).has(hazard)) return true;
    if (stages.some(({ covers }) => covers.has(hazard))) continue;
    for (const id of nextSteps(procedure, step)) {
      const next = procedure.steps.get(id);
      if (next !== undefined) seen.add(next);
    }
  }
  return false;
}

/** What comes first at a step: the work on a hazard, or a caution about it; undefined for neither. */
function firstOf(stages: readonly Stage[], hazard: Hazard): "work" | "caution" | undefined {
  const first = stages.find(({ work, covers }) => work || covers.has(hazard));
  return first && (first.covers.has(hazard) ? "caution" : "work");
}
