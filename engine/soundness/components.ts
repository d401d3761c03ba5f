import type { Flow, FlowEdge } from "./flow.ts";

/** The strongly connected components of a flow, or of a part of it. */
export interface Components {
  /** Component number by step; a component is numbered after all that it leads to. */
  readonly of: Int32Array;
  /** Whether a component holds a cycle. */
  readonly cyclic: readonly boolean[];
}

/**
 * Strongly connected components over the edges that `keep` lets through (Tarjan 1972, with its own stack, so
 * that no procedure is too deep). Linear time.
 */
export function componentsOf(
  flow: Flow,
  keep: (edge: FlowEdge, id: number) => boolean = () => true,
): Components {
  const count = flow.steps.length;
  const of = new Int32Array(count).fill(-1);
  const order = new Int32Array(count).fill(-1);
  const low = new Int32Array(count);
  const position = new Int32Array(count);
  const cyclic: boolean[] = [];
  const open: number[] = [];
  const path: number[] = [];
  let next = 0;
  for (let root = 0; root < count; root += 1) {
    if (order[root] !== -1) continue;
    path.push(root);
    while (path.length > 0) {
      const at = path.at(-1) ?? 0;
      if (order[at] === -1) {
        order[at] = low[at] = next;
        next += 1;
        open.push(at);
      }
      const deeper = descend(flow, keep, at, { of, order, low, position });
      if (deeper !== undefined) {
        path.push(deeper);
        continue;
      }
      path.pop();
      if (low[at] === order[at]) close(flow, keep, at, open, of, cyclic);
      const parent = path.at(-1);
      if (parent !== undefined) low[parent] = Math.min(low[parent] ?? 0, low[at] ?? 0);
    }
  }
  return { of, cyclic };
}

/** The steps of each component. */
export function membersOf({ of, cyclic }: Components): readonly (readonly number[])[] {
  const members: number[][] = cyclic.map(() => []);
  for (const [index, component] of of.entries()) members[component]?.push(index);
  return members;
}

interface Marks {
  readonly of: Int32Array;
  readonly order: Int32Array;
  readonly low: Int32Array;
  readonly position: Int32Array;
}

/** The next step to go down to, or undefined when every edge of this one is done. */
function descend(
  flow: Flow,
  keep: (edge: FlowEdge, id: number) => boolean,
  at: number,
  marks: Marks,
): number | undefined {
  const edges = flow.out[at] ?? [];
  while ((marks.position[at] ?? 0) < edges.length) {
    const id = edges[marks.position[at] ?? 0] ?? -1;
    const edge = flow.edges[id];
    marks.position[at] = (marks.position[at] ?? 0) + 1;
    if (edge === undefined || !keep(edge, id)) continue;
    if (marks.order[edge.to] === -1) return edge.to;
    if (marks.of[edge.to] === -1) marks.low[at] = Math.min(marks.low[at] ?? 0, marks.order[edge.to] ?? 0);
  }
  return undefined;
}

function close(
  flow: Flow,
  keep: (edge: FlowEdge, id: number) => boolean,
  root: number,
  open: number[],
  of: Int32Array,
  cyclic: boolean[],
): void {
  const component = cyclic.length;
  let size = 0;
  for (let member = open.pop(); member !== undefined; member = open.pop()) {
    of[member] = component;
    size += 1;
    if (member === root) break;
  }
  const loops = () =>
    (flow.out[root] ?? []).some((id) => {
      const edge = flow.edges[id];
      return edge !== undefined && edge.to === root && keep(edge, id);
    });
  cyclic.push(size > 1 || loops());
}
