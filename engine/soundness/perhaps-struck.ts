import type { FaultId } from "../procedure/model.ts";
import type { Flow } from "./flow.ts";

/** Steps that may be looked at for all conclusions together; past that a conclusion counts as one of these. */
const MOST_STEPS = 20_000_000;

/**
 * Of the conclusions asked about, those of several faults to which a run can come behind a repair of some of them:
 * where that repair did not help, its fault is struck and adds nothing to the proof of the others. A run whose
 * failed repair was for all of them is left out. Never too few; which run it is, only the run itself tells.
 */
export function perhapsStruck(
  flow: Flow,
  walked: Uint8Array,
  asked: ReadonlySet<number>,
): ReadonlySet<number> {
  const repairedFor = new Map<FaultId, number[]>();
  for (const [index, step] of flow.steps.entries()) {
    if (step.kind !== "conclude" || step.verify === undefined) continue;
    for (const fault of step.faults) {
      const known = repairedFor.get(fault);
      if (known === undefined) repairedFor.set(fault, [index]);
      else known.push(index);
    }
  }
  const found = new Set<number>();
  let left = MOST_STEPS;
  for (const index of asked) {
    const step = flow.steps[index];
    if (step?.kind !== "conclude" || step.faults.length < 2) continue;
    const some = new Set(
      step.faults
        .flatMap((fault) => repairedFor.get(fault) ?? [])
        .filter((other) => {
          const struck = flow.steps[other];
          return struck?.kind === "conclude" && !step.faults.every((fault) => struck.faults.includes(fault));
        }),
    );
    if (some.size === 0) continue;
    left -= flow.steps.length;
    if (left < 0 || comesBehind(flow, walked, index, some)) found.add(index);
  }
  return found;
}

function comesBehind(flow: Flow, walked: Uint8Array, target: number, some: ReadonlySet<number>): boolean {
  const seen = new Set<number>();
  const waiting = [target];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop())
    for (const id of flow.into[at] ?? []) {
      const from = flow.edges[id]?.from ?? -1;
      if (walked[id] === 0 || seen.has(from)) continue;
      if (some.has(from)) return true;
      seen.add(from);
      waiting.push(from);
    }
  return false;
}
