/** What a walk can still meet from where it stands: only that need be remembered of its past. */
import { ASKS, type BulkProcedure, CALLS, CONCLUDES } from "./bulk-procedure.ts";

export interface StillToCome {
  /** Steps that may be stood at from this one on, itself included. */
  readonly steps: ReadonlySet<number>;
  /** Branches that may be taken from this step on. */
  readonly branches: ReadonlySet<number>;
}

/** Looks ahead from a step; reckoned when first asked for. A conclusion ends the walk. */
export function stillToCome(bulk: BulkProcedure): (step: number) => StillToCome {
  const known = new Map<number, StillToCome>();
  return (step) => {
    const seen = known.get(step);
    if (seen !== undefined) return seen;
    const ahead = lookAhead(bulk, step);
    known.set(step, ahead);
    return ahead;
  };
}

function lookAhead(bulk: BulkProcedure, from: number): StillToCome {
  const steps = new Set<number>();
  const branches = new Set<number>();
  const waiting = [from];
  const follow = (branch: number): void => {
    if (branches.has(branch)) return;
    branches.add(branch);
    for (let arm = bulk.firstArm[branch] ?? 0; arm < (bulk.firstArm[branch + 1] ?? 0); arm += 1)
      waiting.push(bulk.armTo[arm] ?? -1);
    if ((bulk.atMost[branch] ?? -1) >= 0) waiting.push(bulk.elseTo[branch] ?? -1);
    const cannot = bulk.cannot[bulk.branchStep[branch] ?? -1] ?? -1;
    if (cannot >= 0) follow(cannot);
  };
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (at < 0 || steps.has(at)) continue;
    steps.add(at);
    const kind = bulk.kind[at];
    if (kind === CONCLUDES) continue;
    waiting.push(bulk.giveUp);
    if (kind === CALLS) waiting.push(bulk.next[at] ?? -1);
    else if (kind === ASKS)
      for (let branch = bulk.firstBranch[at] ?? 0; branch < (bulk.firstBranch[at + 1] ?? 0); branch += 1)
        follow(branch);
    else if ((bulk.returnBranch[at] ?? -1) >= 0) follow(bulk.returnBranch[at] ?? -1);
  }
  return { steps, branches };
}
