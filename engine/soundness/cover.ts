import type { Finding } from "../procedure/finding.ts";
import type { Band, Limits, MeasureStep, NodePath, Outcome, Procedure } from "../procedure/model.ts";
import { isSameNumber } from "../quantity/verdict.ts";
import type { Analysis } from "./analysis.ts";
import { assignments, type BandEnds } from "./assignments.ts";
import { type CoverFault, coverFaults, edgeOf } from "./cover-faults.ts";
import { type LimitValue, limitValue } from "./limit-value.ts";
import { perStep } from "./per-step.ts";
import { type Interval, isEmpty, plainNumber, typedNumber } from "./plain-number.ts";
import type { OfStep } from "./step-lists.ts";
import { rangesAt } from "./table-ranges.ts";
import { type RangeOf, type Setting, wantedFor } from "./table-settings.ts";
import { witnessReading } from "./witness.ts";

/**
 * `reading-gap`, `reading-overlap` and `impossible-branch` of measure steps.
 *
 * Exact where every limit is a number, or comes from tables over one fact or reading, which are straight between
 * their rows. Tables over several are looked at row by row and where they meet. Where a limit is only told in a
 * run, every order that the limits can stand in is tried, as long as each band as written is not inside out. Above
 * 20,000 such orders a `not-proven` note says so. Where a limit can't be made out the linker has said it.
 */
export function checkCover(analysis: Analysis): readonly Finding[] {
  const findings: Finding[] = [];
  for (const { index, step } of analysis.steps.where(isToBeLookedAt)) {
    if (step.kind !== "measure") continue;
    if (step.judged.by === "bands") findings.push(...bandFindings(analysis, index, step, step.judged.bands));
    if (step.judged.by === "specification")
      findings.push(
        ...schemeFindings(analysis, index, step, step.judged.specification),
        ...invertedFindings(analysis, index, step, step.judged.specification),
      );
  }
  return findings;
}

const isToBeLookedAt: OfStep = (procedure, step) =>
  step.kind === "measure" && !coveredPlainly(procedure, step);

/** Whether every limit of a step's bands is a plain number, and they cover each reading once: most steps. */
const coveredPlainly = perStep((procedure, step): boolean => {
  if (step.kind !== "measure" || step.judged.by !== "bands") return false;
  const { bands } = step.judged;
  const plain = bands.flatMap((band) => {
    const ends = endsOf(procedure, band, step.unit);
    return ends === undefined || ends.low.kind !== "number" || ends.high.kind !== "number" ? [] : ends;
  });
  if (plain.length < bands.length) return false;
  const orders = assignments(plain);
  if (orders === undefined) return false;
  for (const { intervals } of orders)
    if (intervals.some(isEmpty) || coverFaults(bands, intervals).length > 0) return false;
  return true;
});

function bandFindings(
  analysis: Analysis,
  index: number,
  step: MeasureStep,
  bands: readonly Band[],
): readonly Finding[] {
  const named = bands.flatMap((band) => endsOf(analysis.procedure, band, step.unit) ?? []);
  if (named.length < bands.length) return [];
  const rangeOf = rangesAt(analysis, index);
  const inverted = named.filter((ends) => isNeverMet(ends, rangeOf));
  if (inverted.length > 0) return inverted.map(({ band }) => impossible(step, band.id, band.node, "empty"));
  const assigned = assignments(named, rangeOf);
  if (assigned === undefined) return [notProven(step, step.node)];
  const seen = new Set<string>();
  const findings: Finding[] = [];
  for (const { intervals, setting } of assigned) {
    for (const fault of coverFaults(bands, intervals)) {
      const key = `${fault.kind} ${fault.bands.map((band) => band.id).join(" ")}`;
      if (seen.has(key)) continue;
      seen.add(key);
      findings.push(coverFinding(analysis, index, step, fault, setting, bands));
    }
  }
  return findings;
}

