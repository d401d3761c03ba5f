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
  const edges: FlowEdge[] = [];
  const out: number[][] = steps.map(() => []);
  const into: number[][] = steps.map(() => []);
  const add = (from: number, target: StepId, arm: FlowEdge["arm"], branch?: Branch): void => {
    const to = indexOf.get(target);
    if (to === undefined) return;
    out[from]?.push(edges.length);
    into[to]?.push(edges.length);
    if (branch === undefined) edges.push({ from, to, arm });
    else if (isUnwritten({ branch }) && !comesBack(procedure, target))
      edges.push({ from, to, arm, branch, leaves: true });
    else edges.push({ from, to, arm, branch });
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
