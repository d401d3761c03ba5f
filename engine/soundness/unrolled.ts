import type { Analysis } from "./analysis.ts";
import type { Counted, CountedEdge } from "./counted.ts";

/** A counted flow in which no node comes after itself: its loops are walked out to their bounds. */
export interface Unrolled {
  /** Step number by node. The first node is the start. */
  readonly steps: readonly number[];
  readonly out: Counted["out"];
  /** Every node after all that lead to it. */
  readonly order: readonly number[];
}

/** The counted flow in order; undefined where a cycle has no bound, or where it has too many nodes. */
export function unrolled({ counted }: Analysis): Unrolled | undefined {
  if (!counted.complete || counted.steps.length === 0) return undefined;
  const order = topological(counted.out);
  return order && { steps: counted.steps, out: counted.out, order };
}

/** Kahn's order; undefined where a cycle is left. */
function topological(out: readonly (readonly CountedEdge[])[]): readonly number[] | undefined {
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
