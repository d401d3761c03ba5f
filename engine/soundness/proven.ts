import type { FaultId } from "../procedure/model.ts";
import type { Analysis } from "./analysis.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import type { FlowEdge } from "./flow.ts";
import { loopResults } from "./loop-results.ts";
import { OddsTrees } from "./odds-tree.ts";
import type { WaysToConclusions } from "./ways-to-conclusions.ts";

/**
 * A lower bound of the concluded faults' probability at each conclusion asked about, over all ways to it.
 *
 * For every fault the highest and the lowest odds are carried along the flow, each against the faults that a
 * step does not name, and met at joins. The highest odds of a rival are exact for that rival, and so are the
 * lowest of the concluded fault; that one way may have them all at once is what makes it a bound. On a tree it is
 * exact. Inside a loop each step has one of the latest results it can have when the loop is left; loops of more
 * than some 200 steps count as having shown anything. Time: steps times the faults a step names, times their log.
 */
export function leastProbabilities(
  { flow }: Analysis,
  table: EvidenceTable,
  { asked, kept, components, members, strikes, held }: WaysToConclusions,
): ReadonlyMap<number, number> {
  const trees = new OddsTrees(table.priors);
  const found = new Map<number, number>();
  const faultNumber = new Map(table.faults.map((id, number) => [id, number]));
  const arrived = new Int32Array(components.cyclic.length).fill(-1);
  const first = components.of[flow.start] ?? -1;
  if (asked.size === 0 || first < 0 || trees.blank === -1) return found;
  arrived[first] = trees.blank;
  /** `before` has what the step itself had shown before, which stays where this answer is held back. */
  const leave = (tree: number, id: number, before: number): void => {
    const edge = flow.edges[id];
    if (edge === undefined) return;
    const said = edge.branch?.step === flow.steps[edge.from]?.id ? sayOf(table, edge) : 0;
    const counted = said === 0 ? tree : trees.times(tree, table.factors(edge.from, said));
    const told = held[edge.from] === 1 ? trees.either(counted, before) : counted;
    const struck = strikes.get(id);
    const left = struck === undefined ? told : trees.without(told, struck);
    const to = components.of[edge.to] ?? -1;
    const there = arrived[to] ?? -1;
    arrived[to] = there === -1 ? left : trees.either(there, left);
  };
  // A component is numbered after all that it leads to.
  for (let component = first; component >= 0; component -= 1) {
    const tree = arrived[component] ?? -1;
    const steps = members[component] ?? [];
    if (tree === -1) continue;
    const judge = (index: number, at: number): void => {
      const step = flow.steps[index];
      if (step?.kind !== "conclude" || !asked.has(index)) return;
      const group = step.faults.flatMap((id: FaultId) => faultNumber.get(id) ?? []);
      found.set(index, trees.leastProbability(at, group));
    };
    if (!components.cyclic[component]) {
      for (const index of steps) {
        judge(index, tree);
        for (const id of flow.out[index] ?? []) if (kept[id] === 1) leave(tree, id, tree);
      }
      continue;
    }
    const results = loopResults(flow, table, components.of, steps, kept, held);
    for (const index of steps) {
      const besides = results.besides(index);
      const at = besides.reduce((sum, factors) => trees.times(sum, factors), tree);
      const own = results.own(index);
      const before = own === undefined ? at : trees.times(at, own);
      judge(index, before);
      for (const id of flow.out[index] ?? [])
        if (kept[id] === 1 && components.of[flow.edges[id]?.to ?? -1] !== component) leave(at, id, before);
    }
  }
  return trees.full ? new Map() : found;
}

function sayOf(table: EvidenceTable, edge: FlowEdge): number {
  return edge.branch === undefined ? 0 : table.say(edge.from, edge.branch.outcome);
}
