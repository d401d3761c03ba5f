/** The branches that one run took, in the order walked. */
import type { PathRow, Run } from "../machine/run.ts";
import type { Outcome, Procedure, StepId, StepKind } from "../procedure/model.ts";

export interface Traversal {
  readonly step: StepId;
  readonly outcome: Outcome;
  /** The event that gave it. */
  readonly seq: number;
  /** UTC, ms. */
  readonly at: number;
  /**
   * Whole seconds since the row before, set-ups and cautions on the way included; absent where an amendment
   * put the rows out of the order of time.
   */
  readonly seconds?: number;
}

/**
 * The branches of a run's path as it counts now: amended and left-behind rows are out, so are facts, and so is
 * the end, which is no branch. A call's row counts from when it was entered, its inner rows included.
 */
export function findTraversals(procedure: Procedure, run: Run): readonly Traversal[] {
  const rows = run.end === undefined ? run.path : run.path.slice(0, -1);
  const times = rows.map((row) => run.events[row.seq - 1]?.at ?? run.opening.at);
  const traversals: Traversal[] = [];
  for (const [place, { step, outcome, seq }] of rows.entries()) {
    const kind = procedure.steps.get(step)?.kind;
    if (kind === undefined) continue;
    const at = times[place] ?? run.opening.at;
    const since = times[beforeEntry(rows, place, kind)] ?? run.opening.at;
    const seconds = Math.round((at - since) / 1000);
    traversals.push({ step, outcome, seq, at, ...(seconds >= 0 ? { seconds } : {}) });
  }
  return traversals;
}

/** The row that stood last when the row's step was entered. */
function beforeEntry(rows: readonly PathRow[], place: number, kind: StepKind): number {
  let before = place - 1;
  if (kind !== "call") return before;
  const inside = `${rows[place]?.step}/`;
  while (rows[before]?.step.startsWith(inside) || rows[before]?.step.startsWith(`facts/${inside}`)) before--;
  return before;
}
