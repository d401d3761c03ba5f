/** What is measured, corrected and judged at a `measure` step. */
import type { RawBranch, RawCorrect } from "../../schemas/generated/procedure.ts";
import type { Quantity } from "../quantity/quantity.ts";
import { convert, dimensionOf, unitOf } from "../quantity/units.ts";
import { defined } from "./defined.ts";
import { usesThisReading } from "./expression.ts";
import type { StepPlace } from "./link-branch.ts";
import { linkExpression, linkText } from "./link-expression.ts";
import { linkLimits, specificationDimension } from "./link-limits.ts";
import { linkQuantity, linkUnit, referenceAt } from "./link-quantity.ts";
import { entriesOf, nodeOf } from "./linking.ts";
import type { Correction, MeasureStep, Outcome } from "./model.ts";
import { titleOf } from "./titles.ts";

type Measured = Pick<
  MeasureStep,
  "quantity" | "unit" | "readingUnit" | "instrument" | "correct" | "plausible" | "value" | "decideAt"
>;

/** Units, instrument, corrections and value of a measurement. */
export function linkMeasured(place: StepPlace, quantity: MeasureStep["quantity"]): Measured {
  const { linking, part, raw, path } = place;
  const kind = dimensionOf(quantity);
  // A value reckoned from the reading may be of another kind than the reading itself.
  const free = raw.value !== undefined && raw["reading-unit"] !== undefined;
  const unit =
    raw.unit === undefined
      ? undefined
      : linkUnit(linking, part, raw.unit, free ? undefined : kind, [...path, "unit"]);
  const typed = raw["reading-unit"];
  const typedUnit =
    typed === undefined ? unit : linkUnit(linking, part, typed, kind, [...path, "reading-unit"]);
  const instrument =
    raw.with === undefined ? undefined : linking.resolve(part, "instrument", raw.with, [...path, "with"]);
  const plausible =
    raw.plausible &&
    linkLimits(linking, part, raw.plausible, {
      path: [...path, "plausible"],
      dimension: kind,
      thisReading: false,
    });
  const value =
    raw.value === undefined
      ? undefined
      : linkExpression(linking, part, raw.value, [...path, "value"], "number", true);
  // Without the word nothing of what is typed here is judged, only what was read before.
  if (value !== undefined && !usesThisReading(value))
    linking.report(
      part,
      "bad-expression",
      [...path, "value"],
      { text: value.text, reason: "unused-reading", step: place.step },
      { severity: "warning" },
    );
  return {
    quantity,
    unit: unit ?? raw.unit ?? "",
    readingUnit: typedUnit ?? typed ?? unit ?? "",
    ...defined({
      instrument,
      plausible,
      value,
      correct: raw.correct && linkCorrect(place, raw.correct, instrument),
      decideAt: raw["decide-at"] ?? (part.call === undefined ? undefined : part.raw["decide-at"]),
    }),
  };
}

function linkCorrect(place: StepPlace, raw: RawCorrect, instrument: string | undefined): Correction {
  const { linking, part, path } = place;
  const at = [...path, "correct"];
  if (place.raw.measure !== "resistance")
    linking.report(
      part,
      "unit-mismatch",
      at,
      { unit: place.raw.measure ?? "", needs: "resistance" },
      { atKey: true },
    );
  if (raw.leads === "subtract" && !linking.anyName && !hasLeads(place, instrument))
    linking.report(part, "missing-key", [...at, "leads"], { key: "leads", reason: "no-leads-figure" });
  const { ask, metal } = raw.temperature ?? {};
  const temperature =
    ask === undefined || metal === undefined
      ? undefined
      : { ask: linkText(linking, part, ask, [...at, "temperature", "ask"]), metal };
  return defined({ leads: raw.leads, temperature, to: temperature && linkReference(place, raw) });
}

function hasLeads({ linking }: StepPlace, instrument: string | undefined): boolean {
  const accuracy =
    instrument === undefined ? undefined : linking.rawInstruments.get(instrument)?.raw.accuracy?.resistance;
  if (accuracy === undefined) return false;
  return Array.isArray(accuracy)
    ? accuracy.some((range) => range.leads !== undefined)
    : accuracy.leads !== undefined;
}

/** The temperature that a resistance is corrected to: the specification's, or the one written for bands. */
function linkReference(place: StepPlace, raw: RawCorrect): Quantity | undefined {
  const { linking, part, path } = place;
  const written =
    raw.to === undefined
      ? undefined
      : linkQuantity(linking, part, raw.to, "temperature", [...path, "correct", "to"]);
  const name = place.raw.specification;
  const stated = name === undefined ? undefined : linking.rawSpecifications.get(part.scope + name)?.raw.at;
  const at = stated === undefined ? undefined : referenceAt(stated);
  if (at !== undefined && written !== undefined && !isSame(at, written))
    linking.report(part, "reference-mismatch", [...path, "correct", "to"], {
      reason: "differs",
      to: raw.to ?? "",
      at: stated ?? "",
    });
  if (at === undefined && written === undefined && raw.to === undefined)
    linking.report(part, "reference-mismatch", [...path, "correct", "temperature"], { reason: "none" });
  return at ?? written;
}

/** Whether two temperatures are one, whatever their units; a millionth of a degree is rounding. */
function isSame(a: Quantity, b: Quantity): boolean {
  const value = convert(b.value, b.unit, a.unit);
  return value !== undefined && Math.abs(value - a.value) < 1e-6;
}

/** The branches that judging a reading leads to, and the key they stand under. */
interface Written {
  readonly key: string | undefined;
  readonly branches: readonly (readonly [Outcome, RawBranch])[];
}

/** How the reading is judged, with the outcomes as written. */
export function linkJudged(
  place: StepPlace,
  unit: string,
): { readonly judged: MeasureStep["judged"]; readonly outcomes: Written } {
  const { linking, part, raw, path } = place;
  const dimension = unitOf(unit)?.dimension;
  if (raw.bands !== undefined) {
    const branches = entriesOf(raw.bands);
    const bands = branches.map(([id, band]) => ({
      id,
      label: band.label ?? titleOf(id),
      node: nodeOf(part, [...path, "bands", id]),
      ...linkLimits(linking, part, band, { path: [...path, "bands", id], dimension, thisReading: false }),
    }));
    return { judged: { by: "bands", bands }, outcomes: { key: "bands", branches } };
  }
  if (raw.specification === undefined) {
    return {
      judged: { by: "nothing" },
      outcomes: { key: undefined, branches: [["taken", raw]] },
    };
  }
  const specification = linking.resolve(part, "specification", raw.specification, [...path, "specification"]);
  const branches = entriesOf<RawBranch>(raw.outcomes);
  if (specification === undefined)
    return { judged: { by: "nothing" }, outcomes: { key: "outcomes", branches } };
  const other = specificationDimension(linking, specification);
  if (other !== undefined && dimension !== undefined && other !== dimension)
    linking.report(part, "unit-mismatch", [...path, "specification"], {
      unit: other,
      needs: dimension,
      why: "cited",
    });
  return { judged: { by: "specification", specification }, outcomes: { key: "outcomes", branches } };
}
