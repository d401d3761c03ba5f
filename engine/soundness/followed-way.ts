import { own } from "../machine/own.ts";
import type { Run } from "../machine/run.ts";
import type { WitnessStep } from "../procedure/finding.ts";
import type { FactValue, StepId } from "../procedure/model.ts";
import type { Clock } from "./witness-clock.ts";
import { atVisit, type FirstWalk, type Wanted } from "./witness-values.ts";

/** A way as far as some edge, with the rows that tell it and the run that they give. Never changed. */
export interface Followed {
  /** Absent at the start. */
  readonly before?: Followed;
  /** How many edges there are before. */
  readonly place: number;
  /** The rows of the last edge. */
  readonly rows: readonly WitnessStep[];
  /** Only what decides how it goes on: see `lean`. */
  readonly run: Run;
  /** How many of the branches that the run took at its last answer are walked. */
  readonly passed: number;
  /** When the last answer was given, ms. */
  readonly at: number;
  readonly clock: Clock;
  /** What is told where it is asked for. */
  readonly facts: ReadonlyMap<string, FactValue>;
  readonly told: ReadonlyMap<string, FactValue>;
  /** What open specifications are told before the last edge's answer; absent where none are. */
  readonly limits?: WitnessStep["limits"];
  /** The reading of the last edge, corrected, in the step's reading unit; NaN where the run took none. */
  readonly read?: { readonly step: StepId; readonly value: number };
  /** Whether no reading so far was too close to call and decided all the same. */
  readonly clear: boolean;
  /** Whether the run walks the way so far; once it has left it, what comes behind is only told. */
  readonly walks: boolean;
  /** Whether it does so with the rows as they stand, on the clock of nominal minutes. */
  readonly met: boolean;
}

/** The rows of a way, from its start. */
export function rowsOf(followed: Followed): readonly WitnessStep[] {
  return placesOf(followed).flatMap(({ rows }) => rows);
}

/** The first place at which the run has left the way, or needs another time than the rows can tell. */
export function firstUnmet(followed: Followed): Followed {
  let first = followed;
  while (first.before !== undefined && !first.before.met) first = first.before;
  return first;
}

/** What was told and read on a way, and when, for values to be looked for anew. */
export function toldOn(followed: Followed): FirstWalk {
  const places = placesOf(followed);
  const visits = new Map<StepId, number>();
  const readings = new Map<string, number>();
  for (const { read } of places) {
    if (read === undefined) continue;
    const visit = (visits.get(read.step) ?? 0) + 1;
    visits.set(read.step, visit);
    if (Number.isFinite(read.value)) readings.set(atVisit(read.step, visit), read.value);
  }
  return {
    facts: followed.told,
    readings,
    elapsed: (place, step) => {
      const { before, at } = places[place + 1] ?? {};
      const since = before && own(before.run.entered, step);
      return since === undefined || at === undefined ? undefined : (at - since) / 60_000;
    },
  };
}

/** The start and every place behind it. */
function placesOf(followed: Followed): readonly Followed[] {
  const places: Followed[] = [];
  for (let at: Followed | undefined = followed; at !== undefined; at = at.before) places.push(at);
  return places.reverse();
}

/** The reading wanted at a step that is come to next, where one is. */
export function wantedAt(before: Followed, step: StepId, wanted: Wanted | undefined): number | undefined {
  const visits = wanted?.readings.get(step);
  if (visits === undefined) return undefined;
  let visit = 0;
  for (let at: Followed | undefined = before; at !== undefined; at = at.before)
    if (at.read?.step === step) visit += 1;
  const value = visits[visit] ?? visits.at(-1);
  return value === undefined || Number.isNaN(value) ? undefined : value;
}
