import { MEASURE_KINDS } from "../../engine/quantity/kind.ts";
import { unitOf, unitsFor } from "../../engine/quantity/units.ts";

/** The units that can be typed where `unit` is asked for, `unit` first, then by size. */
export function unitChoices(unit: string): readonly string[] {
  const dimension = unitOf(unit)?.dimension;
  const kind = MEASURE_KINDS.find((one) => one === dimension);
  return [unit, ...(kind === undefined ? [] : unitsFor(kind).filter((other) => other !== unit))];
}

/** The prefix keys that mean something with a unit: `0.4k` ohm does, `0.4k` degrees does not. */
export function prefixKeys(unit: string): readonly ("k" | "m")[] {
  const stem = unitOf(unit)?.stem;
  if (stem === undefined) return [];
  return (["k", "m"] as const).filter((prefix) => unitOf(prefix + stem) !== undefined);
}
