import type { Procedure } from "../procedure/model.ts";
import { armFacts } from "./arm-facts.ts";
import { type Components, componentsOf } from "./components.ts";
import { type Flow, type FlowEdge, flowOf, isWayOut } from "./flow.ts";

/** What every rule reads: the flow, what a run can come to, and its cycles. Reckoned once. */
export interface Analysis {
  readonly procedure: Procedure;
  readonly flow: Flow;
  /** The edge by which each step is first reached from the start; -1 at the start, -2 where none does. */
  readonly reachedBy: Int32Array;
  /** Over every edge. */
  readonly components: Components;
}

export function analyse(procedure: Procedure): Analysis {
  const flow = flowOf(procedure);
  return {
    procedure,
    flow,
    reachedBy: reachFrom(flow, flow.start),
    components: componentsOf(flow),
  };
}

/** Whether a run can come to this step, conditions on readings left aside. */
export function isReached(analysis: Analysis, index: number): boolean {
  return (analysis.reachedBy[index] ?? -2) !== -2;
}

/**
 * The edge by which each step is first reached from one step, breadth first; -1 there, -2 where none does.
 * An edge that takes more to show (a used-up branch, a condition) is only walked when nothing plainer is left,
 * so the way found is the shortest of the plainest.
 */
export function reachFrom(
  flow: Flow,
  start: number,
  only: { readonly toward?: number; readonly keep?: (edge: FlowEdge) => boolean } = {},
): Int32Array {
  const by = new Int32Array(flow.steps.length).fill(-2);
  if (start < 0) return by;
  by[start] = -1;
  const plain = [start];
  const harder: number[] = [];
  let nextPlain = 0;
  let nextHarder = 0;
  while (nextPlain < plain.length || nextHarder < harder.length) {
    if (nextPlain >= plain.length) {
      const id = harder[nextHarder] ?? -1;
      nextHarder += 1;
      const edge = flow.edges[id];
      if (edge === undefined || by[edge.to] !== -2) continue;
      by[edge.to] = id;
      plain.push(edge.to);
      continue;
    }
    const at = plain[nextPlain] ?? -1;
    nextPlain += 1;
    if (at === only.toward) break;
    for (const id of flow.out[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || by[edge.to] !== -2 || only.keep?.(edge) === false) continue;
      if (isHard(edge)) {
        if (!isNever(flow, edge)) harder.push(id);
      } else {
        by[edge.to] = id;
        plain.push(edge.to);
      }
    }
  }
  return by;
}

/** The edges of the way that {@link reachFrom} found; undefined where it found none. */
export function wayTo(flow: Flow, reachedBy: Int32Array, target: number): readonly number[] | undefined {
  const way: number[] = [];
  for (let at = target; ; ) {
    const id = reachedBy[at] ?? -2;
    if (id === -2) return undefined;
    if (id === -1) return way.reverse();
    way.push(id);
    at = flow.edges[id]?.from ?? -1;
  }
}

/** An edge and the shortest way back to where it began; undefined when nothing leads back. */
export function wayRound(
  flow: Flow,
  id: number,
  keep?: (edge: FlowEdge) => boolean,
): readonly number[] | undefined {
  const edge = flow.edges[id];
  if (edge === undefined) return undefined;
  const back = wayTo(
    flow,
    reachFrom(flow, edge.to, { toward: edge.from, ...(keep ? { keep } : {}) }),
    edge.from,
  );
  return back && [id, ...back];
}

function isHard(edge: FlowEdge): boolean {
  return edge.arm === "else" || isWayOut(edge) || (edge.branch?.arms.length ?? 0) > 1;
}

/** Whether no choice of facts takes this arm. */
function isNever(flow: Flow, edge: FlowEdge): boolean {
  if (edge.branch === undefined || typeof edge.arm !== "number") return false;
  return armFacts(flow.procedure, edge.branch, edge.arm) === "never";
}
