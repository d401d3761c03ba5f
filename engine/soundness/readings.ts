import { surelyTaken, unguardedReadings } from "../procedure/expression.ts";
import type { Finding, WitnessStep } from "../procedure/finding.ts";
import { expressionsOf } from "../procedure/link-needs.ts";
import type { Branch, Expression, StepId } from "../procedure/model.ts";
import { type Analysis, isReached, walkable } from "./analysis.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import { perStep } from "./per-step.ts";
import type { OfStep } from "./step-lists.ts";
import { type CameBy, wayBack } from "./way-back.ts";
import { witnessOf } from "./witness.ts";

/**
 * `reading-not-taken`: an expression uses the reading or value of a step that some way to it does not pass, or
 * the time since one. A use behind `"x" in readings` is free, one in an earlier arm or on the way included.
 *
 * Facts with choices and counts of bounded branches are followed along each way; every other condition counts as
 * open. Where those ways are too many, neither is followed, and the finding says that it is not shown.
 */
export function checkReadings(analysis: Analysis): readonly Finding[] {
  const uses = usesOf(analysis);
  const ways = walkable(analysis);
  const nodesOf = uses.length === 0 ? [] : nodesByStep(analysis, ways);
  const findings: Finding[] = [];
  for (const part of chunks([...new Set(uses.map((use) => use.key))], 30)) {
    const bits = new Map(part.map((key, bit) => [key, bit] as const));
    const before = mustBefore(analysis, ways, bits);
    for (const use of uses) {
      const bit = bits.get(use.key);
      if (bit === undefined) continue;
      const isKnown = (node: number) => {
        const known = before[node] ?? 0;
        const then =
          use.after === undefined ? known : afterLeaving(analysis.flow, use.at, use.after, bits, known);
        return ((then >> bit) & 1) === 1;
      };
      if (nodesOf[use.at]?.every((node) => !comesUp(analysis, ways, node, use) || isKnown(node)) ?? true)
        continue;
      const witness = wayWithout(analysis, ways, use);
      findings.push({
        code: "reading-not-taken",
        severity: "error",
        params: {
          step: use.step,
          name: use.name,
          text: use.expression.text,
          what: use.what,
          ...(analysis.counted.complete ? {} : { why: "not-proven" }),
        },
        node: use.expression.node,
        step: use.step,
        ...(witness === undefined ? {} : { witness }),
      });
    }
  }
  return findings;
}

type Ways = ReturnType<typeof walkable>;

function nodesByStep({ flow }: Analysis, { steps }: Ways): readonly (readonly number[])[] {
  const nodes: number[][] = flow.steps.map(() => []);
  for (const [node, step] of steps.entries()) nodes[step]?.push(node);
  return nodes;
}

/** Whether the use is evaluated at a node: what stands in a branch is not once that is used up. */
function comesUp({ flow }: Analysis, { out }: Ways, node: number, { after }: Use): boolean {
  if (after === undefined) return true;
  return (out[node] ?? []).some(({ edge }) => {
    const { branch, arm } = flow.edges[edge] ?? {};
    return branch === after && arm !== "else";
  });
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
  const add = (
    expression: Expression,
    at: number,
    step: StepId,
    after?: Branch,
    known?: ReadonlySet<StepId>,
  ): void => {
    const place = { expression, step, at, ...(after === undefined ? {} : { after }) };
    for (const name of unguardedReadings(expression, known))
      uses.push({ ...place, what: "reading", name, key: `reading ${name}` });
    for (const name of expression.elapsed)
      uses.push({ ...place, what: "elapsed", name, key: `elapsed ${name}` });
  };
  for (const { index: at, step } of analysis.steps.where(isAnyEvaluated)) {
    if (!isReached(analysis, at)) continue;
    for (const expression of outsideBranches(procedure, step)) add(expression, at, step.id);
    // A call's branches are decided where the called procedure ends: they stand on the edges.
    let last: Branch | undefined;
    for (const id of flow.out[at] ?? []) {
      const branch = flow.edges[id]?.branch;
      if (branch === undefined || branch === last || branch.arms.length < 2) continue;
      last = branch;
      for (const [arm, { if: condition }] of branch.arms.entries())
        if (condition !== undefined)
          add(condition, at, branch.step, branch, takenBefore(branch.arms.slice(0, arm)));
    }
  }
  return uses;
}

