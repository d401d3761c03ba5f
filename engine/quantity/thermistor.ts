/** Thermistors of negative coefficient. Temperatures in degC, resistances in ohm. */

const ZERO = 273.15;

/** Ohms at `celsius` of a thermistor with `r25` ohms at 25 degC and `beta` kelvins. */
export function betaResistance(celsius: number, r25: number, beta: number): number {
  return r25 * Math.exp(beta * (1 / (celsius + ZERO) - 1 / (25 + ZERO)));
}

/** Degrees Celsius of a thermistor of `ohms`, with `r25` ohms at 25 degC and `beta` kelvins. */
export function betaTemperature(ohms: number, r25: number, beta: number): number {
  return 1 / (1 / (25 + ZERO) + Math.log(ohms / r25) / beta) - ZERO;
}

/** Degrees Celsius by 1/T = A + B·ln R + C·(ln R)³ (Steinhart and Hart, Deep-Sea Research 15, 1968). */
export function steinhartHartTemperature(ohms: number, a: number, b: number, c: number): number {
  const log = Math.log(ohms);
  return 1 / (a + b * log + c * log ** 3) - ZERO;
}

/** Ohms at `celsius` by the same equation, its cubic solved in closed form (c above 0). */
export function steinhartHartResistance(celsius: number, a: number, b: number, c: number): number {
  const half = (a - 1 / (celsius + ZERO)) / (2 * c);
  const root = Math.sqrt((b / (3 * c)) ** 3 + half * half);
  return Math.exp(Math.cbrt(root - half) - Math.cbrt(root + half));
}
