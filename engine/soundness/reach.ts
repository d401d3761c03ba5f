import type { Finding } from "../procedure/finding.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { componentsOf } from "./components.ts";
import { wayToNode } from "./counted.ts";
import { endsRun, isImpliedEnd, isWayOut } from "./flow.ts";
import { witnessOf, witnessTo } from "./witness.ts";

/** `unreachable-step`: steps that no way from the start leads to, with one choice for each fact on it. Exact. */
export function checkUnreachable(analysis: Analysis): readonly Finding[] {
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
  const isStuck = (index: number) => leadsOn[index] === 0;
  const stuck = componentsOf(flow, (edge) => !isWayOut(edge) && isStuck(edge.from));
  const leaves = new Set<number>();
  for (const edge of flow.edges) {
    if (isWayOut(edge) || !isStuck(edge.from)) continue;
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

/** 1 for each step from which an end can be reached over written branches. */
function leadsToEnd(analysis: Analysis): Uint8Array {
  const { flow } = analysis;
  const leadsOn = new Uint8Array(flow.steps.length);
  const waiting: number[] = [];
  for (const index of flow.steps.keys()) {
    if (!endsRun(flow, index)) continue;
    leadsOn[index] = 1;
    waiting.push(index);
  }
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    for (const id of flow.into[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || isWayOut(edge) || leadsOn[edge.from] === 1) continue;
      leadsOn[edge.from] = 1;
      waiting.push(edge.from);
    }
  }
  return leadsOn;
}

/** A used-up `borderline` without `else` takes the band that the value picks: it never leads nowhere. */
function usedUpBranches(analysis: Analysis): readonly Finding[] {
  const { flow, counted } = analysis;
  const told = new Set<unknown>();
  return counted.stuck.flatMap(({ node, edge }) => {
    const { branch } = flow.edges[edge] ?? {};
    if (branch === undefined || told.has(branch)) return [];
    told.add(branch);
    return {
      code: "dead-end" as const,
      severity: "error" as const,
      params: {
        step: branch.step,
        outcome: branch.outcome,
        atMost: branch.atMost ?? 0,
        why: "used-up",
      },
      node: branch.node,
      step: branch.step,
      witness: witnessOf(analysis, [...wayToNode(counted, node), edge]),
    };
  });
}
