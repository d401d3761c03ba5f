import { fillText } from "../procedure/fill-text.ts";
import type { Procedure } from "../procedure/model.ts";
import type { Run } from "./run.ts";
import { factOf } from "./scene.ts";

/** A text with the run's facts filled in; `scope` is that of the thing it belongs to. */
export function filled(procedure: Procedure, run: Run, scope: string, text: string): string {
  return fillText(text, scope, (id) => {
    const value = factOf(procedure, run, id);
    const choice = procedure.facts.get(id)?.choices.find((c) => c.id === value);
    return choice?.label ?? value;
  });
}
