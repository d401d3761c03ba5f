/**
 * Corrections of a resistance reading to reference conditions. Amounts keep their sign: a reading smaller than
 * the leads gives a negative result, which is what was measured.
 */

import { withoutDust } from "./average.ts";
import type { In } from "./in-unit.ts";

/** A conductor whose resistance rises in proportion to its temperature. */
interface Metal {
  /** Temperature coefficient of resistance at 20 degC, 1/K. */
  readonly alpha20: number;
  /** Degrees Celsius between which a straight line is good enough for a workshop. */
  readonly low: number;
  readonly high: number;
  readonly source: string;
}

/** The metals whose resistance can be corrected, by their coefficient at 20 degC. */
export const METALS = {
  copper: {
    alpha20: 0.00393,
    low: -60,
    high: 250,
    source: "IEC 60028, annealed copper",
  },
  aluminium: {
    alpha20: 0.00403,
    low: -60,
    high: 200,
    source: "IEC 60889, hard-drawn aluminium of 61 % IACS, as an electrical engineers' handbook prints it",
  },
  iron: {
    alpha20: 0.005671,
    low: -40,
    high: 150,
    source: "Lessons in Electric Circuits, volume I, 12.6, at 20 degC: the element; steel is nearer .003",
  },
  nickel: {
    alpha20: 0.005866,
    low: -60,
    high: 150,
    source: "Lessons in Electric Circuits, volume I, 12.6, at 20 degC: the element",
  },
  platinum: {
    alpha20: 0.003604,
    low: -40,
    high: 100,
    source: "IEC 60751 at 20 degC: (A + 2·B·20) / (1 + A·20 + B·400)",
  },
  constantan: {
    alpha20: -0.000074,
    low: -60,
    high: 400,
    source: "Lessons in Electric Circuits, volume I, 12.6, at 20 degC; as good as constant",
  },
} as const satisfies Readonly<Record<string, Metal>>;
export type MetalName = keyof typeof METALS;

/** Whether a word names a metal that can be corrected. */
export function isMetal(word: string): word is MetalName {
  return Object.hasOwn(METALS, word);
}

/** A value with its standard uncertainty, in one unit. */
interface Doubtful {
  readonly value: number;
  readonly u: number;
}

/**
 * The reading less the resistance of the leads, u by root sum of squares: the two are read apart, so nothing
 * of their errors is counted as shared.
 */
export function subtractLeads(read: Doubtful, leads: Doubtful): Doubtful {
  const size = Math.max(Math.abs(read.value), Math.abs(leads.value));
  return { value: withoutDust(read.value - leads.value, size), u: Math.hypot(read.u, leads.u) };
}

/**
 * What a resistance read at `at` degC would be at `to` degC, for u of the temperature in kelvins:
 * R × (1 + α(to - 20)) / (1 + α(at - 20)), α at 20 degC. u to first order (GUM 5.1.2).
 * Undefined outside the metal's range.
 */
export function toReferenceTemperature(
  read: Doubtful,
  metal: MetalName,
  at: In<"degC">,
  to: In<"degC">,
  uAt = 0,
): Doubtful | undefined {
  const { alpha20, low, high } = METALS[metal];
  if (!(at >= low && at <= high && to >= low && to <= high)) return undefined;
  const factor = referenceFactor(metal, at, to);
  const perKelvin = (-read.value * factor * alpha20) / (1 + alpha20 * (at - 20));
  return { value: read.value * factor, u: Math.hypot(read.u * factor, perKelvin * uAt) };
}

/**
 * Standard uncertainty of a corrected resistance whose reference temperature is only known with `uTo` kelvins,
 * for a resistance `read` at `at` degC; to first order (GUM 5.1.2).
 */
export function referenceDoubt(read: number, metal: MetalName, at: In<"degC">, uTo: number): number {
  const { alpha20 } = METALS[metal];
  return Math.abs((read * alpha20) / (1 + alpha20 * (at - 20))) * uTo;
}

/** What a resistance at `at` degC is multiplied by to give the one at `to` degC. */
export function referenceFactor(metal: MetalName, at: In<"degC">, to: In<"degC">): number {
  const { alpha20 } = METALS[metal];
  return (1 + alpha20 * (to - 20)) / (1 + alpha20 * (at - 20));
}
