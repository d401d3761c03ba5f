import type { Branch, Procedure } from "../procedure/model.ts";
import { armFacts } from "./arm-facts.ts";
import type { Components } from "./components.ts";
import { type FactSpace, NOTHING_TOLD_APART } from "./fact-space.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import { wayBackIn } from "./way-back.ts";

/**
 * A flow from its start with the bounded branches of each cycle counted as a run counts them. A node is a step
 * with how often those were taken and what was chosen for facts; node 0 is the start. `cannot` and `stop` that
 * nobody wrote and that end the run are left out.
 */
export interface Counted {
  /** Step number by node. */
  readonly steps: readonly number[];
  /** The node and edge by which each node was first reached; -1 at the start. */
  readonly from: readonly number[];
  readonly by: readonly number[];
  /** The ways on from each node. */
  readonly out: readonly (readonly CountedEdge[])[];
  /** The first node of each step, -1 where no run comes to it. */
  readonly first: Int32Array;
  /** Branches at a node that are used up and lead nowhere. */
  readonly stuck: readonly { readonly node: number; readonly edge: number }[];
  /** False when the limit was met and nodes are missing. */
  readonly complete: boolean;
}

export interface CountedEdge {
  readonly to: number;
  readonly edge: number;
}

/** More nodes than this, or than four times the steps, are not walked. */
const MOST_NODES = 50_000;

/**
 * The counted flow, breadth first. Conditions are walked last, so that the first way to a step is the shortest
 * of the plainest. Arms that no facts allow are left out, those of earlier arms on the way included; where that
 * made too many nodes, each arm is looked at by itself. Other conditions count as open.
 */
export function countedFlow(
  procedure: Procedure,
  flow: Flow,
  components: Components,
  facts: FactSpace,
): Counted {
  const whole = walkedFlow(procedure, flow, components, facts);
  return whole.complete || facts === NOTHING_TOLD_APART
    ? whole
    : walkedFlow(procedure, flow, components, NOTHING_TOLD_APART);
}

function walkedFlow(procedure: Procedure, flow: Flow, components: Components, facts: FactSpace): Counted {
  const walk = new Walk(flow, facts.whole);
  const most = Math.max(MOST_NODES, 4 * flow.steps.length);
  if (flow.start >= 0) walk.node(flow.start, NONE, facts.whole, -1, -1);
  for (let at = walk.next(); at !== undefined; at = walk.next()) {
    if (walk.steps.length > most) return { ...walk.result(), complete: false };
    const counts = walk.counts[at] ?? NONE;
    const known = walk.facts[at] ?? facts.whole;
    for (const id of flow.out[walk.steps[at] ?? -1] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || edge.leaves || isNever(procedure, edge)) continue;
      const component = components.of[edge.from] ?? -1;
      const after = countedAfter(edge, counts);
      if (after === "used-up") walk.stuckAt(at, id);
      if (typeof after === "string") continue;
      const still = known & factsOf(facts, edge);
      if (still !== 0n) walk.edge(at, id, components.of[edge.to] === component ? after : NONE, still);
    }
  }
  return { ...walk.result(), complete: true };
}

/** The edges of the first way to a node. */
export function wayToNode(counted: Counted, node: number): readonly number[] {
  return wayBackIn(counted, node);
}

/**
 * Whether a run's counts let it walk a way from the start: no branch more often than its bound, and what comes after
 * it only then. What was found where the counted flow is not complete is to be held against this.
 */
export function isWithinBounds({ edges }: Flow, way: readonly number[]): boolean {
  const taken = new Map<Branch, number>();
  for (const id of way) {
    const { branch, arm } = edges[id] ?? {};
    if (branch?.atMost === undefined) continue;
    const times = taken.get(branch) ?? 0;
    if ((arm === "else") !== times >= branch.atMost) return false;
    if (arm !== "else") taken.set(branch, times + 1);
  }
  return true;
}

/** How often branches were taken, each `[branch, times]`, in the order first taken. */
type Counts = readonly (readonly [Branch, number])[];
const NONE: Counts = [];

