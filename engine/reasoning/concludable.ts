import { type BulkProcedure, CALLS, CONCLUDES, ENDS } from "./bulk-procedure.ts";

/**
 * 1 for each branch from which a conclusion can be reached, `cannot` and `stop` left out; for a step where no
 * branch is so, 1 for all of its branches that somebody wrote.
 */
export function concludable(bulk: BulkProcedure): Uint8Array {
  const reaching = reachingConclusion(bulk);
  const open = new Uint8Array(bulk.branches.length);
  for (const [at] of bulk.steps.entries()) {
    const first = bulk.firstBranch[at] ?? 0;
    const last = bulk.firstBranch[at + 1] ?? first;
    let any = false;
    for (let branch = first; branch < last; branch += 1)
      if (bulk.silent[branch] === 0 && targets(bulk, branch).some((to) => reaching[to] === 1)) {
        open[branch] = 1;
        any = true;
      }
    if (!any)
      for (let branch = first; branch < last; branch += 1) open[branch] = bulk.silent[branch] === 0 ? 1 : 0;
  }
  return open;
}

/** Where a branch can lead, its `else` left out: that is for later. */
function targets(bulk: BulkProcedure, branch: number): readonly number[] {
  return [...bulk.armTo.slice(bulk.firstArm[branch], bulk.firstArm[branch + 1])];
}

function reachingConclusion(bulk: BulkProcedure): Uint8Array {
  const reaching = new Uint8Array(bulk.steps.length);
  const before = new Map<number, number[]>();
  const note = (to: number, from: number) => {
    const known = before.get(to);
    if (known === undefined) before.set(to, [from]);
    else known.push(from);
  };
  for (const [at] of bulk.steps.entries()) {
    const kind = bulk.kind[at];
    if (kind === CALLS) note(bulk.next[at] ?? -1, at);
    else if (kind === ENDS) {
      const back = bulk.returnBranch[at] ?? -1;
      if (back >= 0) for (const to of targets(bulk, back)) note(to, at);
    } else
      for (let branch = bulk.firstBranch[at] ?? 0; branch < (bulk.firstBranch[at + 1] ?? 0); branch += 1)
        if (bulk.silent[branch] === 0) for (const to of targets(bulk, branch)) note(to, at);
  }
  const waiting = [...bulk.steps.keys()].filter((at) => bulk.kind[at] === CONCLUDES);
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (reaching[at] === 1) continue;
    reaching[at] = 1;
    for (const from of before.get(at) ?? []) waiting.push(from);
  }
  return reaching;
}
