import type { Finding } from "../procedure/finding.ts";
import type { Hazard, Procedure, Step } from "../procedure/model.ts";
import { type Analysis, isReached, walkable, wayFromStart } from "./analysis.ts";
import { wayToNode } from "./counted.ts";
import { endsRun, type Flow, type FlowEdge, isImpliedEnd } from "./flow.ts";
import { perStep } from "./per-step.ts";
import { closureOf } from "./set-up-conflict.ts";
import type { OfStep } from "./step-lists.ts";
import { witnessOf } from "./witness.ts";

/** Work for people trained and licensed for it. */
const ALWAYS_REFERRED: readonly Hazard[] = ["electric-high", "airbag"];

/**
 * `hazard-not-referred`: steps that meet high voltage or an airbag and from which a run can come to another end
 * than `referred`; what putting a set-up back meets counts where it is made. To stop, or not to be able to go on, is
 * always free. Exact but for conditions.
 */
export function checkReferred(analysis: Analysis): readonly Finding[] {
  const { procedure, steps } = analysis;
  return steps.where(meetsReferred).flatMap(({ index, step }) => {
    const hazard = referredAt(procedure, step);
    if (hazard === undefined || !isReached(analysis, index)) return [];
    const wrong = wrongEnd(analysis, index);
    if (wrong === undefined) return [];
    return {
      code: "hazard-not-referred" as const,
      severity: "error" as const,
      params: { step: step.id, hazard, end: wrong.end.id },
      node: step.node,
      step: step.id,
      witness: witnessOf(analysis, wrong.way),
    };
  });
}

const meetsReferred: OfStep = (procedure, step) => referredAt(procedure, step) !== undefined;

function referredAt(procedure: Procedure, step: Step): Hazard | undefined {
  const met = hazardsAt(procedure, step);
  return ALWAYS_REFERRED.find((each) => met.has(each));
}

/** The nearest end behind a step that is not `referred`, with the edges from the start by that step to it. */
function wrongEnd(
  analysis: Analysis,
  index: number,
): { readonly end: Step; readonly way: readonly number[] } | undefined {
  const { counted, flow } = analysis;
  const { steps, out } = walkable(analysis);
  const queue = [...steps.keys()].filter((node) => steps[node] === index);
  const before = new Map<number, { readonly node: number; readonly edge: number } | undefined>(
    queue.map((node) => [node, undefined]),
  );
  for (const node of queue) {
    const end = flow.steps[steps[node] ?? -1];
    if (end !== undefined && endsRun(flow, steps[node] ?? -1) && isWrong(end)) {
      const onward: number[] = [];
      let at = node;
      for (let last = before.get(at); last !== undefined; last = before.get(at)) {
        onward.push(last.edge);
        at = last.node;
      }
      const head = counted.complete ? wayToNode(counted, at) : (wayFromStart(analysis, index) ?? []);
      return { end, way: [...head, ...onward.reverse()] };
    }
    for (const { to, edge } of out[node] ?? []) {
      const each = flow.edges[edge];
      if (before.has(to) || each === undefined || each.leaves || givesUp(flow, each)) continue;
      before.set(to, { node, edge });
      queue.push(to);
    }
  }
  return undefined;
}

/** Whether a written `cannot` ends the run as unresolved: not to be able to go on is free, however it is put. */
function givesUp(flow: Flow, { branch, to }: FlowEdge): boolean {
  const end = flow.steps[to];
  return branch?.outcome === "cannot" && end?.kind === "end" && end.end === "unresolved" && endsRun(flow, to);
}

function isWrong(step: Step): boolean {
  return step.kind === "end" && step.end !== "referred" && !isStopping(step);
}

/** A written end that only `cannot` or `stop` would lead to says the same as the one that nobody writes. */
function isStopping(step: Step): boolean {
  return isImpliedEnd(step) && step.kind === "end" && (step.end === "stopped" || step.end === "unresolved");
}

const hazardsAt = perStep((procedure, step): ReadonlySet<Hazard> => {
  const closures = new Map<string, ReadonlySet<string>>();
  const repairs =
    step.kind === "conclude" ? step.repairs.flatMap((id) => procedure.repairs.get(id) ?? []) : [];
  const needs = [step, ...repairs].flatMap((each) => each.needs);
  const setUps = needs.flatMap((id) => [...closureOf(procedure, closures, id)]);
  return new Set([
    ...step.hazards,
    ...setUps.flatMap((id) => {
      const setUp = procedure.setUps.get(id);
      return [...(setUp?.hazards ?? []), ...(setUp?.putBack?.hazards ?? [])];
    }),
    ...repairs.flatMap((repair) => [...repair.hazards, ...repair.do.flatMap((act) => act.hazards)]),
  ]);
});
