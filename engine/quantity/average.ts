/** Several readings of one thing as one value. Type A is the scatter of the mean, type B the instrument's own. */
export interface Averaged {
  readonly value: number;
  readonly u: number;
  /** Standard deviation of the mean; 0 for a single reading. */
  readonly scatter: number;
  readonly instrument: number;
}

/**
 * The mean of readings by one instrument with its combined standard uncertainty: s/√n (GUM 4.2.3) and the
 * instrument's share by root sum of squares (GUM 5.1.2). The instrument's error is the same in every reading,
 * so averaging does not make it smaller. Undefined without readings, or with one that is not finite.
 */
export function averageReadings(
  readings: readonly { readonly value: number; readonly u: number }[],
): Averaged | undefined {
  const n = readings.length;
  if (n === 0 || readings.some((reading) => !Number.isFinite(reading.value))) return undefined;
  const value = readings.reduce((sum, reading) => sum + reading.value, 0) / n;
  const squares = readings.reduce((sum, reading) => sum + (reading.value - value) ** 2, 0);
  const scatter = n < 2 ? 0 : Math.sqrt(squares / (n - 1) / n);
  const instrument = readings.reduce((sum, reading) => sum + reading.u, 0) / n;
  return { value, u: Math.hypot(scatter, instrument), scatter, instrument };
}
