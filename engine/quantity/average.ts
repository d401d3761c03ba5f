/** Several readings of one thing as one value. */
export interface Mean {
  readonly value: number;
  /** Standard deviation of the mean, s/√n; 0 for a single reading. */
  readonly scatter: number;
}

/**
 * The mean of readings with the standard uncertainty that their scatter gives it, s/√n (type A, GUM 4.2.3).
 * The instrument's own error is the same in every reading, so averaging does not make that smaller: it is
 * added apart, by root sum of squares (GUM 5.1.2). Undefined without readings, or with one that is not finite.
 */
export function meanOf(values: readonly number[]): Mean | undefined {
  const n = values.length;
  if (n === 0 || !values.every(Number.isFinite)) return undefined;
  const size = values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  const value = withoutDust(values.reduce((sum, one) => sum + one, 0) / n, size);
  const squares = values.reduce((sum, one) => sum + (one - value) ** 2, 0);
  return { value, scatter: n < 2 ? 0 : Math.sqrt(squares / (n - 1) / n) };
}

/**
 * A number without the last-bit dust that decimal fractions of about `size` leave in sums and differences:
 * .9 - .3 is .6, so that a limit of .6 includes it. What is more than dust stays.
 */
export function withoutDust(value: number, size: number): number {
  if (!(size < 1e6)) return value;
  const rounded = Math.round(value * 1e9) / 1e9;
  return Math.abs(value - rounded) <= size * 4e-16 ? rounded + 0 : value;
}
