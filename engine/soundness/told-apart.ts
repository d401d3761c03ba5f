import type { Finding } from "../procedure/finding.ts";
import type { Fault, FaultId, Outcome } from "../procedure/model.ts";
import { likelihoodRow, tellingOutcomes } from "../reasoning/likelihood.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { perStep } from "./per-step.ts";

/**
 * `faults-not-told-apart`: groups of faults under which every step that a run can come to gives every outcome
 * with the same probability. Exact for rows; a step's order on the way is not looked at, so that a group not
 * listed can still be hard to tell apart. A note where one conclusion takes the whole group, else a warning.
 */
export function checkToldApart(analysis: Analysis): readonly Finding[] {
  const groups = new Map<string, Fault[]>();
  const marks = marksOf(analysis);
  for (const fault of analysis.procedure.faults.values()) {
    const mark = marks.get(fault.id)?.join(" ") ?? "";
    const group = groups.get(mark);
    if (group === undefined) groups.set(mark, [fault]);
    else group.push(fault);
  }
  return [...groups.values()].flatMap((group) => {
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

/** What steps say of each fault, where that differs from what they say of a fault not named. */
function marksOf(analysis: Analysis): ReadonlyMap<FaultId, readonly string[]> {
  const marks = new Map<FaultId, string[]>();
  for (const [index, step] of analysis.flow.steps.entries()) {
    if (step.evidence === undefined || !isReached(analysis, index)) continue;
    for (const [fault, row] of unusualRows(analysis.procedure, step)) {
      const known = marks.get(fault);
      if (known === undefined) marks.set(fault, [`${index}:${row}`]);
      else known.push(`${index}:${row}`);
    }
  }
  return marks;
}

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
  return analysis.flow.steps.some(
    (step, index) =>
      step.kind === "conclude" &&
      isReached(analysis, index) &&
      group.every((fault) => step.faults.includes(fault.id)),
  );
}
