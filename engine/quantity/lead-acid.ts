import { type In, inUnit } from "./in-unit.ts";

/** Percent of charge by rested volts at 26.7 degC of a six-cell flooded battery: a battery maker's table. */
const TABLE = [
  [11.89, 0],
  [12.06, 25],
  [12.24, 50],
  [12.45, 75],
  [12.65, 100],
] as const;

/** Volts that a rested six-cell battery gains per kelvin: .024 V per 10 degF, the same maker. */
const PER_KELVIN = 0.024 * 0.18;
const REFERENCE = 80 / 1.8 - 32 / 1.8;

/** Rested volts brought from `celsius` to the 26.7 degC (80 degF) of the table. */
function restedVoltsAtReference(volts: number, celsius: number): number {
  return volts - PER_KELVIN * (celsius - REFERENCE);
}

/**
 * Percent of charge of a rested six-cell flooded lead-acid battery at `celsius`, linear between the table's
 * rows, 0 and 100 beyond its ends. Other makers' tables differ by up to .06 V, a quarter of the scale.
 */
export function stateOfCharge(volts: In<"V">, celsius: In<"degC">): In<"%"> {
  const rested = restedVoltsAtReference(volts, celsius);
  let before: (typeof TABLE)[number] = TABLE[0];
  if (rested <= before[0]) return inUnit(before[1], "%");
  for (const row of TABLE) {
    if (rested <= row[0])
      return inUnit(before[1] + ((row[1] - before[1]) * (rested - before[0])) / (row[0] - before[0]), "%");
    before = row;
  }
  return inUnit(before[1], "%");
}
