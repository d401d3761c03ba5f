/** What a rehearsal's counts say, with intervals. */
import type { FaultId, Outcome, StepId } from "../procedure/model.ts";
import type { BulkProcedure } from "../reasoning/bulk-procedure.ts";
import { ENDINGS, type FaultCounts, type RehearsalCounts } from "../reasoning/rehearsal-counts.ts";
import { type Interval, wilsonInterval } from "./wilson.ts";

/** Counts of runs by how they came out, and 95 % intervals of the shares. */
interface Endings {
  readonly runs: number;
  readonly isolated: number;
  readonly wrong: number;
  readonly unresolved: number;
  readonly shares: Readonly<Record<(typeof ENDINGS)[number], Interval | null>>;
  /** Mean minutes to the conclusion or end; null without runs. */
  readonly expectedMinutes: number | null;
}

interface Timed extends Endings {
  /** 95 % interval of the mean (normal). */
  readonly minutesInterval: Interval | null;
  /** The least minutes that 95 of 100 runs do not pass. */
  readonly p95Minutes: number | null;
  /** Mean cost of the repairs concluded, as written; not reckoned with anywhere. */
  readonly expectedCost: number | null;
}

export interface RehearsalReport extends Timed {
  readonly perFault: readonly (Timed & { readonly fault: FaultId; readonly title: string })[];
  /** Branches that were taken; `times` counts each time. */
  readonly perBranch: readonly (Endings & {
    readonly step: StepId;
    readonly outcome: Outcome;
    /** The branch was used up: this is its `else`. */
    readonly else?: true;
    readonly times: number;
  })[];
}

export function rehearsalReport(bulk: BulkProcedure, counts: RehearsalCounts): RehearsalReport {
  const all: FaultCounts = { endings: [0, 0, 0], minutes: new Map(), cost: 0 };
  for (const fault of counts.faults) {
    for (const ending of ENDINGS.keys())
      all.endings[ending] = (all.endings[ending] ?? 0) + (fault.endings[ending] ?? 0);
    for (const [minutes, count] of fault.minutes)
      all.minutes.set(minutes, (all.minutes.get(minutes) ?? 0) + count);
    all.cost += fault.cost;
  }
  return {
    ...timed(all),
    perFault: counts.faults.map((fault, number) => ({
      fault: bulk.faults[number] ?? "",
      title: bulk.procedure.faults.get(bulk.faults[number] ?? "")?.title ?? "",
      ...timed(fault),
    })),
    perBranch: bulk.branches.flatMap((branch, number) =>
      [0, 1].flatMap((used) => {
        const row = 2 * number + used;
        const times = counts.taken[row] ?? 0;
        if (times === 0) return [];
        const endings = ENDINGS.map((_, ending) => counts.endings[3 * row + ending] ?? 0);
        const runs = sum(endings);
        return {
          step: branch.step,
          outcome: branch.outcome,
          ...(used === 1 ? { else: true as const } : {}),
          times,
          ...endingsOf(endings, runs > 0 ? (counts.minutes[row] ?? 0) / 1000 / runs : null),
        };
      }),
    ),
  };
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, each) => total + each, 0);
}

function endingsOf(endings: readonly number[], minutes: number | null): Endings {
  const runs = sum(endings);
  const [isolated = 0, wrong = 0, unresolved = 0] = endings;
  const share = (count: number) => wilsonInterval(count, runs) ?? null;
  return {
    runs,
    isolated,
    wrong,
    unresolved,
    shares: { isolated: share(isolated), wrong: share(wrong), unresolved: share(unresolved) },
    expectedMinutes: minutes,
  };
}

/** From the counts by minutes in rising order, so that the same counts give the same last digit. */
function timed(counts: FaultCounts): Timed {
  const rising = [...counts.minutes].sort(([a], [b]) => a - b);
  const runs = sum(rising.map(([, count]) => count));
  if (runs === 0)
    return {
      ...endingsOf(counts.endings, null),
      minutesInterval: null,
      p95Minutes: null,
      expectedCost: null,
    };
  const mean = sum(rising.map(([minutes, count]) => minutes * count)) / runs / 1000;
  const squares = sum(rising.map(([minutes, count]) => (minutes / 1000 - mean) ** 2 * count));
  const half = runs > 1 ? 1.959963984540054 * Math.sqrt(squares / (runs - 1) / runs) : Infinity;
  let below = 0;
  const p95 = rising.find(([, count]) => {
    below += count;
    return below >= 0.95 * runs;
  });
  return {
    ...endingsOf(counts.endings, mean),
    minutesInterval: Number.isFinite(half) ? { low: mean - half, high: mean + half } : null,
    p95Minutes: p95 === undefined ? null : p95[0] / 1000,
    expectedCost: counts.cost / 100 / runs,
  };
}
