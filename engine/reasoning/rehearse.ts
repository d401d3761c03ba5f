/**
 * Runs of a procedure made up by chance: a fault by its prior, answers by the evidence, readings with the meter's
 * error, slips of the technician. Run `n` of a seed is the same run whoever rehearses it.
 */
import type { StepId } from "../procedure/model.ts";
import { normalQuantile } from "../quantity/normal.ts";
import { convert } from "../quantity/units.ts";
import { type BulkProcedure, CONCLUDES } from "./bulk-procedure.ts";
import { type BulkWalk, blankWalk, closedMinutes, isUsedUp, openWalk, stepWalk } from "./bulk-walk.ts";
import { chance, runKey } from "./counted-chance.ts";
import { type FaultModel, faultModel, type ReadModel } from "./fault-model.ts";
import { addValue, emptyCounts, type RehearsalCounts } from "./rehearsal-counts.ts";
import { rehearsedArms } from "./rehearsed-arms.ts";
import { readAs, uncertaintyAt } from "./rehearsed-reading.ts";

export interface Rehearsal {
  /** Rehearses the runs `from` up to, not including, `to` and adds them to the counts. */
  run(from: number, to: number): void;
  readonly counts: RehearsalCounts;
}

export interface RehearsalSetting {
  /** A whole number. */
  readonly seed: number;
  /** How often a technician takes one answer for another, 0 to 1. */
  readonly slips: number;
}

/** Nobody walks so long; a procedure that does is called endless by `check`. */
const MOST_EVENTS = 10_000;
/** Numbers of `ENDINGS`. */
export const ISOLATED = 0;
export const WRONG = 1;
export const UNRESOLVED = 2;

