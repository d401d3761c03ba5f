import type { Finding } from "../procedure/finding.ts";
import type { Branch } from "../procedure/model.ts";
import { type Analysis, isReached, wayFromStart } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import { componentsOf } from "./components.ts";
import { wayToNode } from "./counted.ts";
import { endsRun, isImpliedEnd, isUnwritten } from "./flow.ts";
import type { OfStep } from "./step-lists.ts";
import { type CameBy, wayBack } from "./way-back.ts";
import { witnessOf, witnessTo } from "./witness.ts";

/**
 * `unreachable-step`: steps that no way from the start leads to, with one choice for each fact on it. Exact as long
 * as the counted flow is complete; where it is not, only steps that the plain flow does not come to are told, and a
 * note says so.
 */
export function checkUnreachable(analysis: Analysis): readonly Finding[] {
  return [...unreached(analysis), ...notAllWalked(analysis)];
}

function notAllWalked({ counted, flow, components }: Analysis): readonly Finding[] {
  if (counted.complete) return [];
  const counts = flow.edges.find(
    ({ from, to, branch }) => branch?.atMost !== undefined && components.of[from] === components.of[to],
  );
  const step = flow.steps[counts?.from ?? flow.start];
  if (step === undefined) return [];
  return [
    {
      code: "unreachable-step",
      severity: "note",
      params: { step: step.id, why: "not-proven" },
      node: step.node,
      atKey: true,
      step: step.id,
    },
  ];
}

function unreached(analysis: Analysis): readonly Finding[] {
  return analysis.flow.steps.flatMap((step, index) =>
    isReached(analysis, index) || isImpliedEnd(step)
      ? []
      : {
          code: "unreachable-step" as const,
          severity: "error" as const,
          params: { step: step.id },
          node: step.node,
          atKey: true,
          step: step.id,
        },
  );
}

/**
 * `dead-end`: steps from which no end can be reached but by `cannot` or `stop` that nobody wrote, told where
 * the way stops; and branches on a cycle that lead nowhere once they are used up.
 */
export function checkDeadEnds(analysis: Analysis): readonly Finding[] {
  return [...stuckSteps(analysis), ...usedUpBranches(analysis)];
}

function stuckSteps(analysis: Analysis): readonly Finding[] {
  const { flow } = analysis;
  const leadsOn = leadsToEnd(analysis);
  if (!leadsOn.includes(0)) return [];
  const isStuck = (index: number) => leadsOn[index] === 0;
  const stuck = componentsOf(flow, (edge) => !isUnwritten(edge) && isStuck(edge.from));
  const leaves = new Set<number>();
  for (const edge of flow.edges) {
    if (isUnwritten(edge) || !isStuck(edge.from)) continue;
    if (stuck.of[edge.from] !== stuck.of[edge.to]) leaves.add(stuck.of[edge.from] ?? -1);
  }
  const told = new Set<number>();
  const findings: Finding[] = [];
  for (const [index, step] of flow.steps.entries()) {
    const component = stuck.of[index] ?? -1;
    if (!isStuck(index) || leaves.has(component) || told.has(component) || !isReached(analysis, index))
      continue;
    told.add(component);
    const witness = witnessTo(analysis, index);
    findings.push({
      code: "dead-end",
      severity: "error",
      params: { step: step.id, why: "no-end" },
      node: step.node,
      step: step.id,
      ...(witness === undefined ? {} : { witness }),
    });
  }
  return findings;
}

const isEnd: OfStep = (_, { kind }) => kind === "end";

/** 1 for each step from which an end can be reached over written branches. */
function leadsToEnd(analysis: Analysis): Uint8Array {
  const { flow } = analysis;
  const leadsOn = new Uint8Array(flow.steps.length);
  const waiting: number[] = [];
  for (const { index } of analysis.steps.where(isEnd)) {
    if (!endsRun(flow, index)) continue;
    leadsOn[index] = 1;
    waiting.push(index);
  }
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    for (const id of flow.into[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || isUnwritten(edge) || leadsOn[edge.from] === 1) continue;
      leadsOn[edge.from] = 1;
      waiting.push(edge.from);
    }
  }
  return leadsOn;
}

