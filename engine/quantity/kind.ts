/** The quantities a `measure` step can name; each has one dimension. */
export const MEASURE_KINDS = [
  "voltage",
  "current",
  "resistance",
  "power",
  "charge",
  "frequency",
  "ratio",
  "temperature",
  "pressure",
  "torque",
  "length",
  "volume",
  "mass",
  "time",
  "speed",
  "capacitance",
] as const;
export type MeasureKind = (typeof MEASURE_KINDS)[number];
