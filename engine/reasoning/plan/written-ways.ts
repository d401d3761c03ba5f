/**
 * The ways through the written order to a conclusion or an end, with their minutes and how likely each fault comes
 * by them: the exact counterpart of a rehearsal without slips. The complaint is present; a step without evidence
 * takes those outcomes from which a conclusion can be reached; a step looked at again shows the same. Readings count
 * by the shares of their bands, the meter's own error left out.
 */
import { ASKS, type BulkProcedure, CONCLUDES } from "../bulk-procedure.ts";
import { type BulkWalk, blankWalk, closedMinutes, openWalk, stepWalk } from "../bulk-walk.ts";
import { type FaultModel, faultModel } from "../fault-model.ts";
import { type RehearsedArms, rehearsedArms } from "../rehearsed-arms.ts";

/** What was met on a way: a step that showed something, or a fact or condition that turned out one way. */
export type Passed =
  | { readonly step: number; readonly outcome: number }
  | {
      /** `fact 3`, or `arm 12` for a branch whose condition hangs on a reading: both by number. */
      readonly drawn: string;
      readonly value: number;
      /** So many values are alike. */
      readonly many: number;
      /** The branch that hangs on it, by number. */
      readonly branch: number;
    };

export interface WrittenWay {
  /** P(fault and this way), fault by fault. */
  readonly weights: Float64Array;
  /** To the conclusion or end: steps, waits, set-ups, putting back; no repair. */
  readonly minutes: number;
  /** The conclusion or end it leads to; -1 where it was left because nobody walks so far. */
  readonly step: number;
  /** In the order met, each step and each draw the first time. */
  readonly passed: readonly Passed[];
  /** A step that it comes to once more. */
  readonly again?: number;
  /** It was left after more steps than any way that ends has: something leads round for ever. */
  readonly endless?: true;
}

interface Chosen {
  /** Values of facts and arms of branches drawn so far: keys of both kinds. */
  readonly draws: ReadonlyMap<string, number>;
  /** Steps walked so far. */
  readonly steps: number;
  /** What each step has shown so far. */
  readonly shown: ReadonlyMap<number, number>;
  readonly last?: Link;
  readonly again?: number;
}

/** What was met, the last first: ways share what they have in common. */
interface Link {
  readonly passed: Passed;
  readonly before: Link | undefined;
}

const MOST_VISITS = 60_000;
/** Few enough for the stack: a way is walked by recursion. */
const LONGEST = 600;
/** Ways rarer than this are left out; what is left is taken for the whole. */
const RAREST = 1e-9;

export function writtenWays(bulk: BulkProcedure): readonly WrittenWay[] {
  const model = faultModel(bulk);
  const arms = rehearsedArms(bulk);
  const ways: WrittenWay[] = [];
  let visits = 0;

  const on = (walk: BulkWalk, weights: Float64Array, chosen: Chosen): void => {
    const kind = walk.end >= 0 || walk.step < 0 ? CONCLUDES : bulk.kind[walk.step];
    visits += 1;
    const endless = kind === ASKS && chosen.steps > LONGEST;
    if (kind === ASKS && visits <= MOST_VISITS && !endless) {
      answer(walk, weights, chosen);
      return;
    }
    ways.push({
      weights,
      minutes: closedMinutes(bulk, walk),
      step: kind === ASKS ? -1 : walk.step,
      passed: listed(chosen.last),
      ...(chosen.again === undefined ? {} : { again: chosen.again }),
      ...(endless ? { endless } : {}),
    });
  };

  const answer = (walk: BulkWalk, weights: Float64Array, chosen: Chosen): void => {
    const at = walk.step;
    const given = chosen.shown.get(at);
    for (const [outcome] of (bulk.outcomes[at] ?? []).entries()) {
      if (given !== undefined && given !== outcome) continue;
      const left =
        given !== undefined
          ? weights
          : weights.map((weight, fault) => weight * shareOf(model, fault, at, outcome));
      if (!left.some((weight) => weight > RAREST)) continue;
      const next =
        given !== undefined
          ? { ...chosen, again: at }
          : {
              ...chosen,
              shown: new Map([...chosen.shown, [at, outcome]]),
              last: { passed: { step: at, outcome }, before: chosen.last },
            };
      split(
        bulk,
        arms,
        next,
        (choose) => {
          const after = copyWalk(walk);
          stepWalk(bulk, after, outcome, choose);
          return after;
        },
        (after, drawn, share) => on(after, scaled(left, share), { ...drawn, steps: chosen.steps + 1 }),
      );
    }
  };

  const { priors } = model;
  const weights = Float64Array.from(priors, (sum, fault) => sum - (fault > 0 ? (priors[fault - 1] ?? 0) : 0));
  split(
    bulk,
    arms,
    { draws: new Map(), steps: 0, shown: new Map() },
    (choose) => {
      const walk = blankWalk(bulk);
      openWalk(bulk, walk, choose);
      return walk;
    },
    (walk, drawn, share) => on(walk, scaled(weights, share), drawn),
  );
  return ways;
}

