/**
 * How likely an outcome is under a fault, by the evidence as written: a row's own shares, what is left of the
 * row spread equally over the outcomes it does not name, `otherwise` for every fault not named, flat without.
 */
import { numericBands } from "../machine/limits.ts";
import { NOTHING_KNOWN } from "../procedure/expression.ts";
import type { Evidence, FaultId, MeasureStep, Outcome, Procedure, Step } from "../procedure/model.ts";
import { convert, convertDifference } from "../quantity/units.ts";
import { type NumericBand, sharesOf } from "../quantity/verdict.ts";

type Reads = NonNullable<ReturnType<Evidence["reads"]["get"]>>;

/** The outcomes that evidence speaks of: answers or bands, never `cannot`, `stop` or `borderline`. */
export function tellingOutcomes(step: Step): readonly Outcome[] {
  switch (step.kind) {
    case "ask":
      return step.answers.map((answer) => answer.id);
    case "measure":
      switch (step.judged.by) {
        case "bands":
          return step.judged.bands.map((band) => band.id);
        case "specification":
          return ["below", "within", "above"].filter((outcome) => step.outcomes.has(outcome));
        case "nothing":
          return [];
      }
      return [];
    default:
      return [];
  }
}

/**
 * P(outcome | fault) by telling outcome; undefined where the step says nothing about this fault. `bands` are
 * those that a run judged by; without them `reads` counts where the limits are the same in every run.
 */
export function likelihoodRow(
  procedure: Procedure,
  step: Step,
  fault: FaultId,
  bands?: readonly NumericBand[],
): ReadonlyMap<Outcome, number> | undefined {
  const evidence = step.evidence;
  if (evidence === undefined) return undefined;
  const outcomes = tellingOutcomes(step);
  const row = evidence.rows.get(fault);
  if (row !== undefined) return spread(row, outcomes);
  const reads = evidence.reads.get(fault);
  if (reads !== undefined && step.kind === "measure") {
    const shares = readsRow(step, reads, bands ?? plainBands(procedure, step));
    if (shares !== undefined) return shares;
  }
  if (evidence.otherwise !== undefined) return spread(evidence.otherwise, outcomes);
  return new Map(outcomes.map((outcome) => [outcome, 1 / outcomes.length]));
}

/**
 * The faults of which only a run can say how likely an outcome is: their evidence is a reading, and the limits it
 * is held against hang on a fact, a reading or an answer.
 */
export function faultsKnownInRun(procedure: Procedure, step: Step): readonly FaultId[] {
  if (step.kind !== "measure" || step.evidence === undefined || step.evidence.reads.size === 0) return [];
  const { rows, reads } = step.evidence;
  return plainBands(procedure, step) === undefined ? [...reads.keys()].filter((id) => !rows.has(id)) : [];
}

/** A row of evidence over all outcomes: what is left of it is shared equally by those that it does not name. */
export function spread(
  row: ReadonlyMap<Outcome, number>,
  outcomes: readonly Outcome[],
): ReadonlyMap<Outcome, number> {
  const named = outcomes.reduce((sum, outcome) => sum + (row.get(outcome) ?? 0), 0);
  const unnamed = outcomes.filter((outcome) => !row.has(outcome)).length;
  const left = unnamed === 0 ? 0 : Math.max(0, 1 - named) / unnamed;
  return new Map(outcomes.map((outcome) => [outcome, row.get(outcome) ?? left]));
}

/** The mass of the fault's density in each band; undefined where the bands are not known. */
function readsRow(
  step: MeasureStep,
  reads: Reads,
  bands: readonly NumericBand[] | undefined,
): ReadonlyMap<Outcome, number> | undefined {
  const mean = convert(reads.mean.value, reads.mean.unit, step.unit);
  const spreadValue = convertDifference(reads.spread.value, reads.spread.unit, step.unit);
  if (bands === undefined || bands.length === 0 || mean === undefined || spreadValue === undefined)
    return undefined;
  return new Map(Object.entries(sharesOf(mean, Math.abs(spreadValue) / 2, bands)));
}

/** The bands of a step with no fact, reading or answer known. */
function plainBands(procedure: Procedure, step: MeasureStep): readonly NumericBand[] | undefined {
  return numericBands(procedure, { specifications: {} }, step, NOTHING_KNOWN);
}
