import type { Quantity } from "./quantity.ts";

/** One range of an instrument: ±(share of reading + share of full scale + counts of the last digit). */
export interface AccuracyRange {
  /** The highest reading this range shows; absent on the last or only one. */
  readonly upTo?: Quantity;
  /** As a share, 0.009 for 0.9 %. */
  readonly reading: number;
  readonly fullScale: number;
  readonly counts: number;
  readonly resolution?: Quantity;
  /** Resistance of the two leads held together, as stated. */
  readonly leads?: Quantity;
}
