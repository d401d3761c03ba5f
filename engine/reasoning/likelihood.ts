/**
 * How likely an outcome is under a fault, by the evidence as written: a row's own shares, what is left of the
 * row spread equally over the outcomes it does not name, `otherwise` for every fault not named, flat without.
 */
import type { Evidence, FaultId, Limit, MeasureStep, Outcome, Step } from "../procedure/model.ts";
import { convert } from "../quantity/units.ts";
import { sharesOf } from "../quantity/verdict.ts";

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

/** P(outcome | fault) by telling outcome; undefined where the step says nothing about this fault. */
export function likelihoodRow(step: Step, fault: FaultId): ReadonlyMap<Outcome, number> | undefined {
  const evidence = step.evidence;
  if (evidence === undefined) return undefined;
  const outcomes = tellingOutcomes(step);
  const row = evidence.rows.get(fault);
  if (row !== undefined) return spread(row, outcomes);
  const reads = evidence.reads.get(fault);
  if (reads !== undefined && step.kind === "measure") {
    const shares = readsRow(step, evidence, fault);
    if (shares !== undefined) return shares;
  }
  if (evidence.otherwise !== undefined) return spread(evidence.otherwise, outcomes);
  return new Map(outcomes.map((outcome) => [outcome, 1 / outcomes.length]));
}

function spread(
  row: ReadonlyMap<Outcome, number>,
  outcomes: readonly Outcome[],
): ReadonlyMap<Outcome, number> {
  const named = outcomes.reduce((sum, outcome) => sum + (row.get(outcome) ?? 0), 0);
  const unnamed = outcomes.filter((outcome) => !row.has(outcome)).length;
  const left = unnamed === 0 ? 0 : Math.max(0, 1 - named) / unnamed;
  return new Map(outcomes.map((outcome) => [outcome, row.get(outcome) ?? left]));
}

/** The mass of the fault's density in each band; only bands with fixed limits can be reckoned so. */
function readsRow(
  step: MeasureStep,
  evidence: Evidence,
  fault: FaultId,
): ReadonlyMap<Outcome, number> | undefined {
  const reads = evidence.reads.get(fault);
  if (reads === undefined || step.judged.by !== "bands") return undefined;
  const mean = convert(reads.mean.value, reads.mean.unit, step.unit);
  const spreadValue = convert(reads.spread.value, reads.spread.unit, step.unit);
  if (mean === undefined || spreadValue === undefined) return undefined;
  const fixed = (limit: Limit | undefined, open: number): number | undefined =>
    limit === undefined
      ? open
      : limit.kind === "fixed"
        ? convert(limit.quantity.value, limit.quantity.unit, step.unit)
        : undefined;
  const bands = [];
  for (const band of step.judged.bands) {
    const low = fixed(band.low?.limit, -Infinity);
    const high = fixed(band.high?.limit, Infinity);
    if (low === undefined || high === undefined) return undefined;
    bands.push({
      outcome: band.id,
      low,
      lowIncluded: band.low?.included ?? true,
      high,
      highIncluded: band.high?.included ?? true,
    });
  }
  return new Map(Object.entries(sharesOf(mean, Math.abs(spreadValue) / 2, bands)));
}
