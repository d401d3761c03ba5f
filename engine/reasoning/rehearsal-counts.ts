/** What a rehearsal counts. Whole numbers only, so that the parts of several workers add up to the same. */
import type { BulkProcedure } from "./bulk-procedure.ts";

/** How a rehearsed run came out: at the right conclusion, at a wrong one, at none. */
export const ENDINGS = ["isolated", "wrong", "unresolved"] as const;

export interface FaultCounts {
  /** By ending. */
  readonly endings: number[];
  /** Runs by thousandths of a minute. */
  readonly minutes: Map<number, number>;
  /** Hundredths of the cost of what was concluded: {@link addValue}. */
  readonly costs: Float64Array;
}

export interface RehearsalCounts {
  runs: number;
  readonly faults: readonly FaultCounts[];
  /** Rows `2 × branch`, and `2 × branch + 1` for its `else`. */
  readonly taken: Float64Array;
  /** Runs that took the row at least once, by ending: `3 × row + ending`. */
  readonly endings: Float64Array;
  /** Thousandths of a minute of those runs, from `3 × row`: {@link addValue}. */
  readonly minutes: Float64Array;
  /** Hundredths of the cost of what they concluded, as the minutes. */
  readonly costs: Float64Array;
}

/** Adds the counts of other runs of the same procedure: whoever counted them, the sum is the same. */
export function addCounts(to: RehearsalCounts, part: RehearsalCounts): void {
  to.runs += part.runs;
  for (const [number, fault] of part.faults.entries()) {
    const mine = to.faults[number];
    if (mine === undefined) continue;
    for (const [ending, count] of fault.endings.entries())
      mine.endings[ending] = (mine.endings[ending] ?? 0) + count;
    for (const [minutes, count] of fault.minutes)
      mine.minutes.set(minutes, (mine.minutes.get(minutes) ?? 0) + count);
    addAll(mine.costs, fault.costs);
  }
  addAll(to.taken, part.taken);
  addAll(to.endings, part.endings);
  addAll(to.minutes, part.minutes);
  addAll(to.costs, part.costs);
}

/** Squares are summed in two parts, so that the sums stay whole numbers that add up in any order. */
const SPLIT = 2 ** 26;

/** Adds a whole number to the three sums from `at` on: of the numbers, and of their squares in two parts. */
export function addValue(sums: Float64Array, at: number, value: number): void {
  const square = value * value;
  const high = Math.floor(square / SPLIT);
  sums[at] = (sums[at] ?? 0) + value;
  sums[at + 1] = (sums[at + 1] ?? 0) + high;
  sums[at + 2] = (sums[at + 2] ?? 0) + (square - high * SPLIT);
}

/** Mean and standard error of the mean of so many numbers added; the error is infinite for one. */
export function meanOf(sums: Float64Array, at: number, count: number): { mean: number; error: number } {
  const mean = (sums[at] ?? 0) / count;
  const squares = (sums[at + 1] ?? 0) * SPLIT + (sums[at + 2] ?? 0);
  const variance = Math.max(0, squares - count * mean * mean) / (count - 1);
  return { mean, error: count > 1 ? Math.sqrt(variance / count) : Number.POSITIVE_INFINITY };
}

export function addAll(to: Float64Array, part: Float64Array): void {
  for (let at = 0; at < part.length; at += 1) to[at] = (to[at] ?? 0) + (part[at] ?? 0);
}

export function emptyCounts(bulk: BulkProcedure): RehearsalCounts {
  const rows = bulk.branches.length * 2;
  return {
    runs: 0,
    faults: bulk.faults.map(() => ({ endings: [0, 0, 0], minutes: new Map(), costs: new Float64Array(3) })),
    taken: new Float64Array(rows),
    endings: new Float64Array(rows * 3),
    minutes: new Float64Array(rows * 3),
    costs: new Float64Array(rows * 3),
  };
}
