import type { FaultId, Step } from "../procedure/model.ts";
import { saysTheSame } from "./evidence-table.ts";
import type { Flow } from "./flow.ts";
import type { WaysToConclusions } from "./ways-to-conclusions.ts";

/** Some ways of a flow that a bound is reckoned over. */
export interface Bounded {
  readonly flow: Flow;
  readonly ways: WaysToConclusions;
}

/**
 * 1 for each component of these ways that was one of an earlier text's, both with the same beside their steps: its
 * steps are the same, say and conclude the same, and the same edges lead into it and on from it. What is reckoned of
 * such a component hangs on what comes into it alone. Never too many.
 */
export function leftAlone(before: Bounded, now: Bounded): Uint8Array {
  const { flow, ways } = now;
  const { of, cyclic } = ways.components;
  const alone = new Uint8Array(cyclic.length);
  // Only then have edges kept their numbers.
  if (before.flow.out !== flow.out || before.flow.start !== flow.start) return alone;
  alone.fill(1);
  const touched = (index: number): void => {
    alone[of[index] ?? -1] = 0;
  };
  for (let index = 0; index < flow.steps.length; index += 1)
    if (!isSameStep(before, now, index)) touched(index);
  for (let id = 0; id < flow.edges.length; id += 1) {
    if (isSameEdge(before, now, id)) continue;
    for (const edge of [before.flow.edges[id], flow.edges[id]]) {
      touched(edge?.from ?? -1);
      touched(edge?.to ?? -1);
    }
  }
  return alone;
}

/**
 * Whether a step shows and concludes the same, and hangs together with as many others: where it does with others than
 * before, and as many, an edge among these has changed.
 */
function isSameStep(
  { flow: { steps, procedure }, ways: old }: Bounded,
  { flow, ways }: Bounded,
  index: number,
): boolean {
  if (sizeAt(old, index) !== sizeAt(ways, index)) return false;
  if (old.held[index] !== ways.held[index] || old.asked.has(index) !== ways.asked.has(index)) return false;
  const [before, step] = [steps[index], flow.steps[index]];
  if (before === step) return true;
  if (before === undefined || step === undefined || !saysTheSame(procedure, before, step)) return false;
  return isSameList(faultsOf(before), faultsOf(step));
}

function sizeAt({ components, members }: WaysToConclusions, index: number): number {
  return members[components.of[index] ?? -1]?.length ?? 0;
}

function faultsOf(step: Step): readonly FaultId[] {
  return step.kind === "conclude" ? step.faults : [];
}

function isSameEdge({ flow: { edges }, ways: old }: Bounded, { flow, ways }: Bounded, id: number): boolean {
  const kept = ways.kept[id];
  if (old.kept[id] !== kept) return false;
  if (kept !== 1) return true;
  const [before, edge] = [edges[id], flow.edges[id]];
  if (before !== edge && (before?.to !== edge?.to || before?.branch?.outcome !== edge?.branch?.outcome))
    return false;
  return isSameList(old.strikes.get(id), ways.strikes.get(id));
}

function isSameList<T>(one: readonly T[] | undefined, other: readonly T[] | undefined): boolean {
  if (one === other) return true;
  return one?.length === other?.length && one?.every((each, at) => each === other?.[at]) === true;
}