/** Whether an expression may stand at a step or on an edge from it. */
const isAnyEvaluated: OfStep = (procedure, step) =>
  step.kind === "end" || expressionsOf(procedure, step).next().done !== true;

const outsideBranches = perStep((procedure, step): readonly Expression[] => {
  const inBranches = new Set<Expression>();
  for (const branch of step.outcomes.values())
    for (const arm of branch.arms) if (arm.if !== undefined) inBranches.add(arm.if);
  return [...expressionsOf(procedure, step)].filter((each) => !inBranches.has(each));
});

/** The shortest way to the use that a run can walk without what it uses; undefined where none was found. */
function wayWithout(analysis: Analysis, { steps, out }: Ways, use: Use): readonly WitnessStep[] | undefined {
  const { flow } = analysis;
  const by = new Map<number, CameBy>();
  const queue = steps.length === 0 ? [] : [0];
  for (let at = 0; at < queue.length; at += 1) {
    const node = queue[at] ?? 0;
    const arrived = steps[node] === use.at;
    if (arrived && use.after === undefined) return witnessOf(analysis, wayBack(by, node));
    for (const { to, edge } of out[node] ?? []) {
      const { branch, arm } = flow.edges[edge] ?? {};
      const own = new Map([[use.key, 0]]);
      if (afterLeaving(flow, steps[node] ?? -1, branch, own, 0) === 1) continue;
      if (arrived && branch !== undefined && branch === use.after)
        return witnessOf(analysis, [...wayBack(by, node), edge], true);
      if (askedFor(branch, arm, own) === 1) continue;
      if (to === 0 || by.has(to)) continue;
      by.set(to, { from: node, edge });
      queue.push(to);
    }
  }
  return undefined;
}

/** For each node, which of the named readings and entries lie on every way to it. */
function mustBefore({ flow }: Analysis, { steps, out }: Ways, bits: ReadonlyMap<string, number>): Int32Array {
  const before = new Int32Array(steps.length).fill(-1);
  before[0] = 0;
  const waiting = [0];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    for (const { to, edge } of out[at] ?? []) {
      const { branch, arm } = flow.edges[edge] ?? {};
      const left = afterLeaving(flow, steps[at] ?? -1, branch, bits, before[at] ?? 0);
      const known = left | askedFor(branch, arm, bits);
      const next = (before[to] ?? -1) & known;
      if (next === before[to]) continue;
      before[to] = next;
      waiting.push(to);
    }
  }
  return before;
}

/** Readings that a run on this arm has, since a condition asked whether they were taken. */
function askedFor(
  branch: Branch | undefined,
  arm: FlowEdge["arm"] | undefined,
  bits: ReadonlyMap<string, number>,
): number {
  if (branch === undefined || typeof arm !== "number" || branch.arms.length < 2) return 0;
  const condition = branch.arms[arm]?.if;
  const isLast = arm === branch.arms.length - 1;
  const unsure = isLast ? branch.arms.findIndex((each) => (each.if?.facts.length ?? 0) > 0) : -1;
  // A fact that is not known leads to the last arm, and no condition from there on was evaluated.
  const before = takenBefore(branch.arms.slice(0, unsure < 0 ? arm : unsure));
  const taken = condition === undefined || isLast ? [] : surelyTaken(condition, true);
  let known = 0;
  for (const step of [...before, ...taken]) {
    const bit = bits.get(`reading ${step}`);
    if (bit !== undefined) known |= 1 << bit;
  }
  return known;
}

/** Steps whose readings were taken where none of these arms' conditions held. */
function takenBefore(arms: Branch["arms"]): ReadonlySet<StepId> {
  return new Set(arms.flatMap((arm) => (arm.if === undefined ? [] : [...surelyTaken(arm.if, false)])));
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
