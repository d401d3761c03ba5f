/** A value that came up so many times. */
export interface Weighted {
  readonly value: number;
  readonly count: number;
}

/** The median, exact: the middle value, or the mean of the two middle ones; nothing when there is none. */
export function findMedian(values: Iterable<Weighted>): number | undefined {
  const sorted = [...values].filter((each) => each.count > 0).sort((a, b) => a.value - b.value);
  const total = sorted.reduce((sum, each) => sum + each.count, 0);
  if (total === 0) return undefined;
  const low = valueAt(sorted, Math.floor((total - 1) / 2));
  const high = valueAt(sorted, Math.floor(total / 2));
  return low === undefined || high === undefined ? undefined : (low + high) / 2;
}

/** The value at a 0-based rank of all values laid out in order. */
function valueAt(sorted: readonly Weighted[], rank: number): number | undefined {
  let before = 0;
  for (const { value, count } of sorted) {
    before += count;
    if (rank < before) return value;
  }
  return undefined;
}
