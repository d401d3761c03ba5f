import type { Fault, FaultId } from "../procedure/model.ts";

/**
 * The priors as shares of the faults that are not struck, in the order written: how likely each is before any
 * answer. A prior of 0 is no fault that can be there; where all that are left have it, no fault is possible and
 * every share is 0. That all faults have it is a finding, and such a procedure is not run.
 */
export function priorShares(faults: Iterable<Fault>, struck: readonly FaultId[] = []): readonly number[] {
  return shares([...faults].map(({ id, prior }) => (struck.includes(id) ? 0 : prior)));
}

/** Weights scaled to sum to 1; all 0 where they sum to nothing. */
export function shares(weights: readonly number[]): readonly number[] {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  return total > 0 ? weights.map((weight) => weight / total) : weights.map(() => 0);
}
