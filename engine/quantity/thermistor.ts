/** Thermistors of negative coefficient. Temperatures in degC, resistances in ohm. */
import { type In, inUnit } from "./in-unit.ts";

const ZERO = 273.15;

/** Ohms at `celsius` of a thermistor with `r25` ohms at 25 degC and `beta` kelvins. */
export function betaResistance(celsius: In<"degC">, r25: In<"Ohm">, beta: In<"K">): In<"Ohm"> {
  return inUnit(r25 * Math.exp(beta * (1 / (celsius + ZERO) - 1 / (25 + ZERO))), "Ohm");
}

/** Degrees Celsius of a thermistor of `ohms`, with `r25` ohms at 25 degC and `beta` kelvins. */
export function betaTemperature(ohms: In<"Ohm">, r25: In<"Ohm">, beta: In<"K">): In<"degC"> {
  return inUnit(1 / (1 / (25 + ZERO) + Math.log(ohms / r25) / beta) - ZERO, "degC");
}

/** Degrees Celsius by 1/T = A + B·ln R + C·(ln R)³ (Steinhart and Hart, Deep-Sea Research 15, 1968). */
export function steinhartHartTemperature(ohms: In<"Ohm">, a: number, b: number, c: number): In<"degC"> {
  const log = Math.log(ohms);
  return inUnit(1 / (a + b * log + c * log ** 3) - ZERO, "degC");
}

/** Ohms at `celsius` by the same equation, its cubic solved in closed form (c above 0). */
export function steinhartHartResistance(celsius: In<"degC">, a: number, b: number, c: number): In<"Ohm"> {
  const half = (a - 1 / (celsius + ZERO)) / (2 * c);
  const root = Math.sqrt((b / (3 * c)) ** 3 + half * half);
  return inUnit(Math.exp(Math.cbrt(root - half) - Math.cbrt(root + half)), "Ohm");
}
