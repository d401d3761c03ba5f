/**
 * The written order with some steps asked sooner, and what that saves. Each saving is reckoned by walking the whole
 * order anew: the moved step is asked in front of the other wherever that comes up, its answer is kept for where it
 * was written, and what it proves is concluded at once.
 */
import type { BulkWalk } from "../bulk-walk.ts";
import { faultModel } from "../fault-model.ts";
import type { ProcedurePlan } from "./plan-problem.ts";
import { TINY } from "./plan-space.ts";
import { copyWalk, meanMinutes, type Shown, shareOf, type Turned, writtenWays } from "./written-ways.ts";

/** Test `ask` in front of test `before`: both by number. */
export interface PlanMove {
  readonly ask: number;
  readonly before: number;
}

export interface PricedMove extends PlanMove {
  /** Minutes on average that it saves, on top of the moves before it. */
  readonly saves: number;
}

/** Less than this is not worth a change of what people are used to. */
const LEAST_SAVED = 0.05;
const MOST_MOVES = 5;
/** Steps walked in one round of trying moves. */
const MOST_WALKED = 200_000;

/**
 * The moves that save most, one after the other, each the best on top of those before. It ends where the next would
 * bring less than a twentieth of what all of them bring, so that the few that matter stand out.
 */
export function bestMoves(plan: ProcedurePlan): readonly PricedMove[] {
  const chosen: PricedMove[] = [];
  let minutes = meanMinutes(plan.written);
  const start = minutes;
  const candidates = candidatesOf(plan);
  // Each is a walk of the whole order: of an order with very many ways only so many are tried.
  const each = plan.written.reduce((sum, { shown }) => sum + shown.size, 1);
  candidates.splice(Math.ceil(MOST_WALKED / each));
  while (chosen.length < MOST_MOVES) {
    let best: PricedMove | undefined;
    for (const move of candidates) {
      if (chosen.some((one) => one.ask === move.ask)) continue;
      const saves = minutes - minutesWithMoves(plan, [...chosen, move]);
      if (saves > (best?.saves ?? LEAST_SAVED)) best = { ...move, saves };
    }
    if (best === undefined || best.saves < (start - minutes + best.saves) / 20) break;
    chosen.push(best);
    minutes -= best.saves;
  }
  return chosen;
}

/** Minutes to the conclusion on average when these moves are made in the written order. */
export function minutesWithMoves(plan: ProcedurePlan, moves: readonly PlanMove[]): number {
  const { bulk, planned, problem } = plan;
  const model = faultModel(bulk);
  const asked = (shown: Shown, test: number) =>
    planned[test]?.walked.some((walked) => walked.every(({ step }) => shown.has(step))) === true;
  const proven = (weights: Float64Array): boolean => {
    const mass = weights.reduce((sum, weight) => sum + weight, 0);
    return problem.groups.some(
      (group) =>
        group.reduce((sum, fault) => sum + (weights[fault] ?? 0), 0) >= mass * (problem.certainty - TINY),
    );
  };
  const due = (step: number, shown: Shown): number | undefined =>
    moves.find(
      ({ ask, before }) =>
        entryOf(plan, before) === step &&
        !asked(shown, ask) &&
        (problem.tests[ask]?.after ?? []).every((one) => asked(shown, one)),
    )?.ask;

  /** The tests due here asked, one after the other; the walk stands at its step again afterwards. */
  const ask = (walk: BulkWalk, shown: Shown, weights: Float64Array): readonly Turned[] => {
    const test = due(walk.step, shown);
    if (test === undefined) return [{ walk, shown, weights, done: false }];
    return (planned[test]?.walked ?? []).flatMap((walked) => {
      const left = weights.map((weight, fault) =>
        walked.reduce((p, { step, outcome }) => p * shareOf(model, fault, step, outcome), weight),
      );
      if (!left.some((weight) => weight > 0)) return [];
      const next = copyWalk(walk);
      unprepare(next);
      for (const { step } of walked) {
        next.minutes += bulk.setUps.minutes(step, next.made, false) + (bulk.minutes[step] ?? 0);
        next.made = bulk.setUps.after(step, next.made, false);
      }
      next.minutesBefore = next.minutes;
      next.madeBefore = next.made;
      const seen = new Map([...shown, ...walked.map(({ step, outcome }) => [step, outcome] as const)]);
      if (proven(left)) return [{ walk: next, shown: seen, weights: left, done: true }];
      next.minutes += bulk.setUps.minutes(next.step, next.made, next.clearing);
      next.made = bulk.setUps.after(next.step, next.made, next.clearing);
      return ask(next, seen, left);
    });
  };

  const ways = writtenWays(bulk, {
    before: (walk, shown, weights) => {
      // What was asked sooner is not asked again: its answer leads on at once.
      if (shown.has(walk.step) && moves.some((move) => walkedBy(plan, move.ask, walk.step))) {
        const next = copyWalk(walk);
        unprepare(next);
        next.minutes -= bulk.minutes[next.step] ?? 0;
        return [{ walk: next, shown, weights, done: false }];
      }
      return due(walk.step, shown) === undefined ? undefined : ask(walk, shown, weights);
    },
  });
  return meanMinutes(ways);
}

/** Back to before the set-ups of the step it stands at. */
function unprepare(walk: BulkWalk): void {
  walk.minutes = walk.minutesBefore;
  walk.made = walk.madeBefore;
}

function walkedBy({ planned }: ProcedurePlan, test: number, step: number): boolean {
  return planned[test]?.walked.some((walked) => walked.some((one) => one.step === step)) === true;
}

/** The first step of a test. */
function entryOf({ planned }: ProcedurePlan, test: number): number | undefined {
  return planned[test]?.walked[0]?.[0]?.step;
}

/** Moves of a step in front of one that comes before it on some way, where nothing forbids it. */
function candidatesOf(plan: ProcedurePlan): PlanMove[] {
  const { problem, written } = plan;
  const place = (shown: Shown, test: number): number => [...shown.keys()].indexOf(entryOf(plan, test) ?? -1);
  return problem.tests.flatMap((_, ask) =>
    problem.tests.flatMap((__, before) => {
      if (ask === before || waitsFor(problem.tests, ask, before)) return [];
      const comesFirst = written.some(({ shown }) => {
        const at = place(shown, before);
        const later = place(shown, ask);
        return at >= 0 && (later < 0 || later > at);
      });
      return comesFirst ? [{ ask, before }] : [];
    }),
  );
}

function waitsFor(tests: ProcedurePlan["problem"]["tests"], test: number, other: number): boolean {
  const seen = new Set<number>();
  const waiting = [test];
  for (let one = waiting.pop(); one !== undefined; one = waiting.pop()) {
    if (seen.has(one)) continue;
    seen.add(one);
    waiting.push(...(tests[one]?.after ?? []));
  }
  return seen.has(other);
}