/** Whether a band is inside out, whatever limits known by name or from tables may be. */
function isNeverMet(ends: BandEnds, rangeOf: RangeOf): boolean {
  const orders = assignments([ends], rangeOf);
  if (orders === undefined) return false;
  for (const { intervals } of orders) if (!intervals.every(isEmpty)) return false;
  return true;
}

/** Above so many orders of limits nothing is said of a step's bands but that. */
function notProven(step: MeasureStep, node: NodePath): Finding {
  return {
    code: "reading-gap",
    severity: "note",
    params: { step: step.id, why: "not-proven" },
    node,
    step: step.id,
  };
}

function endsOf(procedure: Procedure, band: Band, unit: string): BandEnds | undefined {
  const open = (value: number): LimitValue => ({ kind: "number", value });
  const low = band.low ? limitValue(procedure, band.low.limit, unit) : open(-Infinity);
  const high = band.high ? limitValue(procedure, band.high.limit, unit) : open(Infinity);
  return low && high && { band, low, high };
}

function coverFinding(
  analysis: Analysis,
  index: number,
  step: MeasureStep,
  fault: CoverFault,
  setting: Setting,
  bands: readonly Band[],
): Finding {
  const value = plainNumber(edgeOf(fault.where)) ?? fault.where.low;
  const node = faultNode(step, fault);
  const witness = witnessReading(
    analysis,
    index,
    (inRun) => {
      // Limits known only by name stand otherwise in a run than in the order that showed the fault.
      const faults = inRun?.length === bands.length ? coverFaults(bands, inRun) : [];
      const same = faults.find(
        ({ kind, where }) => kind === fault.kind && isSameNumber(where.low, fault.where.low),
      );
      return edgeOf((same ?? faults.find(({ kind }) => kind === fault.kind) ?? fault).where);
    },
    wantedFor(setting),
  );
  return {
    code: fault.kind === "gap" ? "reading-gap" : "reading-overlap",
    severity: "error",
    params: {
      step: step.id,
      reading: asRead(value, step.unit),
      from: asRead(fault.where.low, step.unit),
      to: asRead(fault.where.high, step.unit),
      ...(fault.kind === "gap"
        ? { bands: fault.bands.map((band) => band.id).join(", ") }
        : { first: fault.bands[0]?.id ?? "", second: fault.bands[1]?.id ?? "" }),
    },
    node,
    step: step.id,
    ...(witness === undefined ? {} : { witness }),
  };
}

/** The limit that a gap ends or begins at; the second of two bands that overlap. */
function faultNode(step: MeasureStep, { kind, where, bands }: CoverFault): NodePath {
  const band = bands.at(-1);
  if (band === undefined || kind === "overlap") return band?.node ?? step.node;
  const above = where.high === Infinity && where.highIncluded;
  const key = above
    ? band.high && (band.high.included ? "to" : "under")
    : band.low && (band.low.included ? "from" : "over");
  return key === undefined ? band.node : { ...band.node, path: [...band.node.path, key] };
}

/** What an instrument shows: over range it shows no unit. */
function asRead(value: number, unit: string): string {
  return Number.isFinite(value) ? `${typedNumber(value)} ${unit}` : typedNumber(value);
}

/** A specification gives `below` and `above` only where it has that limit, and then both must lead on. */
function schemeFindings(
  analysis: Analysis,
  index: number,
  step: MeasureStep,
  id: string,
): readonly Finding[] {
  const specification = analysis.procedure.specifications.get(id);
  if (specification === undefined) return [];
  const { open } = specification;
  const has = (words: readonly string[]) => open?.limits.some((word) => words.includes(word)) ?? false;
  const allowed: Record<"below" | "within" | "above", boolean> = {
    below: open ? has(["from", "over"]) : specification.low !== undefined,
    within: true,
    above: open ? has(["to", "under"]) : specification.high !== undefined,
  };
  const findings: Finding[] = [];
  for (const outcome of ["below", "within", "above"] as const) {
    const branch = step.outcomes.get(outcome);
    if (allowed[outcome] && branch === undefined)
      findings.push(missingOutcome(analysis, index, step, id, outcome));
    if (!allowed[outcome] && branch !== undefined)
      findings.push(impossible(step, outcome, branch.node, "no-limit"));
  }
  return findings;
}

