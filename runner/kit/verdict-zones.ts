import type { MeasureStep } from "../../engine/procedure/model.ts";
import type { JudgedReading } from "../../engine/quantity/judge.ts";
import type { NumericBand } from "../../engine/quantity/verdict.ts";

/** A band of a step as the verdict draws it. */
export interface VerdictZone extends NumericBand {
  readonly label: string;
  /** Inside or outside a specification; a band of its own kind is neither good nor bad. */
  readonly tone: "inside" | "outside" | "band";
}

/** The bands that a reading was judged by, lowest first; none where nothing was judged. */
export function verdictZones(step: MeasureStep, judged: JudgedReading): readonly VerdictZone[] {
  const labels = new Map(
    step.judged.by === "bands" ? step.judged.bands.map((band) => [band.id, band.label] as const) : [],
  );
  return judged.bands
    .map((band) => ({
      ...band,
      label: labels.get(band.outcome) ?? band.outcome,
      tone: toneOf(step, band.outcome),
    }))
    .toSorted((a, b) => a.low - b.low);
}

function toneOf(step: MeasureStep, outcome: string): VerdictZone["tone"] {
  if (step.judged.by !== "specification") return "band";
  return outcome === "within" ? "inside" : "outside";
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

/** The limit that a value is closest to, in words: of the specification where there is one, else between two bands. */
export function nearestLimit(
  value: number,
  zones: readonly VerdictZone[],
  quantity: (value: number) => string,
): string {
  const inside = zones.find((zone) => zone.tone === "inside");
  if (inside !== undefined) {
    const isLow = Math.abs(value - inside.low) < Math.abs(value - inside.high);
    return isLow
      ? limitsText({ ...inside, high: Number.POSITIVE_INFINITY }, quantity)
      : limitsText({ ...inside, low: Number.NEGATIVE_INFINITY }, quantity);
  }
  const ends = zones.map((zone) => zone.low).filter(Number.isFinite);
  const nearest = ends.toSorted((a, b) => Math.abs(a - value) - Math.abs(b - value))[0];
  if (nearest === undefined) return "its limit";
  const below = zones.find((zone) => zone.high === nearest)?.label;
  const above = zones.find((zone) => zone.low === nearest)?.label;
  return `${quantity(nearest)}, where “${below}” becomes “${above}”`;
}
