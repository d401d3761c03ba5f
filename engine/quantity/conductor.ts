/**
 * Copper conductors: resistance from size, length and temperature. Lengths are of the conductor: go and return count.
 */
import { METALS } from "./correct.ts";
import { type In, inUnit } from "./in-unit.ts";

/** Ohm metres of annealed copper at 20 degC, 1/58 ohm mm²/m (IEC 60028). */
const COPPER = 1 / 58e6;

/** Square millimetres of a solid wire of an American gauge, 0 to -3 for 1/0 to 4/0 (ASTM B258). */
export function gaugeArea(gauge: number): In<"mm2"> {
  const millimetres = 0.127 * 92 ** ((36 - gauge) / 39);
  return inUnit((Math.PI / 4) * millimetres * millimetres, "mm2");
}

/** Ohms of a copper conductor of `area` mm² of metal, `metres` long, at `celsius`. */
export function copperResistance(area: In<"mm2">, metres: In<"m">, celsius: In<"degC">): In<"Ohm"> {
  return inUnit(((COPPER * metres) / (area * 1e-6)) * warmth(celsius), "Ohm");
}

/** What the resistance of copper at 20 degC is multiplied by at another temperature. */
function warmth(celsius: In<"degC">): number {
  return 1 + METALS.copper.alpha20 * (celsius - 20);
}

/** The most ohms per kilometre at 20 degC of a flexible plain copper cable (IEC 60228, class 5), by nominal mm². */
const FLEXIBLE: ReadonlyMap<number, number> = new Map([
  [0.5, 39],
  [0.75, 26],
  [1, 19.5],
  [1.5, 13.3],
  [2.5, 7.98],
  [4, 4.95],
  [6, 3.3],
  [10, 1.91],
  [16, 1.21],
  [25, 0.78],
  [35, 0.554],
  [50, 0.386],
  [70, 0.272],
  [95, 0.206],
  [120, 0.161],
]);

/** The most ohms a sound flexible cable of a nominal size may have; undefined for a size not in the table. */
export function flexibleLimit(area: In<"mm2">, metres: In<"m">, celsius: In<"degC">): In<"Ohm"> | undefined {
  const perKilometre = FLEXIBLE.get(area);
  if (perKilometre === undefined) return undefined;
  return inUnit(perKilometre * 1e-3 * metres * warmth(celsius), "Ohm");
}

/** Amperes through a copper coil of `ohms` at 20 degC that is at `celsius`. */
export function coilCurrent(volts: In<"V">, ohms: In<"Ohm">, celsius: In<"degC">): In<"A"> {
  return inUnit(volts / (ohms * warmth(celsius)), "A");
}

/** Ohms of two resistances side by side, such as the two terminators of a bus; 0 when one is a short. */
export function parallelResistance(first: In<"Ohm">, second: In<"Ohm">): In<"Ohm"> {
  if (first === Number.POSITIVE_INFINITY) return second;
  if (second === Number.POSITIVE_INFINITY) return first;
  return inUnit(first + second === 0 ? 0 : (first * second) / (first + second), "Ohm");
}
