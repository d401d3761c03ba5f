/**
 * How a machine with a given fault answers each step, as cumulative shares: what rehearsal draws from and what the
 * exact expectation weighs by.
 *
 * A procedure is rehearsed with the complaint present and one of its faults behind it. So a step without evidence
 * takes, with equal chance, those outcomes from which a conclusion can still be reached; all where none does.
 */
import { numericBands } from "../machine/limits.ts";
import { NOTHING_KNOWN } from "../procedure/expression.ts";
import type { MeasureStep, Procedure } from "../procedure/model.ts";
import type { AccuracyRange } from "../quantity/accuracy.ts";
import { convert, convertDifference } from "../quantity/units.ts";
import type { NumericBand } from "../quantity/verdict.ts";
import type { BulkProcedure } from "./bulk-procedure.ts";
import { concludable } from "./concludable.ts";
import { likelihoodRow, tellingOutcomes } from "./likelihood.ts";
import { priorShares } from "./prior-shares.ts";

/** A step that is read with a meter under a fault whose readings are known. */
export interface ReadModel {
  readonly mean: number;
  /** One standard deviation of the true value. */
  readonly deviation: number;
  readonly bands: readonly NumericBand[];
  /** Outcome number of each band. */
  readonly outcomes: readonly number[];
  readonly ranges?: readonly AccuracyRange[];
  readonly unit: string;
  readonly decideAt: number;
  /** Outcome number of `borderline`, -1 where it is not written. */
  readonly borderline: number;
}

export interface FaultModel {
  /** Cumulative priors of the faults; the last is 1, or all are 0 where no fault is possible. */
  readonly priors: Float64Array;
  /** `rows[fault][step]`: shares of the step's outcomes, summed up; undefined where it is never answered. */
  readonly rows: readonly (readonly (Float64Array | undefined)[])[];
  readonly reads: readonly (readonly (ReadModel | undefined)[])[];
  /** Outcome numbers that an answer can be mistaken for, by step. */
  readonly telling: readonly (readonly number[])[];
}

export function faultModel(bulk: BulkProcedure): FaultModel {
  const { procedure } = bulk;
  const faults = [...procedure.faults.values()];
  const open = concludable(bulk);
  const telling = bulk.steps.map((step, at) =>
    step.kind === "ask" || step.kind === "measure"
      ? tellingOutcomes(step).flatMap((outcome) => bulk.outcomes[at]?.indexOf(outcome) ?? -1)
      : [],
  );
  const rowOf = (fault: string, at: number): Float64Array | undefined => {
    const step = bulk.steps[at];
    const outcomes = bulk.outcomes[at];
    if (step === undefined || outcomes === undefined || step.kind === "end" || step.kind === "call")
      return undefined;
    const row = likelihoodRow(procedure, step, fault);
    const shares = outcomes.map((outcome, number) =>
      row !== undefined
        ? (row.get(outcome) ?? 0)
        : (open[(bulk.firstBranch[at] ?? 0) + number] ?? 0) * (outcome === "borderline" ? 0 : 1),
    );
    return cumulative(shares);
  };
  return {
    priors: cumulative(priorShares(faults)) ?? new Float64Array(faults.length),
    rows: faults.map((fault) => bulk.steps.map((_, at) => rowOf(fault.id, at))),
    reads: faults.map((fault) =>
      bulk.steps.map((step, at) =>
        step.kind === "measure" ? readModel(procedure, step, fault.id, bulk.outcomes[at] ?? []) : undefined,
      ),
    ),
    telling,
  };
}

/** Sums of the shares up to each, scaled to end at 1; undefined where there is nothing to share. */
function cumulative(shares: readonly number[]): Float64Array | undefined {
  const total = shares.reduce((sum, share) => sum + share, 0);
  if (!(total > 0)) return undefined;
  const sums = new Float64Array(shares.length);
  let sum = 0;
  for (const [index, share] of shares.entries()) {
    sum += share / total;
    sums[index] = sum;
  }
  // Rounding must not leave a gap that the highest draws fall into.
  for (let index = shares.length - 1; index >= 0; index -= 1) {
    sums[index] = 1;
    if ((shares[index] ?? 0) > 0) break;
  }
  return sums;
}

function readModel(
  procedure: Procedure,
  step: MeasureStep,
  fault: string,
  outcomes: readonly string[],
): ReadModel | undefined {
  const reads = step.evidence?.rows.has(fault) ? undefined : step.evidence?.reads.get(fault);
  if (reads === undefined) return undefined;
  const bands = numericBands(procedure, { specifications: {} }, step, NOTHING_KNOWN);
  const mean = convert(reads.mean.value, reads.mean.unit, step.unit);
  const spread = convertDifference(reads.spread.value, reads.spread.unit, step.unit);
  if (bands === undefined || bands.length === 0 || mean === undefined || spread === undefined)
    return undefined;
  // A meter's accuracy is stated in what it reads; behind a formula its error is not known beforehand.
  const plain = step.value === undefined && step.unit === step.readingUnit;
  const ranges =
    plain && step.instrument
      ? procedure.instruments.get(step.instrument)?.accuracy.get(step.quantity)
      : undefined;
  return {
    mean,
    deviation: Math.abs(spread) / 2,
    bands,
    outcomes: bands.map((band) => outcomes.indexOf(band.outcome)),
    ...(ranges === undefined ? {} : { ranges }),
    unit: step.unit,
    decideAt: step.decideAt ?? procedure.decideAt,
    borderline: outcomes.indexOf("borderline"),
  };
}
