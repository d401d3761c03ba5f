import type { Finding } from "../procedure/finding.ts";
import type { Step, StepId } from "../procedure/model.ts";
import { reachesConclusion, reachesFixed } from "../procedure/reaches-fixed.ts";
import { type Analysis, isReached, wayFromStart } from "./analysis.ts";
import type { Flow } from "./flow.ts";
import type { OfStep } from "./step-lists.ts";
import { witnessOf } from "./witness.ts";

/**
 * `no-verification` where a repair can't be shown to hold: nothing that its verification leads to ends as fixed,
 * and it goes on to another conclusion instead. Whatever is answered strikes the fault that was repaired. A
 * verification that only ends the job, as one that refers it, is let be.
 */
export function checkVerificationHolds(analysis: Analysis): readonly Finding[] {
  const { procedure, flow } = analysis;
  const doubtful = analysis.steps
    .where(isVerified)
    .filter(({ step }) => !isFixedSoon(flow, flow.indexOf.get(verifyOf(step)) ?? -1));
  if (doubtful.length === 0) return [];
  const fixed = reachesFixed(procedure);
  const never = doubtful.filter(
    ({ index, step }) => !fixed.has(verifyOf(step)) && isReached(analysis, index),
  );
  if (never.length === 0) return [];
  const concluding = reachesConclusion(procedure);
  return never.flatMap(({ index, step }): readonly Finding[] => {
    const verify = verifyOf(step);
    if (!concluding.has(verify)) return [];
    const way = wayFromStart(analysis, index);
    const repaired = flow.out[index]?.find((id) => flow.edges[id]?.branch?.outcome === "repaired");
    return [
      {
        code: "no-verification",
        severity: "error",
        params: { step: step.id, verify, why: "never-holds" },
        node: step.outcomes.get("repaired")?.arms[0]?.node ?? step.node,
        step: step.id,
        ...(way === undefined || repaired === undefined
          ? {}
          : { witness: witnessOf(analysis, [...way, repaired]) }),
      },
    ];
  });
}

const isVerified: OfStep = (_, step) => step.kind === "conclude" && step.verify !== undefined;

function verifyOf(step: Step): StepId {
  return (step.kind === "conclude" && step.verify) || "";
}

/** So many steps behind a verification are looked at before all ways are. */
const SOON = 20;

/** Whether an `end: fixed` stands few steps behind a step, which it does in most procedures. */
function isFixedSoon(flow: Flow, from: number): boolean {
  const queue = [from];
  for (let at = 0; at < queue.length && at < SOON; at += 1) {
    const index = queue[at] ?? -1;
    const step = flow.steps[index];
    if (step?.kind === "end" && step.end === "fixed") return true;
    if (step?.kind === "conclude") continue;
    for (const id of flow.out[index] ?? []) queue.push(flow.edges[id]?.to ?? -1);
  }
  return false;
}
