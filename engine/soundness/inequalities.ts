import type { Linear } from "./formula.ts";
import { type Interval, plainNumber } from "./plain-number.ts";
import { inverse, negated, plus, type Rational, rational, signOf, times, ZERO } from "./rational.ts";

/** `sum < 0`, or `sum <= 0`. */
export interface Inequality {
  readonly sum: Linear;
  readonly strict: boolean;
}

/** More of them are not tried. */
const MOST_INEQUALITIES = 2_000;

/**
 * Whether some numbers meet all; undefined where that was too much to try. Fourier-Motzkin: a variable is taken out
 * by adding each upper bound to each lower one.
 */
export function hasSolution(given: readonly Inequality[]): boolean | undefined {
  let left: readonly Inequality[] = given;
  for (;;) {
    const name = left
      .find(({ sum }) => sum.factors.size > 0)
      ?.sum.factors.keys()
      .next().value;
    if (name === undefined) break;
    const without = eliminated(left, name);
    if (without === undefined) return undefined;
    left = without;
  }
  return left.every(({ sum, strict }) => signOf(sum.constant) < (strict ? 0 : 1));
}

/** What is left to hold where a variable may be anything; undefined where that is too much. */
function eliminated(left: readonly Inequality[], name: string): readonly Inequality[] | undefined {
  const without: Inequality[] = [];
  const uppers: Inequality[] = [];
  const lowers: Inequality[] = [];
  for (const each of left) {
    const sign = signOf(each.sum.factors.get(name) ?? ZERO);
    (sign === 0 ? without : sign > 0 ? uppers : lowers).push(each);
  }
  if (without.length + uppers.length * lowers.length > MOST_INEQUALITIES) return undefined;
  for (const upper of uppers) for (const lower of lowers) without.push(joined(upper, lower, name));
  return without;
}

function joined(upper: Inequality, lower: Inequality, name: string): Inequality {
  const a = scaled(upper.sum, inverse(upper.sum.factors.get(name) ?? ZERO));
  const b = scaled(lower.sum, negated(inverse(lower.sum.factors.get(name) ?? ZERO)));
  const factors = new Map<string, Rational>();
  for (const each of new Set([...a.factors.keys(), ...b.factors.keys()])) {
    const factor = plus(a.factors.get(each) ?? ZERO, b.factors.get(each) ?? ZERO);
    if (signOf(factor) !== 0) factors.set(each, factor);
  }
  return {
    sum: { factors, constant: plus(a.constant, b.constant) },
    strict: upper.strict || lower.strict,
  };
}

/** A sum times a number that is not 0. */
export function scaled(sum: Linear, by: Rational): Linear {
  return {
    factors: new Map([...sum.factors].map(([name, factor]) => [name, times(factor, by)])),
    constant: times(sum.constant, by),
  };
}

/**
 * A number for each variable of inequalities that can be met: one after the other, each that is liked or is plain
 * among what the ones before leave to it.
 */
export function chosenValues(
  met: readonly Inequality[],
  liked: (variable: string) => readonly number[],
): ReadonlyMap<string, number> | undefined {
  const names = new Set(met.flatMap(({ sum }) => [...sum.factors.keys()]));
  const values = new Map<string, number>();
  let left = met;
  for (const name of names) {
    const candidates = [...liked(name), plainNumber(roomFor(left, name))].filter(
      (each) => each !== undefined && Number.isFinite(each),
    );
    const value = candidates.find(
      (each) =>
        each !== undefined && hasSolution(left.map((row) => withValue(row, name, rational(each)))) === true,
    );
    if (value === undefined) return undefined;
    values.set(name, value);
    left = left.map((row) => withValue(row, name, rational(value)));
  }
  return values;
}

function withValue({ sum, strict }: Inequality, name: string, value: Rational): Inequality {
  const factor = sum.factors.get(name);
  if (factor === undefined) return { sum, strict };
  const factors = new Map([...sum.factors].filter(([each]) => each !== name));
  return { sum: { factors, constant: plus(sum.constant, times(factor, value)) }, strict };
}

/** Between which numbers a variable has to lie, whatever the others are. */
function roomFor(given: readonly Inequality[], name: string): Interval {
  let left: readonly Inequality[] = given;
  for (;;) {
    const other = left.flatMap(({ sum }) => [...sum.factors.keys()]).find((each) => each !== name);
    if (other === undefined) break;
    left = eliminated(left, other) ?? [];
  }
  const room = { low: -Infinity, lowIncluded: true, high: Infinity, highIncluded: true };
  for (const { sum, strict } of left) {
    const factor = sum.factors.get(name);
    if (factor === undefined) continue;
    const bound = times(negated(sum.constant), inverse(factor));
    const value = Number(bound.over) / Number(bound.under);
    if (signOf(factor) > 0 && (value < room.high || (value === room.high && strict)))
      Object.assign(room, { high: value, highIncluded: !strict });
    if (signOf(factor) < 0 && (value > room.low || (value === room.low && strict)))
      Object.assign(room, { low: value, lowIncluded: !strict });
  }
  return room;
}
