import type { Outcome, StepId } from "../procedure/model.ts";
import type { Analysis } from "./analysis.ts";

/**
 * The outcomes that a step's latest reading can have had when a run stands at each step; undefined where none can
 * have been taken, or any may have been (`borderline`, more than 30 outcomes). By flow: an outcome replaces the
 * one before it, `cannot` leaves it, sets are joined where ways meet. Which ways go together is not looked at, so
 * that a set can hold more than a run can have, never less.
 */
export function latestOutcomes(
  { flow, walked }: Analysis,
  id: StepId,
): (index: number) => ReadonlySet<Outcome> | undefined {
  const outcomes = [...(flow.procedure.steps.get(id)?.outcomes.keys() ?? [])].filter(
    (outcome) => outcome !== "cannot" && outcome !== "stop",
  );
  if (outcomes.length > MOST_OUTCOMES) return () => undefined;
  const bits = new Map(outcomes.map((outcome, at) => [outcome, 2 << at]));
  const sets = new Int32Array(flow.steps.length);
  if (flow.start >= 0) sets[flow.start] = NONE;
  const waiting = flow.start < 0 ? [] : [flow.start];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop())
    for (const number of flow.out[at] ?? []) {
      const edge = flow.edges[number];
      if (edge === undefined || walked[number] === 0) continue;
      const own = flow.steps[at]?.id === id ? bits.get(edge.branch?.outcome ?? "") : undefined;
      const joined = (sets[edge.to] ?? 0) | (own ?? sets[at] ?? 0);
      if (joined === sets[edge.to]) continue;
      sets[edge.to] = joined;
      waiting.push(edge.to);
    }
  return (index) => {
    const set = sets[index] ?? NONE;
    if ((set & NONE) !== 0 || (set & (bits.get("borderline") ?? 0)) !== 0) return undefined;
    return new Set(outcomes.filter((outcome) => (set & (bits.get(outcome) ?? 0)) !== 0));
  };
}

/** No reading was taken yet. */
const NONE = 1;
const MOST_OUTCOMES = 30;
