import { reachesFixed } from "../procedure/reaches-fixed.ts";
import type { Flow, FlowEdge } from "./flow.ts";

/**
 * 1 for each step whose answer may say nothing of the faults afterwards: it was given to verify a repair, and the
 * verification can be left on the way kept without having failed (`cannot`, or a call that has verified it). By
 * flow, so that more steps can be marked than a run needs, never fewer.
 */
export function heldBack(flow: Flow, kept: Uint8Array): Uint8Array {
  const held = new Uint8Array(flow.steps.length);
  if (!flow.edges.some(({ branch }, id) => kept[id] === 1 && branch?.outcome === "repaired")) return held;
  const fixable = reachesFixed(flow.procedure);
  const goesOn = ({ to, branch }: FlowEdge) =>
    branch?.outcome === "repaired" || fixable.has(flow.steps[to]?.id ?? "");
  const verifying = new Uint8Array(flow.steps.length);
  const waiting: number[] = [];
  const arrive = (marks: Uint8Array, index: number): void => {
    if (marks[index] === 1) return;
    marks[index] = 1;
    waiting.push(index);
  };
  flow.edges.forEach((edge, id) => {
    if (kept[id] === 1 && edge.branch?.outcome === "repaired") arrive(verifying, edge.to);
  });
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop())
    for (const id of flow.out[at] ?? []) {
      const edge = flow.edges[id];
      if (edge !== undefined && kept[id] === 1 && goesOn(edge)) arrive(verifying, edge.to);
    }
  flow.edges.forEach((edge, id) => {
    if (kept[id] === 1 && verifying[edge.from] === 1 && leavesUnfailed(flow, edge, goesOn(edge)))
      arrive(held, edge.from);
  });
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop())
    for (const id of flow.into[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || kept[id] === 0 || verifying[edge.from] === 0) continue;
      if (edge.branch?.outcome !== "repaired" && goesOn(edge)) arrive(held, edge.from);
    }
  return held;
}

function leavesUnfailed(flow: Flow, edge: FlowEdge, goesOn: boolean): boolean {
  const step = flow.steps[edge.from];
  if (step?.kind === "end" && step.end === "fixed") return true;
  return !goesOn && (edge.branch?.outcome === "cannot" || edge.branch?.outcome === "stop");
}
