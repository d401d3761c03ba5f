/** The JSON of `run`: how a run ended, or how far it came. */
import { promptOf, putBackList } from "../../engine/machine/prompt-of.ts";
import type { PathRow, Run } from "../../engine/machine/run.ts";
import { promptName } from "../../engine/machine/walk.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";

/** The result by the contract of `run --json`; `at` stands beside `end: null` while the run is not at its end. */
export function runResult(procedure: Procedure, run: Run) {
  const { faults, atOdds, lookAgain } = posterior(procedure, run);
  return {
    end: run.end ?? null,
    ...(run.end === undefined ? { at: promptName(promptOf(procedure, run)) } : {}),
    concluded: run.concluded ?? [],
    faults: faults.map(({ fault, probability }) => ({ fault, probability })),
    ...(atOdds.length > 0 ? { atOdds } : {}),
    ...(lookAgain === undefined ? {} : { lookAgain }),
    path: run.path.map(({ seq: _, ...row }: PathRow) => row),
    minutes: run.minutes,
    putBack: putBackList(procedure, run),
  };
}
