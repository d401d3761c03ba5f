/** What a rehearsal counts. Whole numbers only, so that the parts of several workers add up to the same. */
import type { BulkProcedure } from "./bulk-procedure.ts";

/** How a rehearsed run came out: at the right conclusion, at a wrong one, at none. */
export const ENDINGS = ["isolated", "wrong", "unresolved"] as const;

export interface FaultCounts {
  /** By ending. */
  readonly endings: number[];
  /** Runs by thousandths of a minute. */
  readonly minutes: Map<number, number>;
  /** Hundredths of the cost of what was concluded, summed. */
  cost: number;
}

export interface RehearsalCounts {
  runs: number;
  readonly faults: readonly FaultCounts[];
  /** Rows `2 × branch`, and `2 × branch + 1` for its `else`. */
  readonly taken: Float64Array;
  /** Runs that took the row at least once, by ending: `3 × row + ending`. */
  readonly endings: Float64Array;
  /** Thousandths of a minute of those runs, summed. */
  readonly minutes: Float64Array;
}

export function emptyCounts(bulk: BulkProcedure): RehearsalCounts {
  const rows = bulk.branches.length * 2;
  return {
    runs: 0,
    faults: bulk.faults.map(() => ({ endings: [0, 0, 0], minutes: new Map(), cost: 0 })),
    taken: new Float64Array(rows),
    endings: new Float64Array(rows * 3),
    minutes: new Float64Array(rows),
  };
}
