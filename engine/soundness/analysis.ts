import { type Beside, besideOf, changesOf } from "../procedure/keep-unchanged.ts";
import type { Branch, Procedure, Step } from "../procedure/model.ts";
import { type Components, componentsOf } from "./components.ts";
import { type Counted, countedFlow, wayToNode } from "./counted.ts";
import { type FactSpace, factSpace } from "./fact-space.ts";
import { editedSteps, type Flow, flowAgain, flowOf } from "./flow.ts";
import { type BeforeEdit, StepLists } from "./step-lists.ts";

/** What every rule reads: the flow, what a run can come to, and its cycles. Reckoned once. */
export interface Analysis {
  readonly procedure: Procedure;
  readonly flow: Flow;
  /** The flow's steps by what holds of them. */
  readonly steps: StepLists;
  /** Over every edge. */
  readonly components: Components;
  /** What can be chosen for the facts that conditions hang on. */
  readonly facts: FactSpace;
  readonly counted: Counted;
  /**
   * The edge by which each step is first reached, conditions and bounds left aside; -1 at the start, -2 where
   * none does. Empty where the counted flow is complete: nobody looks at it then.
   */
  readonly reachedBy: Int32Array;
  /** 1 for each edge that some run can walk, as far as the counted flow knows; `cannot` and `stop` that nobody
   * wrote and that end the run are left out. */
  readonly walked: Uint8Array;
}

/** What an edit cannot have changed is taken over from the last text with the same beside its steps. */
export function analyse(procedure: Procedure): Analysis {
  const beside = besideOf(procedure);
  const last = LAST.get(beside);
  const edited = last && editedSteps(last.flow, procedure);
  const analysis =
    last === undefined || edited === undefined
      ? analysed(procedure, flowOf(procedure))
      : analysedAgain(procedure, last, edited);
  LAST.set(beside, analysis);
  return analysis;
}

/** The last analysis, by what stands beside the steps. */
const LAST = new WeakMap<Beside, Analysis>();

function analysedAgain(procedure: Procedure, last: Analysis, edited: readonly number[]): Analysis {
  const before = { lists: last.steps, edited };
  const flow = flowAgain(procedure, last.flow, edited);
  const isSameWays =
    changesOf(last.procedure, procedure) !== undefined ||
    (last.flow.start === flow.start &&
      edited.every((index) => leadsAlike(last.flow.steps[index], flow.steps[index])));
  return isSameWays
    ? { ...last, procedure, flow, steps: new StepLists(procedure, flow.steps, before) }
    : analysed(procedure, flow, before);
}

/** Whether an edited step leads on as before, by branches that no condition decides: other limits, say. */
function leadsAlike(before: Step | undefined, step: Step | undefined): boolean {
  if (before === undefined || before.kind !== step?.kind || before.outcomes.size !== step.outcomes.size)
    return false;
  // These change more than where runs go: what is struck, and where calls go on.
  if (step.kind === "conclude" || step.kind === "call" || step.kind === "end") return false;
  const others = step.outcomes.values();
  for (const branch of before.outcomes.values()) {
    const other = others.next().value;
    if (other === undefined || !isSamePlainly(branch, other)) return false;
  }
  return true;
}

function isSamePlainly(before: Branch, branch: Branch): boolean {
  const [[arm, ...more], [other, ...others]] = [before.arms, branch.arms];
  if (arm?.if !== undefined || other?.if !== undefined || more.length + others.length > 0) return false;
  return (
    arm?.goto === other?.goto &&
    before.outcome === branch.outcome &&
    before.atMost === branch.atMost &&
    before.else === branch.else &&
    before.implied === branch.implied
  );
}

function analysed(procedure: Procedure, flow: Flow, before?: BeforeEdit): Analysis {
  const steps = new StepLists(procedure, flow.steps, before);
  const components = componentsOf(flow);
  const facts = factSpace(procedure, steps);
  const counted = countedFlow(procedure, flow, components, facts);
  return {
    procedure,
    flow,
    steps,
    components,
    facts,
    counted,
    reachedBy: counted.complete ? new Int32Array() : reachFrom(flow, flow.start),
    walked: walkedEdges(flow, counted),
  };
}

function walkedEdges(flow: Flow, counted: Counted): Uint8Array {
  if (!counted.complete) return Uint8Array.from(flow.edges, ({ leaves }) => (leaves ? 0 : 1));
  const walked = new Uint8Array(flow.edges.length);
  for (const row of counted.out) for (const { edge } of row) walked[edge] = 1;
  return walked;
}

/** Whether a run can come to this step, conditions that hang on more than choices of facts left aside. */
export function isReached(analysis: Analysis, index: number): boolean {
  const { counted, reachedBy } = analysis;
  return (counted.first[index] ?? -1) >= 0 || (!counted.complete && (reachedBy[index] ?? -2) !== -2);
}

/** The edges of the shortest way from the start to a step that a run can walk; undefined where there is none. */
export function wayFromStart(analysis: Analysis, index: number): readonly number[] | undefined {
  const { counted, flow, reachedBy } = analysis;
  const node = counted.first[index] ?? -1;
  if (node >= 0) return wayToNode(counted, node);
  return counted.complete ? undefined : wayTo(flow, reachedBy, index);
}

/** What a run can walk: the counted flow, or where that is not complete the plain one from the start. */
export function walkable({ counted, flow }: Analysis): Pick<Counted, "steps" | "out"> {
  if (counted.complete) return counted;
  const steps = [flow.start];
  const nodeOf = new Map([[flow.start, 0]]);
  const out: { to: number; edge: number }[][] = [];
  for (let at = 0; at < steps.length; at += 1)
    out.push(
      (flow.out[steps[at] ?? -1] ?? []).flatMap((id) => {
        const step = flow.edges[id]?.to ?? -1;
        const to = nodeOf.get(step) ?? steps.length;
        if (to === steps.length) {
          nodeOf.set(step, to);
          steps.push(step);
        }
        return { to, edge: id };
      }),
    );
  return { steps, out };
}

/** The edge by which each step is first reached from one step, breadth first; -1 there, -2 where none does. */
function reachFrom(flow: Flow, start: number): Int32Array {
  const by = new Int32Array(flow.steps.length).fill(-2);
  if (start < 0) return by;
  by[start] = -1;
  const queue = [start];
  for (let next = 0; next < queue.length; next += 1) {
    const at = queue[next] ?? -1;
    for (const id of flow.out[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || by[edge.to] !== -2) continue;
      by[edge.to] = id;
      queue.push(edge.to);
    }
  }
  return by;
}

/** The edges of the way that {@link reachFrom} found; undefined where it found none. */
function wayTo(flow: Flow, reachedBy: Int32Array, target: number): readonly number[] | undefined {
  const way: number[] = [];
  for (let at = target; ; ) {
    const id = reachedBy[at] ?? -2;
    if (id === -2) return undefined;
    if (id === -1) return way.reverse();
    way.push(id);
    at = flow.edges[id]?.from ?? -1;
  }
}
