import type { Procedure } from "../procedure/model.ts";
import { nextPreparation } from "./prepare.ts";
import type { Run } from "./run.ts";
import { undoneAt } from "./settings.ts";

/** The run with everything that needs nobody done, and its phase told. */
export function settle(procedure: Procedure, run: Run): Run {
  const step = procedure.steps.get(run.step);
  if (step === undefined || run.end !== undefined) return { ...run, phase: "ended" };
  let settled = run;
  // In its turn: what rests on such a set-up is put back before it.
  for (const id of undoneAt(procedure, step, run.made, run.clearing)) {
    if (procedure.setUps.get(id)?.putBack !== undefined) break;
    settled = { ...settled, made: settled.made.filter((made) => made !== id) };
  }
  return { ...settled, phase: nextPreparation(procedure, settled, step) === undefined ? "open" : "ready" };
}
