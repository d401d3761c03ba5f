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
    mine.cost += fault.cost;
  }
  addAll(to.taken, part.taken);
  addAll(to.endings, part.endings);
  addAll(to.minutes, part.minutes);
}

function addAll(to: Float64Array, part: Float64Array): void {
  for (let at = 0; at < part.length; at += 1) to[at] = (to[at] ?? 0) + (part[at] ?? 0);
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
