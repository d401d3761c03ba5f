import { type Analysis, isReached } from "./analysis.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import { isWayOut } from "./flow.ts";

/** Edges that may be looked at for all bounds together. */
export const MOST_RELAXATIONS = 20_000_000;

/**
 * An upper bound of log(P(rival) / P(concluded)) on any way to a step: the longest way in log odds over the
 * components of the flow. Exact on a flow without cycles but for conditions. Inside a cycle only the latest
 * result of a step counts and any may be the latest, so each step there adds the most it can, but for the one
 * by which the way leaves. Struck rivals only lower the odds.
 */
export function oddsBound(
  analysis: Analysis,
  table: EvidenceTable,
  target: number,
  rival: number,
  concluded: number,
): number {
  const { flow, components } = analysis;
  const count = components.cyclic.length;
  const best = new Float64Array(count).fill(-Infinity);
  const start = components.of[flow.start] ?? -1;
  const prior = Math.log(table.priors[rival] ?? 0) - Math.log(table.priors[concluded] ?? 0);
  if (start < 0) return -Infinity;
  best[start] = prior;
  const members = membersOf(components.of, count);
  const weight = (index: number, outcome: string): number => {
    const said = table.say(index, outcome);
    if (said === 0) return 0;
    const logs = table.logs(index, said);
    const ratio = (logs[rival] ?? 0) - (logs[concluded] ?? 0);
    // Impossible under both: it says nothing of one against the other.
    return Number.isNaN(ratio) ? 0 : ratio;
  };
  // A component is numbered after all that it leads to.
  for (let component = start; component >= (components.of[target] ?? 0); component -= 1) {
    const arrived = best[component] ?? -Infinity;
    if (arrived === -Infinity) continue;
    const most = new Map<number, number>();
    let whole = 0;
    if (components.cyclic[component])
      for (const index of members[component] ?? []) {
        if (!isReached(analysis, index)) continue;
        const step = flow.steps[index];
        const highest = Math.max(0, ...[...(step?.outcomes.keys() ?? [])].map((each) => weight(index, each)));
        most.set(index, highest);
        whole += highest;
      }
    if (component === components.of[target]) return plus(arrived, whole);
    for (const index of members[component] ?? [])
      for (const id of flow.out[index] ?? []) {
        const edge = flow.edges[id];
        if (edge === undefined || isWayOut(edge)) continue;
        const to = components.of[edge.to] ?? 0;
        if (to === component) continue;
        const own =
          edge.branch && edge.branch.step === flow.steps[index]?.id ? weight(index, edge.branch.outcome) : 0;
        const others = whole === Infinity ? Infinity : whole - (most.get(index) ?? 0);
        best[to] = Math.max(best[to] ?? -Infinity, plus(plus(arrived, others), own));
      }
  }
  return -Infinity;
}

/** A sum in which no certainty makes another one undone: the higher bound stays. */
function plus(a: number, b: number): number {
  const sum = a + b;
  return Number.isNaN(sum) ? Infinity : sum;
}

function membersOf(of: Int32Array, count: number): readonly (readonly number[])[] {
  const members: number[][] = Array.from({ length: count }, () => []);
  for (const [index, component] of of.entries()) members[component]?.push(index);
  return members;
}
