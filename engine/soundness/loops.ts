import type { Finding } from "../procedure/finding.ts";
import { type Analysis, wayRound } from "./analysis.ts";
import { componentsOf } from "./components.ts";
import { wayToNode } from "./counted.ts";
import type { FlowEdge } from "./flow.ts";
import { witnessOf } from "./witness.ts";

/**
 * `endless-loop`: cycles without an `at-most` on any branch. A bounded branch's arms are taken out, its `else`
 * stays, since that is taken as often as one comes by; what still holds a cycle is endless. Exact but for
 * conditions: every arm counts as open. One finding for each knot of such cycles, its witness goes round once.
 */
export function checkLoops(analysis: Analysis): readonly Finding[] {
  const { flow } = analysis;
  const unbounded = (edge: FlowEdge) => edge.arm === "else" || edge.branch?.atMost === undefined;
  const knots = componentsOf(flow, unbounded);
  const told = new Set<number>();
  const findings: Finding[] = [];
  // The edge that closes a loop is looked for from the first step written, so that it reads as "back to".
  for (const [id, edge] of flow.edges.entries()) {
    const knot = knots.of[edge.from] ?? -1;
    if (edge.branch === undefined || !unbounded(edge)) continue;
    if (!knots.cyclic[knot] || knots.of[edge.to] !== knot || edge.to > edge.from || told.has(knot)) continue;
    told.add(knot);
    const round = wayRound(flow, id, (each) => unbounded(each) && knots.of[each.to] === knot);
    const closing = round && closedOnce(analysis, [...round.slice(1), id]);
    findings.push({
      code: "endless-loop",
      severity: "error",
      params: {
        step: edge.branch.step,
        outcome: edge.branch.outcome,
        to: flow.steps[edge.to]?.id ?? "",
        steps: round?.length ?? 1,
      },
      node:
        typeof edge.arm === "number"
          ? (edge.branch.arms[edge.arm]?.node ?? edge.branch.node)
          : edge.branch.node,
      step: edge.branch.step,
      ...(closing ? { witness: witnessOf(analysis, closing) } : {}),
    });
  }
  return findings;
}

/** A way from the start and once round the loop; undefined where a run can only go round otherwise. */
function closedOnce({ flow, counted }: Analysis, round: readonly number[]): readonly number[] | undefined {
  const begins = flow.edges[round[0] ?? -1]?.from;
  for (const [node, step] of counted.steps.entries()) {
    if (step !== begins) continue;
    let at: number | undefined = node;
    for (const id of round)
      at = at === undefined ? undefined : counted.out[at]?.find(({ edge }) => edge === id)?.to;
    if (at !== undefined) return [...wayToNode(counted, node), ...round];
  }
  return undefined;
}
