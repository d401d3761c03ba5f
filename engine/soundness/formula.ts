import { negated, ONE, plus, type Rational, signOf, times, ZERO } from "./rational.ts";

/** A sum of variables times numbers, and a number: `2 x - y + 0.5`. No variable has the factor 0. */
export interface Linear {
  readonly factors: ReadonlyMap<string, Rational>;
  readonly constant: Rational;
}

/** What can hold or not. `free` is what could not be put into these words: it may hold or not, as one likes. */
export type Formula =
  | { readonly kind: "known"; readonly holds: boolean }
  | { readonly kind: "free" }
  /** The left sum stands so to the right one; `sum` is left less right. */
  | {
      readonly kind: "compared";
      readonly left: Linear;
      readonly right: Linear;
      readonly sum: Linear;
      readonly relation: Relation;
    }
  | { readonly kind: "and" | "or"; readonly parts: readonly Formula[] }
  | { readonly kind: "not"; readonly part: Formula };
export type Relation = "<" | "<=" | "==" | "!=";

export const FREE: Formula = { kind: "free" };
export const HOLDS: Formula = { kind: "known", holds: true };

export function constantSum(constant: Rational): Linear {
  return { factors: new Map(), constant };
}

export function variableSum(name: string): Linear {
  return { factors: new Map([[name, ONE]]), constant: ZERO };
}

/**
 * The sum of two sums; undefined where a variable drops out of it, which over range it does not: OL less OL is
 * no number.
 */
export function addedSums(a: Linear, b: Linear): Linear | undefined {
  const factors = new Map(a.factors);
  for (const [name, factor] of b.factors) {
    const sum = plus(factors.get(name) ?? ZERO, factor);
    if (signOf(sum) === 0) return undefined;
    factors.set(name, sum);
  }
  return { factors, constant: plus(a.constant, b.constant) };
}

/** The sum times a number; 0 only where there is no variable, for the same reason. */
export function scaledSum(sum: Linear, by: Rational): Linear | undefined {
  if (signOf(by) === 0 && sum.factors.size > 0) return undefined;
  return {
    factors: new Map([...sum.factors].map(([name, factor]) => [name, times(factor, by)])),
    constant: times(sum.constant, by),
  };
}

export function negatedSum(sum: Linear): Linear {
  return {
    factors: new Map([...sum.factors].map(([name, factor]) => [name, negated(factor)])),
    constant: negated(sum.constant),
  };
}

export function not(part: Formula): Formula {
  if (part.kind === "known") return { kind: "known", holds: !part.holds };
  return part.kind === "not" ? part.part : { kind: "not", part };
}

export function all(parts: readonly Formula[]): Formula {
  return { kind: "and", parts };
}

export function any(parts: readonly Formula[]): Formula {
  return { kind: "or", parts };
}

/** The left sum stands so to the right one; free where a variable drops out between them. */
export function compared(left: Linear, right: Linear, relation: Relation): Formula {
  const sum = addedSums(left, negatedSum(right));
  return sum === undefined ? FREE : { kind: "compared", left, right, sum, relation };
}
