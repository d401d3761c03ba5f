import type { Finding } from "../procedure/finding.ts";
import type { Limits, MeasureStep, NodePath, Procedure } from "../procedure/model.ts";
import { uncertaintyOf } from "../quantity/accuracy.ts";
import { convert } from "../quantity/units.ts";
import type { Analysis } from "./analysis.ts";
import { numberEnds } from "./limit-value.ts";
import { perStep } from "./per-step.ts";
import { typedNumber } from "./plain-number.ts";
import type { OfStep } from "./step-lists.ts";

/**
 * `instrument-too-coarse`: a band, or a specification from limit to limit, that is narrower than twice the
 * smallest standard uncertainty of a reading in it. Corrections only add doubt and are left out, so that a band
 * not listed can still be too narrow. Steps with a computed value are not looked at.
 */
export function checkCoarse({ procedure, steps }: Analysis): readonly Finding[] {
  return steps.where(isTooNarrow).flatMap(({ step }) => tooNarrow(procedure, step));
}

const isTooNarrow: OfStep = (procedure, step) => tooNarrow(procedure, step).length > 0;

const tooNarrow = perStep((procedure, step): readonly Finding[] => {
  if (step.kind !== "measure" || step.value !== undefined || step.instrument === undefined) return [];
  return judgedBy(procedure, step).flatMap(({ name, limits, node }) => {
    const narrow = narrowness(procedure, step, limits);
    if (narrow === undefined) return [];
    return {
      code: "instrument-too-coarse" as const,
      severity: "error" as const,
      params: {
        step: step.id,
        band: name,
        width: `${typedNumber(narrow.width)} ${step.readingUnit}`,
        u: `${typedNumber(Number(narrow.u.toPrecision(2)))} ${step.readingUnit}`,
      },
      node,
      step: step.id,
    };
  });
});

function judgedBy(
  procedure: Procedure,
  step: MeasureStep,
): readonly { readonly name: string; readonly limits: Limits; readonly node: NodePath }[] {
  if (step.judged.by === "bands")
    return step.judged.bands.map((band) => ({ name: band.id, limits: band, node: band.node }));
  if (step.judged.by === "nothing") return [];
  const limits = procedure.specifications.get(step.judged.specification);
  return limits === undefined || limits.open !== undefined
    ? []
    : [{ name: "within", limits, node: step.node }];
}

function narrowness(
  procedure: Procedure,
  step: MeasureStep,
  limits: Limits,
): { readonly width: number; readonly u: number } | undefined {
  const ends = numberEnds(procedure, limits, step.unit);
  const ranges = procedure.instruments.get(step.instrument ?? "")?.accuracy.get(step.quantity);
  if (ends === undefined || ranges === undefined) return undefined;
  const low = convert(ends.low, step.unit, step.readingUnit);
  const high = convert(ends.high, step.unit, step.readingUnit);
  if (low === undefined || high === undefined || !Number.isFinite(low) || !Number.isFinite(high))
    return undefined;
  // The doubt grows with the size of the reading, so the smallest is at the number nearest zero.
  const nearest = low > 0 ? low : Math.min(high, 0);
  const u = uncertaintyOf(nearest, step.readingUnit, 0, ranges)?.u;
  const width = Number((high - low).toPrecision(12));
  // A band of a single number is meant so: what it catches is a count, not a measured value.
  return u !== undefined && width > 0 && width < 2 * u ? { width, u } : undefined;
}