function listed(last: Link | undefined): readonly Passed[] {
  const passed: Passed[] = [];
  for (let link = last; link !== undefined; link = link.before) passed.push(link.passed);
  return passed.reverse();
}

/** Minutes to the conclusion on average. */
export function meanMinutes(ways: readonly WrittenWay[]): number {
  let sum = 0;
  let mass = 0;
  for (const way of ways) {
    const share = way.weights.reduce((all, weight) => all + weight, 0);
    sum += share * way.minutes;
    mass += share;
  }
  return mass > 0 ? sum / mass : 0;
}

/** P(outcome | fault) of a step. */
export function shareOf(model: FaultModel, fault: number, step: number, outcome: number): number {
  const sums = model.rows[fault]?.[step];
  return sums === undefined ? 0 : (sums[outcome] ?? 0) - (outcome > 0 ? (sums[outcome - 1] ?? 0) : 0);
}

function copyWalk(walk: BulkWalk): BulkWalk {
  return {
    ...walk,
    struck: walk.struck.slice(),
    taken: walk.taken.slice(),
    hops: [...walk.hops],
    counted: [...walk.counted],
  };
}

/**
 * Does a piece of walk once for each way that facts and open conditions can turn it: `go` may ask for arms, `next`
 * gets each result with what was drawn and its share.
 */
function split(
  bulk: BulkProcedure,
  arms: RehearsedArms,
  chosen: Chosen,
  go: (choose: (branch: number) => number) => BulkWalk,
  next: (walk: BulkWalk, chosen: Chosen, share: number) => void,
  share = 1,
): void {
  const open: { readonly key: string; readonly many: number; readonly branch: number }[] = [];
  const drawn = (key: string, many: number, branch: number): number => {
    const known = chosen.draws.get(key);
    if (known !== undefined || many <= 1) return known ?? 0;
    open.push({ key, many, branch });
    return 0;
  };
  const walk = go((branch) => {
    const arm = arms.arm(
      branch,
      (fact) => drawn(`fact ${fact}`, arms.facts[fact]?.values.length ?? 1, branch),
      {
        reading: nothing,
        value: nothing,
        taken: (id) => chosen.shown.has(bulk.indexOf.get(id) ?? -1),
      },
    );
    const many = (bulk.firstArm[branch + 1] ?? 0) - (bulk.firstArm[branch] ?? 0);
    return arm === "open" ? drawn(`arm ${branch}`, many, branch) : arm;
  });
  const [first] = open;
  if (first === undefined) {
    next(walk, chosen, share);
    return;
  }
  const { key, many, branch } = first;
  for (let value = 0; value < many; value += 1)
    split(
      bulk,
      arms,
      {
        ...chosen,
        draws: new Map([...chosen.draws, [key, value]]),
        last: { passed: { drawn: key, value, many, branch }, before: chosen.last },
      },
      go,
      next,
      share / many,
    );
}

const nothing = () => undefined;

function scaled(weights: Float64Array, share: number): Float64Array {
  return share === 1 ? weights : weights.map((weight) => weight * share);
}
