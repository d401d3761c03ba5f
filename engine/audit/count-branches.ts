/** What the shop sees of a procedure: how often each branch was taken, how long it took, how runs ended. */
import { END_WORDS, type EndWord, type Outcome, type Procedure, type StepId } from "../procedure/model.ts";
import { findMedian, type Weighted } from "./median.ts";
import { type Interval, wilsonInterval } from "./wilson.ts";

/** So many traversals of one branch that took the same time: one traversal, or a row of a rollup. */
export interface BranchTally {
  readonly step: StepId;
  readonly outcome: Outcome;
  /** Whole seconds; absent where the time is not known. */
  readonly seconds?: number;
  readonly count: number;
}

/** So many runs that ended alike and took the same time. */
export interface RunTally {
  /** Absent while a run is open. */
  readonly end?: EndWord;
  /** Whole seconds from opening to end; absent while a run is open. */
  readonly seconds?: number;
  readonly count: number;
}

export interface BranchCount {
  readonly step: StepId;
  readonly outcome: Outcome;
  /** Where the branch may lead, in the order written; empty for a branch the procedure no longer has. */
  readonly goto: readonly StepId[];
  /** `written` by the author, `implied` by the format, or `gone`: counted under a text that had it. */
  readonly origin: "written" | "implied" | "gone";
  readonly count: number;
  /** Of the times that this step gave an outcome; absent where it never did. */
  readonly share?: number;
  /** 95 % (Wilson). Visits of one run are taken as independent. */
  readonly interval?: Interval;
  /** Seconds. */
  readonly median?: number;
}

export interface BranchAudit {
  readonly procedure: string;
  readonly revision: number;
  /** Every run begun. */
  readonly runs: number;
  /** Runs that came to an end. */
  readonly ended: number;
  /** Every end word, the ones never met included. */
  readonly ends: readonly { readonly end: EndWord; readonly count: number }[];
  /** Minutes from opening to end, of the ended runs. */
  readonly medianMinutes?: number;
  /** In the order written, never-taken ones included; behind them the ones that are gone. */
  readonly branches: readonly BranchCount[];
}

/** Counts, shares, intervals and median times of each branch, and of the runs. */
export function countBranches(
  procedure: Procedure,
  traversals: Iterable<BranchTally>,
  runs: Iterable<RunTally>,
): BranchAudit {
  const counted = gatherBranches(traversals);
  return {
    procedure: procedure.id,
    revision: procedure.revision,
    ...countRuns(runs),
    branches: [...writtenBranches(procedure, counted), ...goneBranches(procedure, counted)],
  };
}

type Gathered = ReadonlyMap<StepId, ReadonlyMap<Outcome, Weighted[]>>;

/** Times by step and outcome; a time not known is a NaN. */
function gatherBranches(traversals: Iterable<BranchTally>): Gathered {
  const steps = new Map<StepId, Map<Outcome, Weighted[]>>();
  for (const { step, outcome, seconds, count } of traversals) {
    const outcomes = steps.get(step) ?? new Map<Outcome, Weighted[]>();
    const times = outcomes.get(outcome) ?? [];
    times.push({ value: seconds ?? Number.NaN, count });
    outcomes.set(outcome, times);
    steps.set(step, outcomes);
  }
  return steps;
}

function* writtenBranches(procedure: Procedure, counted: Gathered): Iterable<BranchCount> {
  for (const step of procedure.steps.values()) {
    const outcomes = counted.get(step.id);
    const visits = countVisits(outcomes);
    for (const branch of step.outcomes.values()) {
      const goto = [
        ...branch.arms.map((arm) => arm.goto),
        ...(branch.else === undefined ? [] : [branch.else]),
      ];
      yield {
        step: step.id,
        outcome: branch.outcome,
        goto: [...new Set(goto)],
        origin: branch.implied ? "implied" : "written",
        ...countBranch(outcomes?.get(branch.outcome) ?? [], visits),
      };
    }
  }
}

function* goneBranches(procedure: Procedure, counted: Gathered): Iterable<BranchCount> {
  for (const [step, outcomes] of counted) {
    const visits = countVisits(outcomes);
    const written = procedure.steps.get(step)?.outcomes;
    for (const [outcome, times] of outcomes) {
      if (written?.has(outcome)) continue;
      yield { step, outcome, goto: [], origin: "gone", ...countBranch(times, visits) };
    }
  }
}

function countVisits(outcomes: ReadonlyMap<Outcome, readonly Weighted[]> | undefined): number {
  let visits = 0;
  for (const times of outcomes?.values() ?? []) visits += sum(times);
  return visits;
}

function countBranch(times: readonly Weighted[], visits: number) {
  const count = sum(times);
  const interval = wilsonInterval(count, visits);
  const median = findMedian(times.filter((each) => !Number.isNaN(each.value)));
  return {
    count,
    ...(interval === undefined ? {} : { share: count / visits, interval }),
    ...(median === undefined ? {} : { median }),
  };
}

function countRuns(runs: Iterable<RunTally>) {
  const tallies = [...runs];
  const ended = tallies.filter((each) => each.end !== undefined);
  const times = ended.flatMap(({ seconds, count }) =>
    seconds === undefined ? [] : [{ value: seconds, count }],
  );
  const median = findMedian(times);
  return {
    runs: sum(tallies),
    ended: sum(ended),
    ends: END_WORDS.map((end) => ({ end, count: sum(ended.filter((each) => each.end === end)) })),
    ...(median === undefined ? {} : { medianMinutes: median / 60 }),
  };
}

function sum(each: readonly { readonly count: number }[]): number {
  return each.reduce((total, { count }) => total + count, 0);
}
