/** What a rehearsal's counts say, with intervals. */
import type { FaultId, Outcome, StepId } from "../procedure/model.ts";
import type { BulkProcedure } from "../reasoning/bulk-procedure.ts";
import {
  addAll,
  ENDINGS,
  type FaultCounts,
  meanOf,
  type RehearsalCounts,
} from "../reasoning/rehearsal-counts.ts";
import { type Interval, wilsonInterval, Z95 } from "./wilson.ts";

/** Counts of runs by how they came out, and 95 % intervals of the shares. */
interface Endings {
  readonly runs: number;
  readonly isolated: number;
  readonly wrong: number;
  readonly unresolved: number;
  readonly shares: Readonly<Record<(typeof ENDINGS)[number], Interval | null>>;
  /** Mean minutes to the conclusion or end; null without runs. */
  readonly expectedMinutes: number | null;
  /** 95 % interval of the mean (normal); null with less than two runs. */
  readonly minutesInterval: Interval | null;
  /** Mean cost of the repairs concluded, as written; not reckoned with anywhere. */
  readonly expectedCost: number | null;
  readonly costInterval: Interval | null;
}

interface Timed extends Endings {
  /** The least minutes that 95 of 100 runs do not pass. */
  readonly p95Minutes: number | null;
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
  const all: FaultCounts = { endings: [0, 0, 0], minutes: new Map(), costs: new Float64Array(3) };
  for (const fault of counts.faults) {
    for (const ending of ENDINGS.keys())
      all.endings[ending] = (all.endings[ending] ?? 0) + (fault.endings[ending] ?? 0);
    for (const [minutes, count] of fault.minutes)
      all.minutes.set(minutes, (all.minutes.get(minutes) ?? 0) + count);
    addAll(all.costs, fault.costs);
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
          ...endingsOf(endings, means(counts.minutes, row, runs, 1000), means(counts.costs, row, runs, 100)),
        };
      }),
    ),
  };
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, each) => total + each, 0);
}

interface Mean {
  readonly mean: number | null;
  readonly interval: Interval | null;
}

const NO_MEAN: Mean = { mean: null, interval: null };

function meanWith(mean: number, error: number): Mean {
  const half = Z95 * error;
  return { mean, interval: Number.isFinite(half) ? { low: mean - half, high: mean + half } : null };
}

/** The mean of the numbers of a row, in whole units of so many. */
function means(sums: Float64Array, row: number, runs: number, unit: number): Mean {
  if (runs === 0) return NO_MEAN;
  const { mean, error } = meanOf(sums, 3 * row, runs);
  return meanWith(mean / unit, error / unit);
}

function endingsOf(endings: readonly number[], minutes: Mean, cost: Mean): Endings {
  const runs = sum(endings);
  const [isolated = 0, wrong = 0, unresolved = 0] = endings;
  const share = (count: number) => wilsonInterval(count, runs) ?? null;
  return {
    runs,
    isolated,
    wrong,
    unresolved,
    shares: { isolated: share(isolated), wrong: share(wrong), unresolved: share(unresolved) },
    expectedMinutes: minutes.mean,
    minutesInterval: minutes.interval,
    expectedCost: cost.mean,
    costInterval: cost.interval,
  };
}

/** From the counts by minutes in rising order, so that the same counts give the same last digit. */
function timed(counts: FaultCounts): Timed {
  const rising = [...counts.minutes].sort(([a], [b]) => a - b);
  const runs = sum(rising.map(([, count]) => count));
  if (runs === 0) return { ...endingsOf(counts.endings, NO_MEAN, NO_MEAN), p95Minutes: null };
  const mean = sum(rising.map(([minutes, count]) => minutes * count)) / runs / 1000;
  const squares = sum(rising.map(([minutes, count]) => (minutes / 1000 - mean) ** 2 * count));
  const error = runs > 1 ? Math.sqrt(squares / (runs - 1) / runs) : Number.POSITIVE_INFINITY;
  let below = 0;
  const p95 = rising.find(([, count]) => {
    below += count;
    return below >= 0.95 * runs;
  });
  return {
    ...endingsOf(counts.endings, meanWith(mean, error), means(counts.costs, 0, runs, 100)),
    p95Minutes: p95 === undefined ? null : p95[0] / 1000,
  };
}
