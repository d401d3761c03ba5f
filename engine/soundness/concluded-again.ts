import { neededProof } from "../procedure/called-rules.ts";
import type { Finding } from "../procedure/finding.ts";
import type { ConcludeStep, StepId } from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import { type Analysis, walkable } from "./analysis.ts";
import { type CountedEdge, isWithinBounds } from "./counted.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import { isConclusion } from "./step-lists.ts";
import { wayBackIn } from "./way-back.ts";
import { witnessOf } from "./witness.ts";

/** Words of marks that may be written on all edges together; past that nothing is looked at. */
const MOST_MARKS = 20_000_000;

/** States looked at for all witnesses together; findings past that have none. */
const MOST_LOOKED = 2_000_000;

export interface ConcludedAgain {
  /** Steps that conclude only faults which one failed repair has struck, each with a way to it. */
  readonly findings: readonly Finding[];
  /** Conclusions of which there were too many ways to look at, or to count on. */
  readonly open: readonly number[];
}

/**
 * `unsupported-conclusion`: conclusions to which a run can come again after their own repair, or another one of the
 * same faults, has not helped. The faults are struck then, so that nothing speaks for them. A warning, as for all
 * that only shows behind a repair. Exact but for conditions, where the counted flow is complete; conclusions whose
 * faults were struck by several repairs are left to the look at every state.
 */
export function concludedAgain(analysis: Analysis): ConcludedAgain {
  const { flow } = analysis;
  const suspects = suspectsOf(analysis);
  if (suspects.length === 0) return { findings: [], open: [] };
  const graph = { ...walkable(analysis), changes: changesOf(analysis) };
  const words = Math.ceil(suspects.length / 32);
  const edges = graph.out.reduce((sum, row) => sum + row.length, 0);
  if (edges * words > MOST_MARKS) return { findings: [], open: suspects };
  const struck = struckAt(analysis, graph, suspects, words);
  const findings: Finding[] = [];
  const open: number[] = [];
  const told = new Set<number>();
  let left = MOST_LOOKED;
  for (const [node, index] of graph.steps.entries()) {
    const step = flow.steps[index];
    if (step?.kind !== "conclude" || step.faults.length === 0 || told.has(index)) continue;
    const first = suspects.findIndex((suspect, bit) => {
      const before = flow.steps[suspect];
      return hasBit(struck, node * words, bit) && before?.kind === "conclude" && isAll(step, before);
    });
    if (first === -1) continue;
    told.add(index);
    const { way, looked } = wayAgain(analysis, graph, suspects[first] ?? -1, index, left);
    left -= looked;
    // Without counts a way can be one that no run walks.
    if (analysis.counted.complete || (way !== undefined && isWithinBounds(flow, way)))
      findings.push(finding(analysis, step, way));
    else open.push(index);
  }
  return { findings, open };
}

/** Whether a conclusion names no fault that the other does not. */
function isAll(step: ConcludeStep, of: ConcludeStep): boolean {
  return step.faults.every((fault) => of.faults.includes(fault));
}

/** Repaired conclusions that some cycle leads back to, or whose faults another conclusion names. */
function suspectsOf({ components, steps }: Analysis): readonly number[] {
  const naming = new Map<string, number>();
  for (const { step } of steps.where(isConclusion))
    if (step.kind === "conclude")
      for (const fault of step.faults) naming.set(fault, (naming.get(fault) ?? 0) + 1);
  return steps.where(isConclusion).flatMap(({ index, step }) => {
    if (step.kind !== "conclude" || step.verify === undefined) return [];
    const isCyclic = components.cyclic[components.of[index] ?? -1] === true;
    return isCyclic || step.faults.some((fault) => (naming.get(fault) ?? 0) > 1) ? index : [];
  });
}

/** How an edge changes which repair is being verified. */
type Change = "begins" | "ends" | "fails" | "none";

function changesOf({ flow, procedure }: Analysis): readonly Change[] {
  const fixed = reachesFixed(procedure);
  return flow.edges.map((edge) => changeOf(flow, fixed, edge));
}

function changeOf(flow: Flow, fixed: ReadonlySet<StepId>, edge: FlowEdge): Change {
  const { branch } = edge;
  if (branch === undefined) return "none";
  if (branch.outcome === "repaired") return "begins";
  const step = flow.steps[edge.from];
  // A called procedure that ends fixed has verified its repair.
  if (step?.kind === "end" && step.end === "fixed") return "ends";
  if (fixed.has(flow.steps[edge.to]?.id ?? "")) return "none";
  return branch.outcome === "cannot" || branch.outcome === "stop" ? "ends" : "fails";
}

