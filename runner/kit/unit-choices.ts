import { convert } from "../../engine/quantity/units.ts";

/** Units that a meter may show for the same thing, in the order they are offered. */
const FAMILIES: readonly (readonly string[])[] = [
  ["V", "mV", "kV"],
  ["A", "mA", "uA"],
  ["Ohm", "kOhm", "MOhm", "mOhm"],
  ["W", "kW"],
  ["Hz", "kHz"],
  ["degC", "degF"],
  ["kPa", "bar", "psi", "MPa", "mbar", "inHg"],
  ["N.m", "lbf.ft", "lbf.in"],
  ["mm", "in", "m", "um", "mil"],
  ["L", "mL", "gal", "qt"],
  ["kg", "g", "lb"],
  ["s", "ms", "min", "h"],
  ["km/h", "mph", "m/s"],
  ["uF", "nF", "mF"],
];

/** The units that can be typed where `unit` is asked for, `unit` first; only ones that convert to it. */
export function unitChoices(unit: string): readonly string[] {
  const family = FAMILIES.find((units) => units.includes(unit)) ?? [];
  return [unit, ...family.filter((other) => other !== unit && convert(1, other, unit) !== undefined)];
}

/** The prefix keys that mean something with a unit: `0.4k` ohm does, `0.4k` degrees does not. */
export function prefixKeys(unit: string): readonly ("k" | "m")[] {
  return (["k", "m"] as const).filter((prefix) => convert(1, prefix + unit, unit) !== undefined);
}
