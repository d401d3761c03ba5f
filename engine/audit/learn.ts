/**
 * What verified runs say about a procedure's numbers: Dirichlet distributions over faults and over the outcomes of
 * each row of evidence, with the author's numbers counting as so many runs.
 */
import type { FaultId, NodePath, Outcome, Procedure, Step, StepId } from "../procedure/model.ts";
import { tellingOutcomes } from "../reasoning/likelihood.ts";
import { betaQuantile } from "./beta-quantile.ts";
import { type Lesson, verifiableFaults } from "./lesson.ts";
import { learnedFaults } from "./prior-levels.ts";
import type { Interval } from "./wilson.ts";

/** One number of the text that verified runs speak of. */
export interface LearnedNumber {
  /** As written: a prior's weight, or P(outcome | fault). */
  readonly written: number;
  /** What the text should say; of the same scale as `written`. */
  readonly learned: number;
  /** 95 % (quantiles of the beta marginal), of that scale. */
  readonly interval: Interval;
  /** Runs that showed it, of those that could have. */
  readonly count: number;
  readonly of: number;
  readonly node: NodePath;
}

interface LearnedPrior extends LearnedNumber {
  readonly fault: FaultId;
}

interface LearnedShare extends LearnedNumber {
  readonly step: StepId;
  /** The row as written: a fault, or `otherwise` for those not named. */
  readonly row: FaultId;
  readonly outcome: Outcome;
}

export interface Learned {
  /** Lessons that speak of this procedure. */
  readonly lessons: number;
  /** Lessons of a fault that the procedure does not have: how many, by fault. */
  readonly otherFaults: ReadonlyMap<FaultId, number>;
  /** Lessons that say nothing of how common faults are: see {@link learn}. */
  readonly notOfPriors: number;
  readonly priors: readonly LearnedPrior[];
  readonly shares: readonly LearnedShare[];
}

/**
 * The numbers with runs behind them, in the order written; empty without lessons. `strength` is how many runs the
 * author's numbers count as, for the priors together and for each row of evidence.
 *
 * Only faults that a repair can be verified for take part: the others keep their weights, for no run could speak
 * for them. A run speaks for or against those alone that its own text could conclude (`prior-levels.ts`); it says
 * nothing of how common faults are where they fit with no other text's, or where its fault is not verified here. What
 * a row leaves to the outcomes it does not name is learned as one share. Rows that say `reads` and steps without a
 * row for a fault stay as they are.
 */
export function learn(procedure: Procedure, lessons: readonly Lesson[], strength: number): Learned {
  const known = lessons.filter(({ fault }) => procedure.faults.has(fault));
  const otherFaults = new Map<FaultId, number>();
  for (const { fault } of lessons)
    if (!procedure.faults.has(fault)) otherFaults.set(fault, (otherFaults.get(fault) ?? 0) + 1);
  return {
    lessons: known.length,
    otherFaults,
    ...learnPriors(procedure, known, strength),
    shares: [...procedure.steps.values()].flatMap((step) => learnStep(procedure, step, known, strength)),
  };
}

function learnPriors(
  procedure: Procedure,
  lessons: readonly Lesson[],
  strength: number,
): Pick<Learned, "priors" | "notOfPriors"> {
  const verified = verifiableFaults(procedure);
  const faults = [...procedure.faults.values()].filter(({ id }) => verified.has(id));
  const total = faults.reduce((sum, { prior }) => sum + prior, 0);
  const ours = lessons.filter(({ fault }) => verified.has(fault));
  const learned = learnedFaults(new Map(faults.map(({ id, prior }) => [id, prior])), ours, strength);
  return {
    notOfPriors: lessons.length - ours.length + learned.leftOut,
    priors: faults.flatMap((fault) => {
      const part = learned.faults.get(fault.id);
      if (part === undefined) return [];
      return {
        fault: fault.id,
        written: fault.prior,
        ...scaled(part, total),
        node: { file: fault.node.file, path: [...fault.node.path, "prior"] },
      };
    }),
  };
}

function learnStep(
  procedure: Procedure,
  step: Step,
  lessons: readonly Lesson[],
  strength: number,
): readonly LearnedShare[] {
  const { evidence } = step;
  if (evidence === undefined) return [];
  const rows = [...evidence.rows].map(([fault, row]) => ({
    name: fault,
    row,
    speaks: (of: FaultId) => of === fault,
  }));
  if (evidence.otherwise !== undefined)
    rows.push({
      name: "otherwise",
      row: evidence.otherwise,
      speaks: (of) => !evidence.rows.has(of) && !evidence.reads.has(of) && procedure.faults.has(of),
    });
  const outcomes = tellingOutcomes(step);
  return rows.flatMap(({ name, row, speaks }) => {
    const seen = lessons.flatMap((lesson) =>
      speaks(lesson.fault) ? (lesson.answers.get(step.id) ?? []) : [],
    );
    const named = [...row.keys()];
    const rest = outcomes.filter((outcome) => !row.has(outcome));
    const shares = named.map((outcome) => row.get(outcome) ?? 0);
    const counts = named.map((outcome) => seen.filter((one) => one === outcome).length);
    if (rest.length > 0) {
      shares.push(Math.max(0, 1 - shares.reduce((sum, share) => sum + share, 0)));
      counts.push(seen.filter((one) => rest.includes(one)).length);
    }
    const learned = dirichlet(shares, counts, strength);
    return named.flatMap((outcome, index) => {
      const share = learned?.[index];
      if (share === undefined) return [];
      return {
        step: step.id,
        row: name,
        outcome,
        written: row.get(outcome) ?? 0,
        ...scaled(share, 1),
        node: { file: evidence.node.file, path: [...evidence.node.path, name, outcome] },
      };
    });
  });
}

interface LearnedPart {
  readonly mean: number;
  readonly interval: Interval;
  readonly count: number;
  readonly of: number;
}

/** Mean and 95 % interval of each part; undefined where nothing was counted or the strength is 0 without counts. */
export function dirichlet(
  shares: readonly number[],
  counts: readonly number[],
  strength: number,
): readonly LearnedPart[] | undefined {
  const of = counts.reduce((sum, count) => sum + count, 0);
  if (of === 0) return undefined;
  const all = strength + of;
  return shares.map((share, index) => {
    const count = counts[index] ?? 0;
    const a = strength * share + count;
    // What rounding leaves of a certain share is no chance of anything else.
    const b = Math.max(0, all - a) < 1e-9 * all ? 0 : all - a;
    return {
      mean: a / all,
      interval: { low: betaQuantile(0.025, a, b), high: betaQuantile(0.975, a, b) },
      count,
      of,
    };
  });
}

function scaled({ mean, interval, count, of }: LearnedPart, by: number) {
  return {
    learned: mean * by,
    interval: { low: interval.low * by, high: interval.high * by },
    count,
    of,
  };
}
