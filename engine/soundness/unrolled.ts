import type { Analysis } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import { isWayOut } from "./flow.ts";

/** A flow with its bounded loops walked out: no node comes after itself. */
export interface Unrolled {
  /** Step number by node. The first node is the start. */
  readonly steps: readonly number[];
  /** Nodes that follow each node with the edge taken; one row for each edge. */
  readonly out: readonly (readonly { readonly to: number; readonly edge: number }[])[];
  /** Every node after all that lead to it. */
  readonly order: readonly number[];
}

const MOST_NODES = 200_000;

/**
 * The flow from the start, each node a step with how often the bounded branches of its cycle were taken;
 * `cannot` and `stop` that nobody wrote left out. Undefined where a cycle has no bound, or above 200,000 nodes.
 */
export function unrolled(analysis: Analysis): Unrolled | undefined {
  const { flow, components, procedure } = analysis;
  if (flow.start < 0) return undefined;
  const steps: number[] = [];
  const taken: (readonly string[])[] = [];
  const out: { to: number; edge: number }[][] = [];
  const known = new Map<string, number>();
  const node = (step: number, counts: readonly string[]): number => {
    const key = counts.length === 0 ? String(step) : `${step} ${counts.join(" ")}`;
    const there = known.get(key);
    if (there !== undefined) return there;
    known.set(key, steps.length);
    steps.push(step);
    taken.push(counts);
    out.push([]);
    return steps.length - 1;
  };
  node(flow.start, []);
  for (let at = 0; at < steps.length; at += 1) {
    if (steps.length > MOST_NODES) return undefined;
    for (const id of flow.out[steps[at] ?? -1] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || isWayOut(edge)) continue;
      const { branch, arm } = edge;
      if (branch && typeof arm === "number" && armFacts(procedure, branch, arm) === "never") continue;
      const inside = components.of[edge.from] === components.of[edge.to];
      let counts = taken[at] ?? [];
      if (branch?.atMost !== undefined && components.cyclic[components.of[edge.from] ?? -1]) {
        const times = timesOf(counts, branch);
        if (arm === "else" ? times < branch.atMost : times >= branch.atMost) continue;
        if (arm !== "else") counts = withTimes(counts, branch, times + 1);
      }
      out[at]?.push({ to: node(edge.to, inside ? counts : []), edge: id });
    }
  }
  const order = topological(out);
  return order && { steps, out, order };
}

interface Counted {
  readonly step: string;
  readonly outcome: string;
}

function keyOf(branch: Counted): string {
  return `${JSON.stringify([branch.step, branch.outcome])}:`;
}

function timesOf(counts: readonly string[], branch: Counted): number {
  const key = keyOf(branch);
  return Number(counts.find((count) => count.startsWith(key))?.slice(key.length) ?? 0);
}

function withTimes(counts: readonly string[], branch: Counted, times: number): readonly string[] {
  const key = keyOf(branch);
  return [...counts.filter((count) => !count.startsWith(key)), `${key}${times}`].sort();
}

/** Kahn's order; undefined where a cycle is left. */
function topological(out: readonly (readonly { readonly to: number }[])[]): readonly number[] | undefined {
  const waiting = new Int32Array(out.length);
  for (const row of out) for (const { to } of row) waiting[to] = (waiting[to] ?? 0) + 1;
  const order = [...out.keys()].filter((at) => waiting[at] === 0);
  for (let next = 0; next < order.length; next += 1)
    for (const { to } of out[order[next] ?? -1] ?? []) {
      waiting[to] = (waiting[to] ?? 0) - 1;
      if (waiting[to] === 0) order.push(to);
    }
  return order.length === out.length ? order : undefined;
}
