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

/** What each step has shown so far: outcomes by number, steps by number, in the order asked. */
export type Shown = ReadonlyMap<number, number>;

export interface WrittenWay {
  /** P(fault and this way), fault by fault. */
  readonly weights: Float64Array;
  /** To the conclusion or end: steps, waits, set-ups, putting back; no repair. */
  readonly minutes: number;
  /** The conclusion or end it leads to; -1 where it was left because nobody walks so far. */
  readonly step: number;
  readonly shown: Shown;
  /** It was left after more steps than any way that ends has: something leads round for ever. */
  readonly endless?: true;
}

/** Somebody who watches the walk and may change it before a step is answered. */
export interface WayGuide {
  /** Called where a step is open. May change the walk; `done` ends the way here. */
  readonly before?: (walk: BulkWalk, shown: Shown, weights: Float64Array) => readonly Turned[] | undefined;
}

/** One continuation that a guide gives instead of the written one. */
export interface Turned {
  readonly walk: BulkWalk;
  readonly weights: Float64Array;
  readonly shown: Shown;
  /** The way ends here. */
  readonly done: boolean;
}

interface Chosen {
  /** Values of facts and arms of branches drawn so far: keys of both kinds. */
  readonly draws: ReadonlyMap<string, number>;
  /** Steps walked so far. */
  readonly steps: number;
}

const MOST_VISITS = 60_000;
/** Few enough for the stack: a way is walked by recursion. */
const LONGEST = 600;
/** Ways rarer than this are left out; what is left is taken for the whole. */
const RAREST = 1e-9;

export function writtenWays(bulk: BulkProcedure, guide: WayGuide = {}): readonly WrittenWay[] {
  const model = faultModel(bulk);
  const arms = rehearsedArms(bulk);
  const ways: WrittenWay[] = [];
  let visits = 0;

  const on = (walk: BulkWalk, weights: Float64Array, shown: Shown, chosen: Chosen): void => {
    const kind = walk.end >= 0 || walk.step < 0 ? CONCLUDES : bulk.kind[walk.step];
    visits += 1;
    const endless = kind === ASKS && chosen.steps > LONGEST;
    if (kind !== ASKS || visits > MOST_VISITS || endless) {
      ways.push({
        weights,
        minutes: closedMinutes(bulk, walk),
        step: kind === ASKS ? -1 : walk.step,
        shown,
        ...(endless ? { endless } : {}),
      });
      return;
    }
    const turned = guide.before?.(walk, shown, weights);
    if (turned === undefined) answer(walk, weights, shown, chosen);
    else
      for (const way of turned)
        if (way.done)
          ways.push({
            weights: way.weights,
            minutes: closedMinutes(bulk, way.walk),
            step: way.walk.step,
            shown: way.shown,
          });
        else answer(way.walk, way.weights, way.shown, chosen);
  };

  const answer = (walk: BulkWalk, weights: Float64Array, shown: Shown, chosen: Chosen): void => {
    const at = walk.step;
    const given = shown.get(at);
    for (const [outcome] of (bulk.outcomes[at] ?? []).entries()) {
      if (given !== undefined && given !== outcome) continue;
      const left =
        given !== undefined
          ? weights
          : weights.map((weight, fault) => weight * shareOf(model, fault, at, outcome));
      if (!left.some((weight) => weight > RAREST)) continue;
      const next = given !== undefined ? shown : new Map([...shown, [at, outcome]]);
      split(
        bulk,
        arms,
        chosen,
        next,
        (choose) => {
          const after = copyWalk(walk);
          stepWalk(bulk, after, outcome, choose);
          return after;
        },
        (after, draws, share) => on(after, scaled(left, share), next, { draws, steps: chosen.steps + 1 }),
      );
    }
  };

  const { priors } = model;
  const weights = Float64Array.from(priors, (sum, fault) => sum - (fault > 0 ? (priors[fault - 1] ?? 0) : 0));
  split(
    bulk,
    arms,
    { draws: new Map(), steps: 0 },
    new Map(),
    (choose) => {
      const walk = blankWalk(bulk);
      openWalk(bulk, walk, choose);
      return walk;
    },
    (walk, draws, share) => on(walk, scaled(weights, share), new Map(), { draws, steps: 0 }),
  );
  return ways;
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

export function copyWalk(walk: BulkWalk): BulkWalk {
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
  shown: Shown,
  go: (choose: (branch: number) => number) => BulkWalk,
  next: (walk: BulkWalk, draws: ReadonlyMap<string, number>, share: number) => void,
  share = 1,
): void {
  const open: { readonly key: string; readonly many: number }[] = [];
  const drawn = (key: string, many: number): number => {
    const known = chosen.draws.get(key);
    if (known !== undefined || many <= 1) return known ?? 0;
    open.push({ key, many });
    return 0;
  };
  const walk = go((branch) => {
    const arm = arms.arm(branch, (fact) => drawn(`fact ${fact}`, arms.facts[fact]?.values.length ?? 1), {
      reading: nothing,
      value: nothing,
      taken: (id) => shown.has(bulk.indexOf.get(id) ?? -1),
    });
    const many = (bulk.firstArm[branch + 1] ?? 0) - (bulk.firstArm[branch] ?? 0);
    return arm === "open" ? drawn(`arm ${branch}`, many) : arm;
  });
  const [first] = open;
  if (first === undefined) {
    next(walk, chosen.draws, share);
    return;
  }
  for (let value = 0; value < first.many; value += 1)
    split(
      bulk,
      arms,
      { ...chosen, draws: new Map([...chosen.draws, [first.key, value]]) },
      shown,
      go,
      next,
      share / first.many,
    );
}

const nothing = () => undefined;

function scaled(weights: Float64Array, share: number): Float64Array {
  return share === 1 ? weights : weights.map((weight) => weight * share);
}