/**
 * A specification whose lower limit stands above its upper one, always or with some fact or reading that its
 * tables go by: what lies between them is below and above at once. Limits told in a run are not looked at.
 */
function invertedFindings(
  analysis: Analysis,
  index: number,
  step: MeasureStep,
  id: string,
): readonly Finding[] {
  const specification = analysis.procedure.specifications.get(id);
  if (specification === undefined || specification.open !== undefined) return [];
  const { node, low, high } = specification;
  if (low === undefined || high === undefined) return [];
  const named = (id: string, limits: Limits): Band => ({ ...limits, id, label: id, node });
  const bands = [
    named("below", { high: { limit: low.limit, included: !low.included } }),
    named("within", { low, high }),
    named("above", { low: { limit: high.limit, included: !high.included } }),
  ];
  const ends = bands.flatMap((band) => endsOf(analysis.procedure, band, step.unit) ?? []);
  const within = ends.find(({ band }) => band.id === "within");
  if (within === undefined || ends.length < bands.length) return [];
  const rangeOf = rangesAt(analysis, index);
  if (isNeverMet(within, rangeOf)) return [impossible(step, "within", node, "empty")];
  const orders = assignments(ends, rangeOf);
  if (orders === undefined) return [notProven(step, node)];
  for (const { intervals, setting } of orders) {
    const fault = coverFaults(bands, intervals).find(({ kind }) => kind === "overlap");
    if (fault === undefined) continue;
    const found = coverFinding(analysis, index, step, fault, setting, bands);
    return [{ ...found, params: { ...found.params, why: "inverted" } }];
  }
  return [];
}

function missingOutcome(
  analysis: Analysis,
  index: number,
  step: MeasureStep,
  id: string,
  outcome: "below" | "within" | "above",
): Finding {
  const specification = analysis.procedure.specifications.get(id);
  const limit = (end: "low" | "high"): number | undefined => {
    const written = specification?.open ? undefined : specification?.[end]?.limit;
    const value = written && limitValue(analysis.procedure, written, step.unit);
    return value?.kind === "number" ? value.value : undefined;
  };
  const low = limit("low");
  const high = limit("high");
  const where: Interval = {
    low: outcome === "above" ? (high ?? Number.NaN) : outcome === "within" ? (low ?? -Infinity) : -Infinity,
    lowIncluded: outcome !== "above",
    high: outcome === "below" ? (low ?? Number.NaN) : outcome === "within" ? (high ?? Infinity) : Infinity,
    highIncluded: outcome !== "below",
  };
  const value = plainNumber(where);
  const witness = witnessReading(
    analysis,
    index,
    (bands) => bands?.find((band) => band.outcome === outcome) ?? where,
  );
  return {
    code: "reading-gap",
    severity: "error",
    params: {
      step: step.id,
      reading:
        value === undefined || Number.isNaN(value) ? `a reading ${outcome} ${id}` : asRead(value, step.unit),
      from: Number.isNaN(where.low) ? `${id}.to` : asRead(where.low, step.unit),
      to: Number.isNaN(where.high) ? `${id}.from` : asRead(where.high, step.unit),
      bands: outcome,
    },
    node: step.node,
    step: step.id,
    ...(witness === undefined ? {} : { witness }),
  };
}

function impossible(step: MeasureStep, outcome: Outcome, node: NodePath, why: "empty" | "no-limit"): Finding {
  return {
    code: "impossible-branch",
    severity: "error",
    params: { step: step.id, outcome, why },
    node,
    step: step.id,
  };
}
