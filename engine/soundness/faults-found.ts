import type { Finding } from "../procedure/finding.ts";
import type { FaultId } from "../procedure/model.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { isConclusion } from "./step-lists.ts";

/**
 * `fault-never-found`: faults that no conclusion a run can come to names. `other`, the fault that stands for
 * something else, is there to be left over. Exact.
 */
export function checkFaultsFound(analysis: Analysis): readonly Finding[] {
  const found = new Set<FaultId>();
  for (const { index, step } of analysis.steps.where(isConclusion))
    if (step.kind === "conclude" && isReached(analysis, index)) for (const id of step.faults) found.add(id);
  return [...analysis.procedure.faults.values()].flatMap((fault) =>
    found.has(fault.id) || isOther(fault.id)
      ? []
      : {
          code: "fault-never-found" as const,
          severity: "error" as const,
          params: { fault: fault.id },
          node: fault.node,
          atKey: true,
        },
  );
}

function isOther(fault: FaultId): boolean {
  return fault === "other" || fault.endsWith("/other");
}