interface Graph {
  /** By edge of the flow. */
  readonly changes: readonly Change[];
  readonly steps: readonly number[];
  readonly out: readonly (readonly CountedEdge[])[];
}

/**
 * For each node the suspects whose repair can have failed on some way to it, a bit each. Ways are looked at all at
 * once: what holds on one way is never lost where it meets others.
 */
function struckAt(
  analysis: Analysis,
  { steps, out, changes }: Graph,
  suspects: readonly number[],
  words: number,
): Uint32Array {
  const verifying = new Uint32Array(steps.length * words);
  const struck = new Uint32Array(steps.length * words);
  const bitOf = new Map(suspects.map((index, bit) => [index, bit]));
  const queue = steps.length === 0 ? [] : [0];
  const waits = new Uint8Array(steps.length);
  const seen = new Uint8Array(steps.length);
  for (let turn = 0; turn < queue.length; turn += 1) {
    const at = queue[turn] ?? 0;
    waits[at] = 0;
    seen[at] = 1;
    for (const { to, edge: id } of out[at] ?? []) {
      const edge = analysis.flow.edges[id];
      if (edge === undefined) continue;
      const change = changes[id] ?? "none";
      let more = seen[to] === 0;
      for (let word = 0; word < words; word += 1) {
        const here = verifying[at * words + word] ?? 0;
        const failed = change === "fails" ? here : 0;
        if (addBits(struck, to * words + word, (struck[at * words + word] ?? 0) | failed)) more = true;
        if (change === "none" && addBits(verifying, to * words + word, here)) more = true;
      }
      const bit = change === "begins" ? bitOf.get(edge.from) : undefined;
      if (bit !== undefined && addBits(verifying, to * words + (bit >> 5), 1 << (bit & 31))) more = true;
      if (!more || waits[to] === 1) continue;
      waits[to] = 1;
      queue.push(to);
    }
  }
  return struck;
}

function addBits(marks: Uint32Array, at: number, bits: number): boolean {
  const before = marks[at] ?? 0;
  marks[at] = before | bits;
  return marks[at] !== before;
}

function hasBit(marks: Uint32Array, from: number, bit: number): boolean {
  return (((marks[from + (bit >> 5)] ?? 0) >>> (bit & 31)) & 1) === 1;
}

/** What a way has done with one repair: not made or left unjudged, being verified, failed. */
const STATES = 3;
const NOTHING = 0;
const VERIFYING = 1;
const FAILED = 2;

/**
 * The edges of the shortest way on which a conclusion's repair fails and another conclusion, or itself, comes; with
 * how many states were looked at. Undefined past the most.
 */
function wayAgain(
  analysis: Analysis,
  { steps, out, changes }: Graph,
  repaired: number,
  target: number,
  most: number,
): { readonly way?: readonly number[]; readonly looked: number } {
  const from = new Int32Array(steps.length * STATES).fill(-1);
  const by = new Int32Array(steps.length * STATES).fill(-1);
  const queue = [NOTHING];
  for (let at = 0; at < queue.length && at < most; at += 1) {
    const state = queue[at] ?? 0;
    const node = Math.floor(state / STATES);
    if (state % STATES === FAILED && steps[node] === target) {
      return { way: wayBackIn({ from, by }, state), looked: at };
    }
    for (const { to, edge: id } of out[node] ?? []) {
      const edge = analysis.flow.edges[id];
      if (edge === undefined) continue;
      const next = to * STATES + stateAfter(changes[id] ?? "none", edge, state % STATES, repaired);
      if (next === NOTHING || (by[next] ?? -1) >= 0) continue;
      from[next] = state;
      by[next] = id;
      queue.push(next);
    }
  }
  return { looked: queue.length };
}

function stateAfter(change: Change, edge: FlowEdge, state: number, repaired: number): number {
  if (state === FAILED) return FAILED;
  if (change === "begins") return edge.from === repaired ? VERIFYING : NOTHING;
  if (state !== VERIFYING || change === "none") return state;
  return change === "fails" ? FAILED : NOTHING;
}

function finding(analysis: Analysis, step: ConcludeStep, way?: readonly number[]): Finding {
  return {
    code: "unsupported-conclusion",
    severity: "warning",
    params: {
      step: step.id,
      fault: step.faults.join(", "),
      probability: 0,
      needed: neededProof(analysis.procedure, step),
      rival: "",
      why: "struck",
    },
    node: step.node,
    step: step.id,
    ...(way === undefined ? {} : { witness: witnessOf(analysis, way) }),
  };
}
