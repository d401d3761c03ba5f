import { displayUnit } from "../../engine/quantity/units.ts";

/** Between a number and its unit: a space that does not break. */
const NO_BREAK = "\u00a0";

/**
 * A number as people read it: at most `places` decimals after rounding, without a tail of noise.
 * Infinity is `OL`, as a meter shows it.
 */
export function figureText(value: number, places = 3): string {
  if (value === Number.POSITIVE_INFINITY) return "OL";
  if (value === Number.NEGATIVE_INFINITY) return "-OL";
  const rounded = Number(value.toFixed(places));
  return String(Object.is(rounded, -0) ? 0 : rounded).replace("-", "\u2212");
}

/** A number with its unit's sign, held together: `22.1 Ω`. */
export function quantityText(value: number, unit: string, places = 3): string {
  return `${figureText(value, places)}${NO_BREAK}${displayUnit(unit)}`;
}

/** Decimals that show a value to the doubt it has: two digits of the uncertainty, at most 4, at least 0. */
export function placesFor(u: number | undefined, value: number): number {
  const scale = u !== undefined && u > 0 ? u : Math.abs(value) / 100;
  if (scale === 0 || !Number.isFinite(scale)) return 2;
  return Math.min(4, Math.max(0, 1 - Math.floor(Math.log10(scale))));
}

/** Decimals that the technician typed: 1 for `22.4k`. */
export function typedPlaces(typed: string): number {
  return /[.,](\d+)/.exec(typed)?.[1]?.length ?? 0;
}
