import type { FaultId, Procedure } from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import type { Analysis } from "./analysis.ts";
import { componentsOf, membersOf } from "./components.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import { heldBack } from "./held-back.ts";
import { loopResults } from "./loop-results.ts";
import { OddsTrees } from "./odds-tree.ts";

/** Which steps and edges a bound looks at. */
export interface Part {
  readonly walks: (edge: FlowEdge, id: number) => boolean;
  /** Conclusions asked about. */
  readonly asked: ReadonlySet<number>;
}

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
  { flow, procedure }: Analysis,
  table: EvidenceTable,
  part: Part,
): ReadonlyMap<number, number> {
  const trees = new OddsTrees(table.priors);
  const useful = leadingTo(flow, part);
  const kept = new Uint8Array(flow.edges.length);
  flow.edges.forEach((edge, id) => {
    if (useful[edge.to] === 1 && part.walks(edge, id)) kept[id] = 1;
  });
  const components = componentsOf(flow, (_, id) => kept[id] === 1);
  const members = membersOf(components);
  const strikes = strikesOf(flow, kept, procedure, table);
  const held = heldBack(flow, kept);
  const found = new Map<number, number>();
  const faultNumber = new Map(table.faults.map((id, number) => [id, number]));
  const arrived = new Int32Array(components.cyclic.length).fill(-1);
  const first = components.of[flow.start] ?? -1;
  if (first < 0 || useful[flow.start] === 0 || trees.blank === -1) return found;
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
      if (step?.kind !== "conclude" || !part.asked.has(index)) return;
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

function leadingTo(flow: Flow, { walks, asked }: Part): Uint8Array {
  const useful = new Uint8Array(flow.steps.length);
  const waiting = [...asked];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (useful[at] === 1) continue;
    useful[at] = 1;
    for (const id of flow.into[at] ?? []) {
      const edge = flow.edges[id];
      if (edge !== undefined && useful[edge.from] === 0 && walks(edge, id)) waiting.push(edge.from);
    }
  }
  return useful;
}

const NONE = -1;
const SEVERAL = -2;

/** Faults struck on the edges by which a verification fails, where it can only be one conclusion's. */
function strikesOf(
  flow: Flow,
  kept: Uint8Array,
  procedure: Procedure,
  table: EvidenceTable,
): ReadonlyMap<number, readonly number[]> {
  const strikes = new Map<number, readonly number[]>();
  const verifying = new Map<number, number>();
  const waiting: number[] = [];
  const arrive = (to: number, value: number): void => {
    const known = verifying.get(to);
    const next = known === undefined || known === value ? value : SEVERAL;
    if (known === next) return;
    verifying.set(to, next);
    waiting.push(to);
  };
  if (!flow.edges.some(({ branch }, id) => kept[id] === 1 && branch?.outcome === "repaired")) return strikes;
  const fixed = reachesFixed(procedure);
  const fails = (edge: FlowEdge) => !fixed.has(flow.steps[edge.to]?.id ?? "");
  arrive(flow.start, NONE);
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    const step = flow.steps[at];
    const here = step?.kind === "end" && step.end === "fixed" ? NONE : (verifying.get(at) ?? NONE);
    for (const id of flow.out[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || kept[id] === 0) continue;
      const begins = edge.branch?.outcome === "repaired";
      arrive(edge.to, begins ? at : here !== NONE && edge.branch && fails(edge) ? NONE : here);
    }
  }
  const faultNumber = new Map(table.faults.map((id, number) => [id, number]));
  for (const [id, edge] of flow.edges.entries()) {
    const outcome = edge.branch?.outcome;
    if (kept[id] === 0 || outcome === undefined || !fails(edge)) continue;
    if (outcome === "repaired" || outcome === "cannot" || outcome === "stop") continue;
    const step = flow.steps[edge.from];
    if (step?.kind === "end" && step.end === "fixed") continue;
    const conclusion = flow.steps[verifying.get(edge.from) ?? NONE];
    if (conclusion?.kind === "conclude")
      strikes.set(
        id,
        conclusion.faults.flatMap((fault) => faultNumber.get(fault) ?? []),
      );
  }
  return strikes;
}
