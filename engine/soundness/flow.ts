import type { Branch, Procedure, Step, StepId } from "../procedure/model.ts";
import { returnBranch } from "../procedure/next-steps.ts";

/** One way from a step to the next. A called end's edge carries the branch of the step that called. */
export interface FlowEdge {
  readonly from: number;
  readonly to: number;
  /** Absent on the way into a called procedure. */
  readonly branch?: Branch;
  /** Index in the branch's arms; `else` after it was used up; `enter` on the way into a called procedure. */
  readonly arm: number | "else" | "enter";
  /** A `cannot` or `stop` that nobody wrote and that ends the run: a way out of every step, not of its making. */
  readonly leaves?: true;
}

/** A procedure as numbered steps and edges: what the proofs walk, without recursion and without names. */
export interface Flow {
  readonly procedure: Procedure;
  readonly steps: readonly Step[];
  readonly indexOf: ReadonlyMap<StepId, number>;
  readonly start: number;
  readonly edges: readonly FlowEdge[];
  /** Edge numbers by step, in the order written. */
  readonly out: readonly (readonly number[])[];
  readonly into: readonly (readonly number[])[];
}

/** The procedure's flow. A goto to a step that does not exist has no edge; the linker reports it. */
export function flowOf(procedure: Procedure): Flow {
  const steps = [...procedure.steps.values()];
  const indexOf = new Map(steps.map((step, index) => [step.id, index]));
  const edgesFrom = edgeFinder(procedure, indexOf);
  const edges: FlowEdge[] = [];
  const into: number[][] = steps.map(() => []);
  const out = steps.map((step, from) =>
    edgesFrom(step, from).map((edge) => {
      const id = edges.push(edge) - 1;
      into[edge.to]?.push(id);
      return id;
    }),
  );
  return { procedure, steps, indexOf, start: indexOf.get(procedure.start) ?? -1, edges, out, into };
}

/**
 * As {@link flowOf}, with what the flow of an earlier text has in common taken over: where the edited steps (see
 * {@link editedSteps}) lead on by as many edges, and none of them is a call or an end.
 */
export function flowAgain(procedure: Procedure, last: Flow, edited: readonly number[]): Flow {
  const steps = [...procedure.steps.values()];
  // Where an end leads back hangs on ends and calls alone.
  const leadsBack = (index: number) =>
    [last.steps[index]?.kind, steps[index]?.kind].some((kind) => kind === "call" || kind === "end");
  if (edited.some(leadsBack)) return flowOf(procedure);
  const edgesFrom = edgeFinder(procedure, last.indexOf);
  const edges = [...last.edges];
  const into = [...last.into];
  for (const from of edited) {
    const ids = last.out[from] ?? [];
    const own = edgesFrom(steps[from] as Step, from);
    if (own.length !== ids.length) return flowOf(procedure);
    for (const [at, id] of ids.entries()) {
      const [before, edge] = [edges[id] as FlowEdge, own[at] as FlowEdge];
      edges[id] = edge;
      if (before.to === edge.to) continue;
      into[before.to] = (into[before.to] ?? []).filter((each) => each !== id);
      into[edge.to] = [...(into[edge.to] ?? []), id].sort((a, b) => a - b);
    }
  }
  const { indexOf, out } = last;
  return { procedure, steps, indexOf, start: indexOf.get(procedure.start) ?? -1, edges, out, into };
}

/** The steps that are no longer the same, by number; undefined where they differ in number, name or order. */
export function editedSteps(before: Flow, procedure: Procedure): readonly number[] | undefined {
  if (before.steps.length !== procedure.steps.size) return undefined;
  const edited: number[] = [];
  let index = 0;
  for (const step of procedure.steps.values()) {
    const old = before.steps[index];
    if (old?.id !== step.id) return undefined;
    if (old !== step) edited.push(index);
    index += 1;
  }
  return edited;
}

/** Finds the edges of a step, in the order written. */
function edgeFinder(
  procedure: Procedure,
  indexOf: ReadonlyMap<StepId, number>,
): (step: Step, from: number) => readonly FlowEdge[] {
  const back = new Map<StepId, boolean>();
  // Most steps lead to the same few ends by what nobody wrote.
  const isBack = (target: StepId): boolean => {
    const known = back.get(target) ?? comesBack(procedure, target);
    back.set(target, known);
    return known;
  };
  return (step, from) => {
    const edges: FlowEdge[] = [];
    const add = (target: StepId, arm: FlowEdge["arm"], branch?: Branch): void => {
      const to = indexOf.get(target);
      if (to === undefined) return;
      if (branch === undefined) edges.push({ from, to, arm });
      else if (isUnwritten({ branch }) && !isBack(target))
        edges.push({ from, to, arm, branch, leaves: true });
      else edges.push({ from, to, arm, branch });
    };
    const addBranch = (branch: Branch): void => {
      for (let arm = 0; arm < branch.arms.length; arm += 1) add(branch.arms[arm]?.goto ?? "", arm, branch);
      if (branch.else !== undefined) add(branch.else, "else", branch);
    };
    if (step.kind === "call") add(step.entry, "enter");
    else if (step.kind === "end") {
      const branch = returnBranch(procedure, step);
      if (branch !== undefined) addBranch(branch);
    } else for (const branch of step.outcomes.values()) addBranch(branch);
    return edges;
  };
}

/** Whether a run can end here: an end at the top, or a called one that the caller does not take up. */
export function endsRun(flow: Flow, index: number): boolean {
  const step = flow.steps[index];
  return step?.kind === "end" && returnBranch(flow.procedure, step) === undefined;
}

/** Whether nobody wrote this step: where `cannot`, `stop` and returns lead by themselves. */
export function isImpliedEnd(step: Step): boolean {
  return step.kind === "end" && (step.id === `end/${step.end}` || step.id.endsWith(`/end/${step.end}`));
}

/** Whether this is a `cannot` or `stop` that nobody wrote. */
export function isUnwritten({ branch }: Pick<FlowEdge, "branch">): boolean {
  return branch?.implied === true && (branch.outcome === "cannot" || branch.outcome === "stop");
}

/** Whether an end that nobody wrote returns to a caller that wrote where it goes on. */
function comesBack(procedure: Procedure, target: StepId): boolean {
  let end = procedure.steps.get(target);
  while (end?.kind === "end") {
    const branch = returnBranch(procedure, end);
    if (branch === undefined) return false;
    if (!branch.implied) return true;
    end = procedure.steps.get(branch.arms[0]?.goto ?? "");
  }
  return end !== undefined;
}
