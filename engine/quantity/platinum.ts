/** Platinum resistance thermometers: IEC 60751:2022, 4.2, Callendar-Van Dusen, -200 to 850 degC. */
import { type In, inUnit } from "./in-unit.ts";

const A = 3.9083e-3;
const B = -5.775e-7;
/** Below 0 degC only. */
const C = -4.183e-12;

/** Ohms of a platinum resistor at `celsius` that has `r0` ohms at 0 degC. */
export function platinumResistance(celsius: In<"degC">, r0: In<"Ohm">): In<"Ohm"> {
  return inUnit(r0 * ratioAt(celsius), "Ohm");
}

/** R / R0 at `t` degC. */
function ratioAt(t: number): number {
  const below = t < 0 ? C * (t - 100) * t ** 3 : 0;
  return 1 + A * t + B * t * t + below;
}

/**
 * Degrees Celsius of a platinum resistor of `ohms` that has `r0` ohms at 0 degC: the quadratic solved above
 * zero, Newton's method on the full equation below it, to the last digits of a double.
 */
export function platinumTemperature(ohms: In<"Ohm">, r0: In<"Ohm">): In<"degC"> {
  const ratio = ohms / r0;
  const quadratic = (Math.sqrt(A * A - 4 * B * (1 - ratio)) - A) / (2 * B);
  if (ratio >= 1) return inUnit(quadratic, "degC");
  let t = quadratic;
  for (let round = 0; round < 8; round++) {
    const slope = A + 2 * B * t + C * (4 * t ** 3 - 300 * t * t);
    t -= (ratioAt(t) - ratio) / slope;
  }
  return inUnit(t, "degC");
}
