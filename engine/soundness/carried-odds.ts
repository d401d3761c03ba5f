import type { EvidenceTable } from "./evidence-table.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import { loopResults } from "./loop-results.ts";
import type { OddsTrees } from "./odds-tree.ts";
import type { WaysToConclusions } from "./ways-to-conclusions.ts";

/** The odds of every fault on each edge of some ways, carried along them component by component. */
export class CarriedOdds {
  readonly trees: OddsTrees;
  /** The least probability of the concluded faults at each conclusion come to. */
  readonly least = new Map<number, number>();
  readonly #flow: Flow;
  readonly #table: EvidenceTable;
  readonly #ways: WaysToConclusions;
  readonly #faultNumber: ReadonlyMap<string, number>;
  /** The tree on each edge that leads out of a component; -1 where nothing comes. */
  readonly #on: Int32Array;

  constructor(flow: Flow, table: EvidenceTable, ways: WaysToConclusions, trees: OddsTrees) {
    this.trees = trees;
    this.#flow = flow;
    this.#table = table;
    this.#ways = ways;
    this.#faultNumber = new Map(table.faults.map((id, number) => [id, number]));
    this.#on = new Int32Array(flow.edges.length).fill(-1);
  }

  /** Whether the same comes into a component as did in an earlier text. */
  comeAs(earlier: CarriedOdds, component: number): boolean {
    for (const index of this.#ways.members[component] ?? [])
      for (const id of this.#flow.into[index] ?? [])
        if (this.#isEntry(component, id) && this.#on[id] !== earlier.#on[id]) return false;
    return true;
  }

  /** What leaves a component, and is concluded in it, as in an earlier text. */
  takeOver(earlier: CarriedOdds, component: number): void {
    for (const index of this.#ways.members[component] ?? []) {
      const least = earlier.least.get(index);
      if (least !== undefined) this.least.set(index, least);
      for (const id of this.#flow.out[index] ?? []) this.#on[id] = earlier.#on[id] ?? -1;
    }
  }

  /** What leaves a component, by what comes into it. */
  carry(component: number): void {
    const { components, members, kept, held } = this.#ways;
    const tree = this.#comesInto(component);
    const steps = members[component] ?? [];
    if (tree === -1) return;
    if (!components.cyclic[component]) {
      for (const index of steps) {
        this.#judge(index, tree);
        for (const id of this.#flow.out[index] ?? []) if (kept[id] === 1) this.#leave(tree, id, tree);
      }
      return;
    }
    const results = loopResults(this.#flow, this.#table, components.of, steps, kept, held);
    for (const index of steps) {
      const at = results.besides(index).reduce((sum, factors) => this.trees.times(sum, factors), tree);
      const own = results.own(index);
      const before = own === undefined ? at : this.trees.times(at, own);
      this.#judge(index, before);
      for (const id of this.#flow.out[index] ?? [])
        if (kept[id] === 1 && components.of[this.#flow.edges[id]?.to ?? -1] !== component)
          this.#leave(at, id, before);
    }
  }

  #isEntry(component: number, id: number): boolean {
    const { components, kept } = this.#ways;
    return kept[id] === 1 && components.of[this.#flow.edges[id]?.from ?? -1] !== component;
  }

  #comesInto(component: number): number {
    const { components, members } = this.#ways;
    let tree = components.of[this.#flow.start] === component ? this.trees.blank : -1;
    for (const index of members[component] ?? [])
      for (const id of this.#flow.into[index] ?? []) {
        const comes = this.#isEntry(component, id) ? (this.#on[id] ?? -1) : -1;
        if (comes !== -1) tree = tree === -1 ? comes : this.trees.either(tree, comes);
      }
    return tree;
  }

  #judge(index: number, tree: number): void {
    const step = this.#flow.steps[index];
    if (step?.kind !== "conclude" || !this.#ways.asked.has(index)) return;
    const group = step.faults.flatMap((id) => this.#faultNumber.get(id) ?? []);
    this.least.set(index, this.trees.leastProbability(tree, group));
  }

  /** `before` has what the step itself had shown before, which stays where this answer is held back. */
  #leave(tree: number, id: number, before: number): void {
    const edge = this.#flow.edges[id];
    if (edge === undefined) return;
    const said = edge.branch?.step === this.#flow.steps[edge.from]?.id ? this.#said(edge) : 0;
    const counted = said === 0 ? tree : this.trees.times(tree, this.#table.factors(edge.from, said));
    const told = this.#ways.held[edge.from] === 1 ? this.trees.either(counted, before) : counted;
    const struck = this.#ways.strikes.get(id);
    this.#on[id] = struck === undefined ? told : this.trees.without(told, struck);
  }

  #said({ from, branch }: FlowEdge): number {
    return branch === undefined ? 0 : this.#table.say(from, branch.outcome);
  }
}
