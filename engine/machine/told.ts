/**
 * Which answers of a run count for the fault probabilities. A machine that a repair was made on is no longer as it
 * came in: what is answered while the repair is being verified is held back. Where the verification fails, the
 * concluded faults are out, and for those left the answers count after all. Where it ends well, or is left or can't
 * be looked at, they never do, and what a step had shown before stays.
 */
import type { StepId } from "../procedure/model.ts";
import { own, withEntry } from "./own.ts";
import type { Run, StepResult, Told } from "./run.ts";

/** The run with a step's result told: held back while a repair is being verified. */
export function withTold(run: Run, step: StepId, result: StepResult, row = run.path.length): Run {
  const judged = own(run.readings, step);
  const told: Told = { result, row, ...(judged === undefined ? {} : { judged }) };
  const { verifying } = run;
  if (verifying === undefined) return { ...run, told: withEntry(run.told, step, told) };
  return { ...run, verifying: { ...verifying, told: withEntry(verifying.told, step, told) } };
}

/** The run whose verification is over, its answers counting where it failed, forgotten where it did not. */
export function withoutVerifying({ verifying, ...run }: Run, failed: boolean): Run {
  return failed && verifying !== undefined ? { ...run, told: { ...run.told, ...verifying.told } } : run;
}

/** The steps told, in the order of the latest visits that count. */
export function toldSteps(run: Run): readonly (Told & { readonly step: StepId })[] {
  return Object.entries(run.told)
    .map(([step, told]) => ({ ...told, step }))
    .sort((a, b) => a.row - b.row);
}
