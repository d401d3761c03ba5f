import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { RunEvent } from "../../../engine/machine/event.ts";
import type { Run } from "../../../engine/machine/run.ts";
import type { WitnessStep } from "../../../engine/procedure/finding.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";

export const OPENING = { run: "r", at: 0 };

/** The run that a witness gives when each of its rows is answered; throws where one is refused. */
export function replayWitness(procedure: Procedure, witness: readonly WitnessStep[]): Run {
  let run = openRun(procedure, OPENING);
  for (const [at, row] of witness.entries()) {
    const step = procedure.steps.get(row.step);
    if (step === undefined) break;
    const event: RunEvent =
      row.outcome === "cannot"
        ? { at, step: row.step, type: "cannot", reason: "stuck" }
        : step.kind === "ask"
          ? { at, step: row.step, type: "answer", answer: row.outcome }
          : step.kind === "measure"
            ? { at, step: row.step, type: "reading", reading: row.reading ?? "" }
            : { at, step: row.step, type: "done" };
    const next = advance(procedure, run, event);
    if (!next.ok) throw new Error(JSON.stringify(next.refusal));
    run = next.run;
  }
  return run;
}
