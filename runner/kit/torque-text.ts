import type { Torque } from "../../engine/procedure/model.ts";
import { formatQuantity, type UnitSystem } from "../../engine/quantity/format.ts";

/** A torque in both unit systems, the chosen one first: `9 N·m` and `79.7 lbf·in`. */
export function torqueText(torque: Torque, system: UnitSystem): { first: string; second: string } {
  return {
    first: inSystem(torque, system),
    second: inSystem(torque, system === "si" ? "us" : "si"),
  };
}

function inSystem(torque: Torque, system: UnitSystem): string {
  if (!("from" in torque)) return formatQuantity(torque.value, torque.unit, { system });
  const low = formatQuantity(torque.from.value, torque.from.unit, { system });
  const high = formatQuantity(torque.to.value, torque.to.unit, { system });
  const [number, unit] = low.split("\u00a0");
  return high.endsWith(`\u00a0${unit}`) ? `${number} to ${high}` : `${low} to ${high}`;
}
