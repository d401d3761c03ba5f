import type { Finding } from "../procedure/finding.ts";
import type { Fault, FaultId, Outcome } from "../procedure/model.ts";
import { likelihoodRow, tellingOutcomes } from "../reasoning/likelihood.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { perStep } from "./per-step.ts";
import { isConclusion, type OfStep } from "./step-lists.ts";

/**
 * `faults-not-told-apart`: groups of faults under which every step that a run can come to gives every outcome
 * with the same probability. Exact for rows; a step's order on the way is not looked at, so that a group not
 * listed can still be hard to tell apart. A note where one conclusion takes the whole group, else a warning.
 */
export function checkToldApart(analysis: Analysis): readonly Finding[] {
  return groupsOf(analysis).flatMap((group) => {
    const [first] = group;
    if (first === undefined || group.length < 2) return [];
    return {
      code: "faults-not-told-apart" as const,
      severity: concludedTogether(analysis, group) ? ("note" as const) : ("warning" as const),
      params: { faults: group.map((fault) => fault.id).join(", "), count: group.length },
      node: first.node,
      atKey: true,
    };
  });
}

/** All faults, split by one step after another until each stands alone or no step is left. */
function groupsOf(analysis: Analysis): readonly (readonly Fault[])[] {
  const { procedure, steps } = analysis;
  const groupOf = new Map([...procedure.faults.keys()].map((id) => [id, 0]));
  const sizes = [groupOf.size];
  let count = 1;
  for (const { index, step } of steps.where(tellsApart)) {
    if (count >= groupOf.size) break;
    if (!isReached(analysis, index)) continue;
    const parts = new Map<string, number>();
    for (const [fault, row] of unusualRows(procedure, step)) {
      const from = groupOf.get(fault);
      if (from === undefined) continue;
      const part = `${from} ${row}`;
      const known = parts.get(part);
      const to = known ?? sizes.push(0) - 1;
      parts.set(part, to);
      groupOf.set(fault, to);
      sizes[from] = (sizes[from] ?? 0) - 1;
      sizes[to] = (sizes[to] ?? 0) + 1;
      count += (known === undefined ? 1 : 0) - (sizes[from] === 0 ? 1 : 0);
    }
  }
  const groups = new Map<number, Fault[]>();
  for (const fault of procedure.faults.values()) {
    const number = groupOf.get(fault.id) ?? 0;
    const group = groups.get(number);
    if (group === undefined) groups.set(number, [fault]);
    else group.push(fault);
  }
  return [...groups.values()];
}

const tellsApart: OfStep = (procedure, step) =>
  step.evidence !== undefined && unusualRows(procedure, step).size > 0;

/** What a step says of faults, where that differs from what it says of a fault not named. */
const unusualRows = perStep((procedure, step): ReadonlyMap<FaultId, string> => {
  const outcomes = tellingOutcomes(step);
  // No fault can have an empty id, so this is the row of every fault not named.
  const usual = printed(likelihoodRow(procedure, step, ""), outcomes);
  const named = new Set([...(step.evidence?.rows.keys() ?? []), ...(step.evidence?.reads.keys() ?? [])]);
  const rows = [...named].map(
    (fault) => [fault, printed(likelihoodRow(procedure, step, fault), outcomes)] as const,
  );
  return new Map(rows.filter(([, row]) => row !== usual));
});

function printed(row: ReadonlyMap<Outcome, number> | undefined, outcomes: readonly Outcome[]): string {
  return outcomes.map((outcome) => (row?.get(outcome) ?? 0).toPrecision(9)).join(",");
}

function concludedTogether(analysis: Analysis, group: readonly Fault[]): boolean {
  return analysis.steps
    .where(isConclusion)
    .some(
      ({ index, step }) =>
        step.kind === "conclude" &&
        isReached(analysis, index) &&
        group.every((fault) => step.faults.includes(fault.id)),
    );
}
