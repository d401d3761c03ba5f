import { numericBands } from "../../engine/machine/limits.ts";
import type { Run } from "../../engine/machine/run.ts";
import { sceneOf } from "../../engine/machine/scene.ts";
import type { MeasureStep, Procedure } from "../../engine/procedure/model.ts";
import type { NumericBand } from "../../engine/quantity/verdict.ts";

/** A band of a step as the verdict draws it. */
export interface VerdictZone extends NumericBand {
  readonly label: string;
  /** Inside or outside a specification; a band of its own kind is neither good nor bad. */
  readonly tone: "inside" | "outside" | "band";
}

/** The bands that a reading of this step is judged by, lowest first; none where nothing is judged. */
export function verdictZones(
  procedure: Procedure,
  run: Run,
  step: MeasureStep,
  at: number,
): readonly VerdictZone[] {
  const bands = numericBands(procedure, run, step, sceneOf(procedure, run, at)) ?? [];
  const labels = new Map(
    step.judged.by === "bands" ? step.judged.bands.map((band) => [band.id, band.label] as const) : [],
  );
  const bySpecification = step.judged.by === "specification";
  return bands
    .map((band) => ({
      ...band,
      label: labels.get(band.outcome) ?? band.outcome,
      tone: !bySpecification
        ? ("band" as const)
        : band.outcome === "within"
          ? ("inside" as const)
          : ("outside" as const),
    }))
    .toSorted((a, b) => a.low - b.low);
}

/** A zone's limits in words: `between 14 and 22 Ω`, `at most 22 Ω`, `under 1 V`. */
export function limitsText(zone: NumericBand, quantity: (value: number) => string): string {
  const hasLow = Number.isFinite(zone.low);
  const hasHigh = Number.isFinite(zone.high);
  const low = `${zone.lowIncluded ? "at least" : "over"} ${quantity(zone.low)}`;
  const high = `${zone.highIncluded ? "at most" : "under"} ${quantity(zone.high)}`;
  if (hasLow && hasHigh && zone.lowIncluded && zone.highIncluded)
    return `between ${quantity(zone.low)} and ${quantity(zone.high)}`;
  if (hasLow && hasHigh) return `${low} and ${high}`;
  if (hasLow) return low;
  return hasHigh ? high : "any reading";
}
