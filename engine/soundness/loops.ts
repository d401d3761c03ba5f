import type { Finding } from "../procedure/finding.ts";
import type { Analysis } from "./analysis.ts";
import { componentsOf } from "./components.ts";
import { type Counted, wayToNode } from "./counted.ts";
import type { FlowEdge } from "./flow.ts";
import { type CameBy, wayBack } from "./way-back.ts";
import { witnessOf } from "./witness.ts";

/**
 * `endless-loop`: rounds that a run can go for ever. Exact but for conditions, of which every arm counts as open,
 * as long as the counted flow is complete: a way from a node of it back to that node uses no bounded branch up. A
 * flow too large for that is looked at plainly: a bounded branch's arms are taken out, its `else` stays, and what
 * still holds a cycle is told. One finding for each knot of such rounds, its witness goes round once.
 */
export function checkLoops(analysis: Analysis): readonly Finding[] {
  const { flow, walked, counted } = analysis;
  const unbounded = (edge: FlowEdge, id: number) =>
    walked[id] === 1 && (edge.arm === "else" || edge.branch?.atMost === undefined);
  const knots = componentsOf(flow, unbounded);
  if (!knots.cyclic.includes(true)) return [];
  const told = new Set<number>();
  const findings: Finding[] = [];
  // The edge that closes a loop is looked for from the first step written, so that it reads as "back to".
  for (const [id, edge] of flow.edges.entries()) {
    const knot = knots.of[edge.from] ?? -1;
    if (edge.branch === undefined || !unbounded(edge, id)) continue;
    if (!knots.cyclic[knot] || knots.of[edge.to] !== knot || edge.to > edge.from || told.has(knot)) continue;
    const round = roundBy(counted, id);
    if (round === undefined && counted.complete) continue;
    told.add(knot);
    findings.push({
      code: "endless-loop",
      severity: "error",
      params: {
        step: edge.branch.step,
        outcome: edge.branch.outcome,
        to: flow.steps[edge.to]?.id ?? "",
        steps: round?.steps ?? 1,
      },
      node:
        typeof edge.arm === "number"
          ? (edge.branch.arms[edge.arm]?.node ?? edge.branch.node)
          : edge.branch.node,
      step: edge.branch.step,
      ...(round ? { witness: witnessOf(analysis, round.way) } : {}),
    });
  }
  return findings;
}

/** The shortest way from the start round a loop that an edge closes, that edge last; undefined where none is. */
function roundBy(
  counted: Counted,
  closing: number,
): { readonly way: readonly number[]; readonly steps: number } | undefined {
  for (const [last, row] of counted.out.entries()) {
    const first = row.find(({ edge }) => edge === closing)?.to;
    const between = first === undefined ? undefined : wayBetween(counted, first, last);
    if (first !== undefined && between !== undefined)
      return { way: [...wayToNode(counted, first), ...between, closing], steps: between.length + 1 };
  }
  return undefined;
}

function wayBetween(counted: Counted, from: number, to: number): readonly number[] | undefined {
  const by = new Map<number, CameBy>();
  const queue = [from];
  for (let at = 0; at < queue.length; at += 1) {
    const node = queue[at] ?? -1;
    if (node === to) return wayBack(by, to);
    for (const { to: next, edge } of counted.out[node] ?? []) {
      if (next === from || by.has(next)) continue;
      by.set(next, { from: node, edge });
      queue.push(next);
    }
  }
  return undefined;
}