/** Counts once an edge was walked; why it can't be, otherwise. A used-up borderline takes its band instead. */
function countedAfter(
  { branch, arm }: FlowEdge,
  counts: Counts,
): Counts | "used-up" | "not-yet" | "replaced" {
  if (branch?.atMost === undefined) return counts;
  const times = counts.find(([each]) => each === branch)?.[1] ?? 0;
  if (arm === "else") return times < branch.atMost ? "not-yet" : counts;
  if (times < branch.atMost) return [...counts.filter(([each]) => each !== branch), [branch, times + 1]];
  return branch.else === undefined && branch.outcome !== "borderline" ? "used-up" : "replaced";
}

/** The combinations of facts with which an edge is walked. */
export function factsOf(facts: FactSpace, { branch, arm }: FlowEdge): bigint {
  if (branch === undefined || typeof arm !== "number" || branch.arms.length === 1) return facts.whole;
  return facts.taking(branch, arm);
}

function isNever(procedure: Procedure, { branch, arm }: FlowEdge): boolean {
  return branch !== undefined && typeof arm === "number" && armFacts(procedure, branch, arm) === "never";
}

class Walk {
  readonly steps: number[] = [];
  readonly counts: Counts[] = [];
  /** What combinations of facts a run can have that comes so. */
  readonly facts: bigint[] = [];
  readonly #whole: bigint;
  readonly #flow: Flow;
  readonly #from: number[] = [];
  readonly #by: number[] = [];
  readonly #out: CountedEdge[][] = [];
  readonly #first: Int32Array;
  /** Nodes without counts and with all facts open, which most are, by step. */
  readonly #bare: Int32Array;
  readonly #counted = new Map<string, number>();
  readonly #branches = new Map<Branch, number>();
  readonly #stuck: { readonly node: number; readonly edge: number }[] = [];
  readonly #plain: number[] = [];
  readonly #conditional: (() => void)[] = [];
  #nextPlain = 0;
  #nextConditional = 0;

  constructor(flow: Flow, whole: bigint) {
    this.#flow = flow;
    this.#whole = whole;
    this.#first = new Int32Array(flow.steps.length).fill(-1);
    this.#bare = new Int32Array(flow.steps.length).fill(-1);
  }

  /** The next node to go on from. */
  next(): number | undefined {
    while (this.#nextPlain >= this.#plain.length) {
      const open = this.#conditional[this.#nextConditional];
      if (open === undefined) return undefined;
      this.#nextConditional += 1;
      open();
    }
    this.#nextPlain += 1;
    return this.#plain[this.#nextPlain - 1];
  }

  edge(at: number, id: number, counts: Counts, facts: bigint): void {
    const edge = this.#flow.edges[id];
    if (edge === undefined) return;
    const row = this.#out[at];
    if ((edge.branch?.arms.length ?? 1) === 1)
      row?.push({ to: this.node(edge.to, counts, facts, at, id), edge: id });
    else
      this.#conditional.push(() => {
        row?.push({ to: this.node(edge.to, counts, facts, at, id), edge: id });
      });
  }

  stuckAt(node: number, edge: number): void {
    this.#stuck.push({ node, edge });
  }

  node(step: number, counts: Counts, facts: bigint, from: number, by: number): number {
    const key = counts.length === 0 && facts === this.#whole ? undefined : this.#keyOf(step, counts, facts);
    const known = key === undefined ? this.#bare[step] : this.#counted.get(key);
    if (known !== undefined && known >= 0) return known;
    const node = this.steps.length;
    if (key === undefined) this.#bare[step] = node;
    else this.#counted.set(key, node);
    if (this.#first[step] === -1) this.#first[step] = node;
    this.steps.push(step);
    this.counts.push(counts);
    this.facts.push(facts);
    this.#from.push(from);
    this.#by.push(by);
    this.#out.push([]);
    this.#plain.push(node);
    return node;
  }

  result(): Omit<Counted, "complete"> {
    const { steps } = this;
    return { steps, from: this.#from, by: this.#by, out: this.#out, first: this.#first, stuck: this.#stuck };
  }

  #keyOf(step: number, counts: Counts, facts: bigint): string {
    const parts = counts.map(([branch, times]) => `${this.#numberOf(branch)}:${times}`).sort();
    return `${step} ${parts.join(" ")} ${facts.toString(36)}`;
  }

  #numberOf(branch: Branch): number {
    const known = this.#branches.get(branch);
    if (known !== undefined) return known;
    this.#branches.set(branch, this.#branches.size);
    return this.#branches.size - 1;
  }
}
