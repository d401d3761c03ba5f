import type { Components } from "./components.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import type { Flow, FlowEdge } from "./flow.ts";

/** Edges that may be looked at for all bounds together. */
export const MOST_RELAXATIONS = 20_000_000;

/** The part of a flow that is looked at, with its components. */
export interface Ways {
  readonly flow: Flow;
  readonly components: Components;
  /** Steps by component. */
  readonly members: readonly (readonly number[])[];
  /** 1 for each edge that can be walked. */
  readonly kept: Uint8Array;
}

export interface Worst {
  /** At most log(P(rival) / P(concluded)). */
  readonly bound: number;
  /** The edges of the way that has it; absent where it leads through a loop, of which it is only a bound. */
  readonly way?: readonly number[];
}

/**
 * The way to a step that is worst for one fault against one rival: the longest way in log odds over the
 * components. Exact where no loop is passed. Inside a loop only the latest result of a step counts and any may
 * be the latest, so each step there adds the most it can, but for the one by which the way leaves. Struck rivals
 * only lower the odds.
 */
export function worstWay(
  { flow, components, members, kept }: Ways,
  table: EvidenceTable,
  target: number,
  rival: number,
  concluded: number,
): Worst {
  const best = new Float64Array(components.cyclic.length).fill(-Infinity);
  const by = new Int32Array(components.cyclic.length).fill(-1);
  const start = components.of[flow.start] ?? -1;
  const last = components.of[target] ?? 0;
  if (start < 0) return { bound: -Infinity };
  best[start] = Math.log(table.priors[rival] ?? 0) - Math.log(table.priors[concluded] ?? 0);
  const weight = (index: number, outcome: string): number => {
    const said = table.say(index, outcome);
    if (said === 0) return 0;
    const logs = table.logs(index, said);
    const ratio = (logs[rival] ?? 0) - (logs[concluded] ?? 0);
    // Impossible under both: it says nothing of one against the other.
    return Number.isNaN(ratio) ? 0 : ratio;
  };
  const most = (index: number): number => {
    const step = flow.steps[index];
    return Math.max(0, ...[...(step?.outcomes.keys() ?? [])].map((each) => weight(index, each)));
  };
  // A component is numbered after all that it leads to.
  for (let component = start; component > last; component -= 1) {
    const arrived = best[component] ?? -Infinity;
    if (arrived === -Infinity) continue;
    const steps = members[component] ?? [];
    const cyclic = components.cyclic[component] === true;
    const whole = cyclic ? steps.reduce((sum, index) => sum + most(index), 0) : 0;
    for (const index of steps)
      for (const id of flow.out[index] ?? []) {
        const edge = flow.edges[id];
        const to = components.of[edge?.to ?? -1] ?? component;
        if (edge === undefined || kept[id] === 0 || to === component) continue;
        const others = cyclic ? (whole === Infinity ? Infinity : whole - most(index)) : 0;
        const reached = plus(plus(arrived, others), ownWeight(flow, edge, index, weight));
        if (by[to] !== -1 && reached <= (best[to] ?? -Infinity)) continue;
        best[to] = reached;
        by[to] = id;
      }
  }
  const loop = components.cyclic[last] ? (members[last] ?? []).reduce((sum, each) => sum + most(each), 0) : 0;
  const bound = plus(best[last] ?? -Infinity, loop);
  const way = wayBack(flow, components, by, target);
  return way === undefined ? { bound } : { bound, way };
}

function ownWeight(
  flow: Flow,
  edge: FlowEdge,
  index: number,
  weight: (index: number, outcome: string) => number,
): number {
  const { branch } = edge;
  return branch !== undefined && branch.step === flow.steps[index]?.id ? weight(index, branch.outcome) : 0;
}

function wayBack(
  flow: Flow,
  components: Components,
  by: Int32Array,
  target: number,
): readonly number[] | undefined {
  const way: number[] = [];
  for (let at = target; ; ) {
    const component = components.of[at] ?? -1;
    if (components.cyclic[component]) return undefined;
    const id = by[component] ?? -1;
    if (id === -1) return at === flow.start ? way.reverse() : undefined;
    way.push(id);
    at = flow.edges[id]?.from ?? -1;
  }
}

/** A sum in which no certainty makes another one undone: the higher bound stays. */
function plus(a: number, b: number): number {
  const sum = a + b;
  return Number.isNaN(sum) ? Infinity : sum;
}
