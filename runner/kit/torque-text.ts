import type { Torque } from "../../engine/procedure/model.ts";
import type { Quantity } from "../../engine/quantity/quantity.ts";
import { convert } from "../../engine/quantity/units.ts";
import { quantityText } from "./quantity-text.ts";

/** Which units are shown first; the other stands beside it. */
export type UnitSystem = "si" | "us";

/** Newton metres from which a torque is given in feet rather than inches: common practice. */
const US_FOOT_FROM = 20;

/** A torque in both systems, the chosen one first: `9 N·m` and `80 lbf·in`. Small ones are in inches. */
export function torqueText(torque: Torque, system: UnitSystem): { first: string; second?: string } {
  const ends = "from" in torque ? [torque.from, torque.to] : [torque];
  const highest = Math.max(...ends.map((end) => convert(end.value, end.unit, "N.m") ?? 0));
  const si = shown(ends, "N.m");
  const us = shown(ends, highest < US_FOOT_FROM ? "lbf.in" : "lbf.ft");
  if (si === undefined || us === undefined) return { first: range(ends, 3) };
  return system === "si" ? { first: si, second: us } : { first: us, second: si };
}

/** As written where the unit is the wanted one, so that rounding never touches the maker's number. */
function shown(ends: readonly Quantity[], unit: string): string | undefined {
  if (ends.every((end) => end.unit === unit)) return range(ends, 3);
  const converted: Quantity[] = [];
  for (const end of ends) {
    const value = convert(end.value, end.unit, unit);
    if (value === undefined) return undefined;
    converted.push({ value, unit });
  }
  return range(converted, Math.max(...converted.map((end) => end.value)) < 10 ? 1 : 0);
}

function range(ends: readonly Quantity[], places: number): string {
  const [low, high] = ends;
  if (low === undefined) return "";
  if (high === undefined) return quantityText(low.value, low.unit, places);
  return `${Number(low.value.toFixed(places))} to ${quantityText(high.value, high.unit, places)}`;
}
