import { unguardedReadings } from "../procedure/expression.ts";
import type { Finding, WitnessStep } from "../procedure/finding.ts";
import { expressionsOf } from "../procedure/link-needs.ts";
import type { Branch, Expression, StepId } from "../procedure/model.ts";
import { type Analysis, isReached, walkable } from "./analysis.ts";
import type { Flow } from "./flow.ts";
import { perStep } from "./per-step.ts";
import { type CameBy, wayBack } from "./way-back.ts";
import { witnessOf } from "./witness.ts";

/**
 * `reading-not-taken`: an expression uses the reading or value of a step that some way to it does not pass, or
 * the time since one. Exact but for conditions: every arm counts as open. A use behind `"x" in readings` is
 * free.
 */
export function checkReadings(analysis: Analysis): readonly Finding[] {
  const uses = usesOf(analysis);
  const findings: Finding[] = [];
  for (const part of chunks([...new Set(uses.map((use) => use.key))], 30)) {
    const bits = new Map(part.map((key, bit) => [key, bit] as const));
    const before = mustBefore(analysis, bits);
    for (const use of uses) {
      const bit = bits.get(use.key);
      if (bit === undefined) continue;
      const known =
        use.after === undefined
          ? before[use.at]
          : afterLeaving(analysis.flow, use.at, use.after, bits, before[use.at] ?? 0);
      if (((known ?? 0) >> bit) & 1) continue;
      const witness = wayWithout(analysis, use);
      findings.push({
        code: "reading-not-taken",
        severity: "error",
        params: { step: use.step, name: use.name, text: use.expression.text, what: use.what },
        node: use.expression.node,
        step: use.step,
        ...(witness === undefined ? {} : { witness }),
      });
    }
  }
  return findings;
}

interface Use {
  readonly key: string;
  readonly what: "reading" | "elapsed";
  readonly name: StepId;
  readonly expression: Expression;
  readonly step: StepId;
  /** The step where it is evaluated; after its outcome, when it stands in a branch. */
  readonly at: number;
  readonly after?: Branch;
}

function usesOf(analysis: Analysis): readonly Use[] {
  const { flow, procedure } = analysis;
  const uses: Use[] = [];
  const add = (expression: Expression, at: number, step: StepId, after?: Branch): void => {
    const place = { expression, step, at, ...(after === undefined ? {} : { after }) };
    for (const name of unguardedReadings(expression))
      uses.push({ ...place, what: "reading", name, key: `reading ${name}` });
    for (const name of expression.elapsed)
      uses.push({ ...place, what: "elapsed", name, key: `elapsed ${name}` });
  };
  for (const [at, step] of flow.steps.entries()) {
    if (!isReached(analysis, at)) continue;
    for (const expression of outsideBranches(procedure, step)) add(expression, at, step.id);
    // A call's branches are decided where the called procedure ends: they stand on the edges.
    let last: Branch | undefined;
    for (const id of flow.out[at] ?? []) {
      const branch = flow.edges[id]?.branch;
      if (branch === undefined || branch === last || branch.arms.length < 2) continue;
      last = branch;
      for (const arm of branch.arms) if (arm.if !== undefined) add(arm.if, at, branch.step, branch);
    }
  }
  return uses;
}

const outsideBranches = perStep((procedure, step): readonly Expression[] => {
  const inBranches = new Set<Expression>();
  for (const branch of step.outcomes.values())
    for (const arm of branch.arms) if (arm.if !== undefined) inBranches.add(arm.if);
  return [...expressionsOf(procedure, step)].filter((each) => !inBranches.has(each));
});

/** The shortest way to the use that a run can walk without what it uses; undefined where none was found. */
function wayWithout(analysis: Analysis, use: Use): readonly WitnessStep[] | undefined {
  const { flow } = analysis;
  const { steps, out } = walkable(analysis);
  const by = new Map<number, CameBy>();
  const queue = steps.length === 0 ? [] : [0];
  for (let at = 0; at < queue.length; at += 1) {
    const node = queue[at] ?? 0;
    const arrived = steps[node] === use.at;
    if (arrived && use.after === undefined) return witnessOf(analysis, wayBack(by, node));
    for (const { to, edge } of out[node] ?? []) {
      const { branch } = flow.edges[edge] ?? {};
      const gives = afterLeaving(flow, steps[node] ?? -1, branch, new Map([[use.key, 0]]), 0) === 1;
      if (gives) continue;
      if (arrived && branch !== undefined && branch === use.after)
        return witnessOf(analysis, [...wayBack(by, node), edge]);
      if (to === 0 || by.has(to)) continue;
      by.set(to, { from: node, edge });
      queue.push(to);
    }
  }
  return undefined;
}

/** For each step, which of the named readings and entries lie on every way to it. */
function mustBefore(analysis: Analysis, bits: ReadonlyMap<string, number>): Int32Array {
  const { flow } = analysis;
  const before = new Int32Array(flow.steps.length).fill(-1);
  if (flow.start < 0) return before;
  before[flow.start] = 0;
  const waiting = [flow.start];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    for (const id of flow.out[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined) continue;
      const known = afterLeaving(flow, at, edge.branch, bits, before[at] ?? 0);
      const next = (before[edge.to] ?? -1) & known;
      if (next === before[edge.to]) continue;
      before[edge.to] = next;
      waiting.push(edge.to);
    }
  }
  return before;
}

/** What is known once a step was left by a branch: its entry, and its reading where that was an outcome. */
function afterLeaving(
  flow: Flow,
  at: number,
  branch: Branch | undefined,
  bits: ReadonlyMap<string, number>,
  before: number,
): number {
  const step = flow.steps[at];
  if (step === undefined) return before;
  const entered = bits.get(`elapsed ${step.id}`);
  const taken =
    step.kind === "measure" && branch?.outcome !== "cannot" && branch?.outcome !== "stop"
      ? bits.get(`reading ${step.id}`)
      : undefined;
  return before | (entered === undefined ? 0 : 1 << entered) | (taken === undefined ? 0 : 1 << taken);
}

function chunks<T>(list: readonly T[], size: number): readonly (readonly T[])[] {
  return Array.from({ length: Math.ceil(list.length / size) }, (_, index) =>
    list.slice(index * size, (index + 1) * size),
  );
}