/** A rehearsal that has not begun. */
export function rehearsal(bulk: BulkProcedure, { seed, slips }: RehearsalSetting): Rehearsal {
  const { procedure } = bulk;
  const model = faultModel(bulk);
  const arms = rehearsedArms(bulk);
  const counts = emptyCounts(bulk);
  const walk = blankWalk(bulk);
  const steps = bulk.steps.length;
  // Each purpose has numbers of its own: the same look at the same thing gives the same answer again.
  const forError = 1 + steps;
  const forArm = forError + steps;
  const forFact = forArm + bulk.branches.length;
  const forSlip = forFact + arms.facts.length;
  const costs = costsOf(bulk);
  /** In the step's unit; NaN where nothing is known but the band. */
  const readings = new Float64Array(steps).fill(Number.NaN);
  const answered = new Uint8Array(steps);
  const met: number[] = [];
  const rows: number[] = [];
  const seen = new Uint8Array(bulk.branches.length * 2);
  let key = 0;
  let fault = 0;

  const valueAt = (id: StepId): number | undefined => {
    const value = readings[bulk.indexOf.get(id) ?? -1] ?? Number.NaN;
    return Number.isNaN(value) ? undefined : value;
  };
  const readingAt = (id: StepId): number | undefined => {
    const step = procedure.steps.get(id);
    const value = valueAt(id);
    if (step?.kind !== "measure" || value === undefined || step.value !== undefined) return undefined;
    return step.unit === step.readingUnit ? value : convert(value, step.unit, step.readingUnit);
  };
  const scene = {
    reading: readingAt,
    value: valueAt,
    taken: (id: StepId) => answered[bulk.indexOf.get(id) ?? -1] === 1,
  };
  const chosen = (fact: number) =>
    Math.floor(chance(key, forFact + fact) * (arms.facts[fact]?.values.length ?? 1));
  const chooseArm = (branch: number): number => {
    const arm = arms.arm(branch, chosen, scene);
    if (arm !== "open") return arm;
    const many = (bulk.firstArm[branch + 1] ?? 0) - (bulk.firstArm[branch] ?? 0);
    return Math.floor(chance(key, forArm + branch) * many);
  };
  const takeReading = (at: number, how: ReadModel): number => {
    const truth = how.mean + how.deviation * normalQuantile(inside(chance(key, 1 + at)));
    const u = uncertaintyAt(how, truth);
    const shown = truth + (u ?? 0) * normalQuantile(inside(chance(key, forError + at)));
    readings[at] = shown;
    const { outcome, tooClose } = readAs(how, shown);
    return tooClose && mayBeBorderline(bulk, walk, at, how) ? how.borderline : outcome;
  };
  const answer = (at: number): number => {
    const how = model.reads[fault]?.[at];
    if (how !== undefined) return takeReading(at, how);
    const row = model.rows[fault]?.[at];
    return row === undefined ? -1 : drawn(row, chance(key, 1 + at));
  };

  const one = (run: number): void => {
    key = runKey(seed, run);
    fault = drawn(model.priors, chance(key, 0));
    openWalk(bulk, walk, chooseArm);
    let events = 0;
    for (; walk.end < 0 && bulk.kind[walk.step] !== CONCLUDES && events < MOST_EVENTS; events += 1) {
      const at = walk.step;
      if (answered[at] === 0) {
        answered[at] = 1;
        met.push(at);
      }
      let outcome = answer(at);
      if (slips > 0 && chance(key, forSlip + 2 * events) < slips)
        outcome = mistaken(model, at, outcome, chance(key, forSlip + 2 * events + 1));
      stepWalk(bulk, walk, outcome, chooseArm);
      for (const hop of walk.hops) {
        const row = hop < 0 ? 2 * ~hop + 1 : 2 * hop;
        counts.taken[row] = (counts.taken[row] ?? 0) + 1;
        if (seen[row] === 1) continue;
        seen[row] = 1;
        rows.push(row);
      }
    }
    for (const at of met) {
      readings[at] = Number.NaN;
      answered[at] = 0;
    }
    met.length = 0;
    close();
  };

  const close = (): void => {
    const concluded = walk.end < 0 && bulk.kind[walk.step] === CONCLUDES;
    const ending = !concluded
      ? UNRESOLVED
      : bulk.concluded[walk.step]?.includes(fault) === true
        ? ISOLATED
        : WRONG;
    const minutes = Math.round(closedMinutes(bulk, walk) * 1000);
    const cost = concluded ? (costs[walk.step] ?? 0) : 0;
    const mine = counts.faults[fault];
    if (mine !== undefined) {
      mine.endings[ending] = (mine.endings[ending] ?? 0) + 1;
      mine.minutes.set(minutes, (mine.minutes.get(minutes) ?? 0) + 1);
      if (cost > 0) addValue(mine.costs, 0, cost);
    }
    counts.runs += 1;
    for (const row of rows) {
      seen[row] = 0;
      counts.endings[3 * row + ending] = (counts.endings[3 * row + ending] ?? 0) + 1;
      addValue(counts.minutes, 3 * row, minutes);
      if (cost > 0) addValue(counts.costs, 3 * row, cost);
    }
    rows.length = 0;
  };

  return {
    counts,
    run(from, to) {
      for (let run = from; run < to; run += 1) one(run);
    },
  };
}

/** The first entry whose sum goes above the draw. */
function drawn(sums: Float64Array, draw: number): number {
  let at = 0;
  while (at < sums.length - 1 && draw >= (sums[at] ?? 1)) at += 1;
  return at;
}

/** Another of the outcomes that the step tells apart. */
function mistaken(model: FaultModel, at: number, outcome: number, draw: number): number {
  const others = model.telling[at]?.filter((one) => one !== outcome) ?? [];
  return others[Math.floor(draw * others.length)] ?? outcome;
}

/** A draw that a normal quantile is finite for. */
function inside(draw: number): number {
  return Math.min(Math.max(draw, 2 ** -33), 1 - 2 ** -33);
}

/** Whether a reading too close to call takes `borderline`: used up without `else`, the band decides. */
export function mayBeBorderline(bulk: BulkProcedure, walk: BulkWalk, at: number, how: ReadModel): boolean {
  const branch = (bulk.firstBranch[at] ?? 0) + how.borderline;
  return !isUsedUp(bulk, walk, branch) || bulk.branches[branch]?.else !== undefined;
}

/** Hundredths of what each conclusion's repairs cost. */
export function costsOf(bulk: BulkProcedure): Float64Array {
  return Float64Array.from(bulk.steps, (step) =>
    step.kind === "conclude"
      ? Math.round(
          step.repairs.reduce((sum, id) => sum + (bulk.procedure.repairs.get(id)?.cost ?? 0), 0) * 100,
        )
      : 0,
  );
}