/**
 * A used-up `borderline` without `else` takes the band that the value picks: it never leads nowhere. Exact as long
 * as the counted flow is complete, conditions left open; {@link perhapsUsedUp} says what is told otherwise.
 */
function usedUpBranches(analysis: Analysis): readonly Finding[] {
  const { flow, counted } = analysis;
  const told = new Set<Branch>();
  const shown = counted.stuck.flatMap(({ node, edge }) => {
    const { branch } = flow.edges[edge] ?? {};
    if (branch === undefined || told.has(branch)) return [];
    told.add(branch);
    return { ...usedUp(branch), witness: witnessOf(analysis, [...wayToNode(counted, node), edge]) };
  });
  return counted.complete ? shown : [...shown, ...perhapsUsedUp(analysis, told)];
}

function usedUp(branch: Branch): Finding {
  return {
    code: "dead-end",
    severity: "error",
    params: { step: branch.step, outcome: branch.outcome, atMost: branch.atMost ?? 0, why: "used-up" },
    node: branch.node,
    step: branch.step,
  };
}

/** A way round of more edges than this is not written out. */
const MOST_WRITTEN = 2_000;
/** More steps than this are not looked at in all to find ways round. */
const MOST_LOOKED_AT = 1_000_000;

/**
 * What a counted flow that is not complete may have missed: bounded branches without `else` on a cycle. An error
 * where the cycle has a way round without any other bounded branch, so that this one is used up; else only noted,
 * since another bound may end the going round before.
 */
function perhapsUsedUp(analysis: Analysis, told: Set<Branch>): readonly Finding[] {
  const { flow, components, procedure } = analysis;
  const findings: Finding[] = [];
  const budget = { left: MOST_LOOKED_AT };
  for (const [id, { from, to, branch, arm }] of flow.edges.entries()) {
    if (branch?.atMost === undefined || branch.else !== undefined || branch.outcome === "borderline")
      continue;
    if (told.has(branch) || components.of[from] !== components.of[to] || !isReached(analysis, from)) continue;
    if (typeof arm === "number" && armFacts(procedure, branch, arm) === "never") continue;
    told.add(branch);
    const finding = usedUp(branch);
    const round = unboundedWay(analysis, to, from, budget);
    if (round === undefined) {
      findings.push({ ...finding, severity: "note", params: { ...finding.params, why: "not-proven" } });
      continue;
    }
    const length = branch.atMost * (round.length + 1);
    const head = length > MOST_WRITTEN ? undefined : wayFromStart(analysis, from);
    if (head === undefined) {
      findings.push(finding);
      continue;
    }
    const rounds = Array.from({ length: branch.atMost }, () => [id, ...round]).flat();
    findings.push({ ...finding, witness: witnessOf(analysis, [...head, ...rounds, id]) });
  }
  return findings;
}

/** The shortest way from one step to another by edges that nothing counts; undefined where none was found. */
function unboundedWay(
  { flow, components, procedure }: Analysis,
  from: number,
  target: number,
  budget: { left: number },
): readonly number[] | undefined {
  const by = new Map<number, CameBy>();
  const queue = [from];
  for (let at = 0; at < queue.length && budget.left > 0; at += 1, budget.left -= 1) {
    const step = queue[at] ?? -1;
    if (step === target) return wayBack(by, step);
    for (const id of flow.out[step] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || edge.leaves || edge.branch?.atMost !== undefined) continue;
      if (components.of[edge.to] !== components.of[from] || edge.to === from || by.has(edge.to)) continue;
      if (edge.branch !== undefined && typeof edge.arm === "number")
        if (armFacts(procedure, edge.branch, edge.arm) === "never") continue;
      by.set(edge.to, { from: step, edge: id });
      queue.push(edge.to);
    }
  }
  return undefined;
}
