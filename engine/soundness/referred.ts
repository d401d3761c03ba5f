import type { Finding } from "../procedure/finding.ts";
import type { Hazard, Step } from "../procedure/model.ts";
import { type Analysis, isReached, reachFrom, wayFromStart, wayTo } from "./analysis.ts";
import { endsRun, isImpliedEnd, isWayOut } from "./flow.ts";
import { perStep } from "./per-step.ts";
import { closureOf } from "./set-up-conflict.ts";
import { witnessOf } from "./witness.ts";

/** Work for people trained and licensed for it. */
const ALWAYS_REFERRED: readonly Hazard[] = ["electric-high", "airbag"];

/**
 * `hazard-not-referred`: steps that meet high voltage or an airbag and from which a run can come to another end
 * than `referred`. To stop, or not to be able to go on, is always free. Exact but for conditions.
 */
export function checkReferred(analysis: Analysis): readonly Finding[] {
  const { flow, procedure } = analysis;
  return flow.steps.flatMap((step, index) => {
    const hazard = ALWAYS_REFERRED.find((each) => hazardsAt(procedure, step).has(each));
    if (hazard === undefined || !isReached(analysis, index)) return [];
    const onward = reachFrom(flow, index, { keep: (edge) => !isWayOut(edge) });
    const wrong = flow.steps.findIndex(
      (each, at) =>
        each.kind === "end" &&
        each.end !== "referred" &&
        endsRun(flow, at) &&
        wayTo(flow, onward, at) !== undefined &&
        !isStopping(each),
    );
    if (wrong === -1) return [];
    const way = [...(wayFromStart(analysis, index) ?? []), ...(wayTo(flow, onward, wrong) ?? [])];
    return {
      code: "hazard-not-referred" as const,
      severity: "error" as const,
      params: { step: step.id, hazard, end: flow.steps[wrong]?.id ?? "" },
      node: step.node,
      step: step.id,
      witness: witnessOf(analysis, way),
    };
  });
}

/** A written end that only `cannot` or `stop` would lead to says the same as the one that nobody writes. */
function isStopping(step: Step): boolean {
  return isImpliedEnd(step) && step.kind === "end" && (step.end === "stopped" || step.end === "unresolved");
}

const hazardsAt = perStep((procedure, step: Step): ReadonlySet<Hazard> => {
  const closures = new Map<string, ReadonlySet<string>>();
  const repairs =
    step.kind === "conclude" ? step.repairs.flatMap((id) => procedure.repairs.get(id) ?? []) : [];
  const needs = [step, ...repairs].flatMap((each) => each.needs);
  const setUps = needs.flatMap((id) => [...closureOf(procedure, closures, id)]);
  return new Set([
    ...step.hazards,
    ...setUps.flatMap((id) => procedure.setUps.get(id)?.hazards ?? []),
    ...repairs.flatMap((repair) => [...repair.hazards, ...repair.do.flatMap((act) => act.hazards)]),
  ]);
});
