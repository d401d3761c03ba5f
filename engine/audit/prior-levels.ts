/**
 * How common faults are, by runs whose texts could not all conclude the same faults.
 *
 * A run that was verified on a text shows which of the faults that this text can conclude it was, and nothing of
 * the others. A Dirichlet distribution falls into independent ones: of a set of faults against each fault outside
 * it, and of the faults within. So runs of a text that knows fewer faults count within its set alone. Sets are
 * taken from the largest down, each within the one before; a set that fits in none is left out, and told.
 */
import type { FaultId } from "../procedure/model.ts";
import { betaQuantile } from "./beta-quantile.ts";
import type { Interval } from "./wilson.ts";

/** A verified fault, among those that the run's text could have concluded. */
export interface VerifiedFault {
  readonly fault: FaultId;
  readonly could: ReadonlySet<FaultId>;
}

export interface LearnedFault {
  /** Share among all the faults. */
  readonly mean: number;
  /** 95 %: of a beta distribution with the same mean and variance, which it is where all texts know the same faults. */
  readonly interval: Interval;
  /** Runs that showed it, of those whose text could have concluded it. */
  readonly count: number;
  readonly of: number;
}

/**
 * The shares of faults by their written weights, which count as `strength` runs, and by verified runs. A fault that
 * no counted run could have shown is undefined. `leftOut` runs know one of them alone, or faults that fit with no
 * other text's.
 */
export function learnedFaults(
  weights: ReadonlyMap<FaultId, number>,
  runs: readonly VerifiedFault[],
  strength: number,
): { readonly faults: ReadonlyMap<FaultId, LearnedFault>; readonly leftOut: number } {
  const known = runs.flatMap(({ fault, could }) =>
    weights.has(fault) ? { fault, could: [...weights.keys()].filter((id) => could.has(id)) } : [],
  );
  // A text that could conclude one fault of several says nothing of how they are to each other.
  const tells = (could: readonly FaultId[]) => could.length > 1 || weights.size === 1;
  const levels = nested(
    [...weights.keys()],
    known.flatMap(({ could }) => (tells(could) ? [could] : [])),
  );
  const levelOf = (could: readonly FaultId[]) =>
    levels.findIndex((level) => level.size === could.length && could.every((id) => level.has(id)));
  const counted = known.flatMap(({ fault, could }) => {
    const level = levelOf(could);
    return level < 0 ? [] : { fault, level };
  });
  const total = [...weights.values()].reduce((sum, weight) => sum + weight, 0);
  const pseudo = (ids: Iterable<FaultId>) =>
    [...ids].reduce((sum, id) => sum + (total > 0 ? (strength * (weights.get(id) ?? 0)) / total : 0), 0);
  const faults = new Map<FaultId, LearnedFault>();
  let block = { mean: 1, square: 1 };
  for (const [number, level] of levels.entries()) {
    const inner = levels[number + 1] ?? new Set<FaultId>();
    const here = counted.filter((run) => run.level <= number && level.has(run.fault));
    const all = pseudo(level) + here.length;
    const part = (ids: readonly FaultId[]) => {
      const a = pseudo(ids) + here.filter(({ fault }) => ids.includes(fault)).length;
      const mean = all > 0 ? a / all : 0;
      return {
        mean: block.mean * mean,
        // E[p²] of a beta distribution; those of independent ones multiply.
        square: block.square * (all > 0 ? (mean * (a + 1)) / (all + 1) : 0),
      };
    };
    const could = counted.filter((run) => run.level <= number).length;
    for (const id of level) {
      if (inner.has(id) || could === 0) continue;
      const { mean, square } = part([id]);
      const count = counted.filter(({ fault }) => fault === id).length;
      faults.set(id, { mean, interval: intervalOf(mean, square - mean * mean), count, of: could });
    }
    block = part([...inner]);
  }
  return { faults, leftOut: known.length - counted.length };
}

/** The sets that lie within each other, all faults first; of several as large, the one that more runs know. */
function nested(
  all: readonly FaultId[],
  sets: readonly (readonly FaultId[])[],
): readonly ReadonlySet<FaultId>[] {
  const runs = new Map<string, number>();
  for (const set of sets) runs.set(JSON.stringify(set), (runs.get(JSON.stringify(set)) ?? 0) + 1);
  const largest = [...runs].toSorted(
    ([one, first], [other, second]) =>
      JSON.parse(other).length - JSON.parse(one).length || second - first || (one < other ? -1 : 1),
  );
  const levels: ReadonlySet<FaultId>[] = [new Set(all)];
  for (const [key] of largest) {
    const ids: readonly FaultId[] = JSON.parse(key);
    const last = levels.at(-1);
    if (last !== undefined && ids.length < last.size && ids.every((id) => last.has(id)))
      levels.push(new Set(ids));
  }
  return levels;
}

function intervalOf(mean: number, variance: number): Interval {
  // What rounding leaves of a certain share is no chance of anything else.
  if (!(variance > 1e-15)) return { low: mean, high: mean };
  const runs = (mean * (1 - mean)) / variance - 1;
  const [a, b] = [mean * runs, (1 - mean) * runs];
  return { low: betaQuantile(0.025, a, b), high: betaQuantile(0.975, a, b) };
}
