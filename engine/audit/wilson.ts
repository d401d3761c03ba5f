/** A share with its interval: what a count of so many out of so many says about the branch in the long run. */

/** The two-sided 95 % point of the standard normal distribution. */
export const Z95 = 1.959963984540054;

export interface Interval {
  readonly low: number;
  readonly high: number;
}

/**
 * The 95 % score interval of a proportion, or nothing when there were no trials.
 *
 * Source: Wilson (1927), as method 3 of Newcombe, Statistics in Medicine 17 (1998), without continuity
 * correction. The ends are 0 and 1 exactly where the count is nought or all, which rounding would miss.
 */
export function wilsonInterval(count: number, trials: number): Interval | undefined {
  if (trials <= 0) return undefined;
  const share = count / trials;
  const z2 = Z95 * Z95;
  const centre = 2 * count + z2;
  const spread = Z95 * Math.sqrt(z2 + 4 * count * (1 - share));
  const whole = 2 * (trials + z2);
  return {
    low: count === 0 ? 0 : (centre - spread) / whole,
    high: count === trials ? 1 : (centre + spread) / whole,
  };
}
