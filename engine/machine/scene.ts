import type { Scene } from "../procedure/expression.ts";
import type { FactValue, Procedure } from "../procedure/model.ts";
import { own } from "./own.ts";
import type { Run } from "./run.ts";

/** What conditions and values see of a run at a moment. `thisReading` is the one being judged. */
export function sceneOf(procedure: Procedure, run: Run, at: number, thisReading?: number): Scene {
  return {
    fact: (id) => factOf(procedure, run, id),
    reading: (step) => own(run.readings, step)?.corrected,
    value: (step) => own(run.readings, step)?.value,
    elapsed: (step) => {
      const entered = own(run.entered, step);
      // An amended way can come to a step with an answer given before it: no time went by then.
      return entered === undefined ? undefined : Math.max(0, at - entered) / 60_000;
    },
    ...(thisReading === undefined ? {} : { thisReading }),
  };
}

/** A fact as given by the call or the equipment sheet, else as answered in this run. */
export function factOf(procedure: Procedure, run: Run, id: string): FactValue | undefined {
  return procedure.facts.get(id)?.given ?? own(run.facts, id);
}
