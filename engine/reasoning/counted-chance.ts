/**
 * Numbers that look drawn by chance and depend only on what they are for: the same seed, run and purpose, the
 * same number, in whatever order and on however many workers they are asked for.
 */

/**
 * A bijection of 32-bit numbers whose outputs look unrelated. Source: C. Wellons, “Prospecting for hash functions”
 * (2018), the low-bias constants.
 */
function mix(value: number): number {
  let x = value | 0;
  x = Math.imul(x ^ (x >>> 16), 0x7feb352d);
  x = Math.imul(x ^ (x >>> 15), 0x846ca68b);
  return x ^ (x >>> 16);
}

/** The key of one run under a seed; two runs of a seed never share one. */
export function runKey(seed: number, run: number): number {
  const high = Math.floor(run / 0x1_0000_0000);
  const low = Math.floor(seed / 0x1_0000_0000);
  return mix(mix((run | 0) ^ mix(seed | 0)) ^ mix(0x9e3779b9 ^ high ^ mix(low)));
}

/** A number of [0, 1) for a purpose within a run. */
export function chance(key: number, purpose: number): number {
  return (mix(mix(key ^ Math.imul(purpose, 0x9e3779b9)) + purpose) >>> 0) / 0x1_0000_0000;
}
