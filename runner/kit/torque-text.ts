import type { Torque } from "../../engine/procedure/model.ts";
import type { Quantity } from "../../engine/quantity/quantity.ts";
import { quantityText } from "./quantity-text.ts";

/** Which units are shown first; the other stands beside it. */
export type UnitSystem = "si" | "us";

/** Newton metres in one of the unit. Source: NIST SP 811, exact definitions. */
const NEWTON_METRES: ReadonlyMap<string, number> = new Map([
  ["N.m", 1],
  ["lbf.ft", 1.3558179483314],
  ["lbf.in", 0.1129848290276167],
]);
const US_FOOT_FROM = 20;

/** A torque in both systems, the chosen one first: `9 N·m` and `80 lbf·in`. Small ones are in inches. */
export function torqueText(torque: Torque, system: UnitSystem): { first: string; second?: string } {
  const ends = "from" in torque ? [torque.from, torque.to] : [torque];
  const metres = ends.map(newtonMetres);
  if (metres.some((value) => value === undefined)) return { first: written(ends) };
  const known = metres.filter((value) => value !== undefined);
  const usUnit = Math.max(...known) < US_FOOT_FROM ? "lbf.in" : "lbf.ft";
  const si = shown(ends, known, "N.m");
  const us = shown(ends, known, usUnit);
  return system === "si" ? { first: si, second: us } : { first: us, second: si };
}

function newtonMetres(quantity: Quantity): number | undefined {
  const factor = NEWTON_METRES.get(quantity.unit);
  return factor === undefined ? undefined : quantity.value * factor;
}

/** As written where the unit is the wanted one, so that rounding never touches the maker's number. */
function shown(ends: readonly Quantity[], metres: readonly number[], unit: string): string {
  if (ends.every((end) => end.unit === unit)) return written(ends);
  const factor = NEWTON_METRES.get(unit) ?? 1;
  const values = metres.map((value) => value / factor);
  const places = Math.max(...values) < 10 ? 1 : 0;
  return range(
    values.map((value) => ({ value, unit })),
    places,
  );
}

function written(ends: readonly Quantity[]): string {
  return range(ends, 3);
}

function range(ends: readonly Quantity[], places: number): string {
  const [low, high] = ends;
  if (low === undefined) return "";
  if (high === undefined) return quantityText(low.value, low.unit, places);
  return `${Number(low.value.toFixed(places))} to ${quantityText(high.value, high.unit, places)}`;
}
