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
  const edges: FlowEdge[] = [];
  const out: number[][] = steps.map(() => []);
  const into: number[][] = steps.map(() => []);
  const add = (from: number, target: StepId, arm: FlowEdge["arm"], branch?: Branch): void => {
    const to = indexOf.get(target);
    if (to === undefined) return;
    out[from]?.push(edges.length);
    into[to]?.push(edges.length);
    edges.push(branch === undefined ? { from, to, arm } : { from, to, arm, branch });
  };
  const addBranch = (from: number, branch: Branch): void => {
    for (const [arm, { goto }] of branch.arms.entries()) add(from, goto, arm, branch);
    if (branch.else !== undefined) add(from, branch.else, "else", branch);
  };
  for (const [from, step] of steps.entries()) {
    if (step.kind === "call") add(from, step.entry, "enter");
    else if (step.kind === "end") {
      const branch = returnBranch(procedure, step);
      if (branch !== undefined) addBranch(from, branch);
    } else for (const branch of step.outcomes.values()) addBranch(from, branch);
  }
  return { procedure, steps, indexOf, start: indexOf.get(procedure.start) ?? -1, edges, out, into };
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

/** Whether this is a `cannot` or `stop` that nobody wrote: a way out of every step, but not of its making. */
export function isWayOut(edge: FlowEdge): boolean {
  const { branch } = edge;
  return branch?.implied === true && (branch.outcome === "cannot" || branch.outcome === "stop");
}
