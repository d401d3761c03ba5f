/** Quantities and units of a text, checked against what they have to measure. */
import { parseQuantity, parseSpread } from "../quantity/parse-quantity.ts";
import type { Quantity } from "../quantity/quantity.ts";
import { convert, type Dimension, unitOf, unitWithin } from "../quantity/units.ts";
import { defined } from "./defined.ts";
import type { Linking, Part, Path } from "./linking.ts";
import type { Torque } from "./model.ts";

/** The quantity as written, or undefined with a `bad-quantity` or, of another dimension, a `unit-mismatch`. */
export function linkQuantity(
  linking: Linking,
  part: Part,
  text: string,
  dimension: Dimension | undefined,
  path: Path,
): Quantity | undefined {
  const parsed = parseQuantity(text);
  if (!parsed.ok) {
    const { code, unit } = parsed.why;
    linking.report(part, "bad-quantity", path, defined({ text: parsed.why.text, reason: code, unit }));
    return undefined;
  }
  return hasDimension(linking, part, parsed.quantity.unit, dimension, path) ? parsed.quantity : undefined;
}

/** Mean and spread of `0.6 Ohm ± 0.1 Ohm`, or undefined with the same findings. */
export function linkSpread(
  linking: Linking,
  part: Part,
  text: string,
  dimension: Dimension | undefined,
  path: Path,
): { readonly mean: Quantity; readonly spread: Quantity } | undefined {
  const parsed = parseSpread(text);
  if (!parsed.ok) {
    const { code, unit } = parsed.why;
    linking.report(part, "bad-quantity", path, defined({ text: parsed.why.text, reason: code, unit }));
    return undefined;
  }
  const { mean, spread } = parsed;
  return hasDimension(linking, part, mean.unit, dimension, path) ? { mean, spread } : undefined;
}

/** A quantity with or without a ±, `20 degC` or `20 degC ± 5 degC`; nothing with the same findings. */
export function linkWithin(
  linking: Linking,
  part: Part,
  text: string,
  dimension: Dimension,
  path: Path,
): { readonly quantity?: Quantity; readonly within?: Quantity } {
  if (!SPREAD.test(text)) return defined({ quantity: linkQuantity(linking, part, text, dimension, path) });
  const spread = linkSpread(linking, part, text, dimension, path);
  return spread === undefined ? {} : { quantity: spread.mean, within: spread.spread };
}

/** The reference temperature in a text, its ± left aside; undefined where there is none to read. */
export function referenceAt(text: string): Quantity | undefined {
  if (!SPREAD.test(text)) {
    const parsed = parseQuantity(text);
    return parsed.ok ? parsed.quantity : undefined;
  }
  const parsed = parseSpread(text);
  return parsed.ok ? parsed.mean : undefined;
}

const SPREAD = /±|\+\/?-/;

/** The canonical symbol of a unit, or undefined with a `bad-quantity` or `unit-mismatch`. */
export function linkUnit(
  linking: Linking,
  part: Part,
  text: string,
  dimension: Dimension | undefined,
  path: Path,
): string | undefined {
  const unit = dimension === undefined ? unitOf(text) : unitWithin(text, dimension);
  if (unit === undefined) {
    linking.report(part, "bad-quantity", path, { text, reason: "unknown-unit", unit: text });
    return undefined;
  }
  return hasDimension(linking, part, unit.symbol, dimension, path) ? unit.symbol : undefined;
}

/** A quantity's number in a fixed unit: minutes of a wait, seconds of a limit, a share of per cents. */
export function linkNumber(
  linking: Linking,
  part: Part,
  text: string | undefined,
  unit: string,
  path: Path,
): number | undefined {
  if (text === undefined) return undefined;
  const quantity = linkQuantity(linking, part, text, unitOf(unit)?.dimension, path);
  return quantity && convert(quantity.value, quantity.unit, unit);
}

export function linkTorque(
  linking: Linking,
  part: Part,
  raw: string | { readonly from?: string; readonly to?: string } | undefined,
  path: Path,
): Torque | undefined {
  if (raw === undefined) return undefined;
  if (typeof raw === "string") return linkQuantity(linking, part, raw, "torque", path);
  if (raw.from === undefined || raw.to === undefined) return undefined;
  const from = linkQuantity(linking, part, raw.from, "torque", [...path, "from"]);
  const to = linkQuantity(linking, part, raw.to, "torque", [...path, "to"]);
  return from && to && { from, to };
}

function hasDimension(
  linking: Linking,
  part: Part,
  unit: string,
  dimension: Dimension | undefined,
  path: Path,
): boolean {
  if (dimension === undefined || unitOf(unit)?.dimension === dimension) return true;
  linking.report(part, "unit-mismatch", path, { unit, needs: dimension });
  return false;
}
