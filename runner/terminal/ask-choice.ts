/** Another step taken first, where the order is free: asked in the terminal. */
import { canBeNext } from "../../engine/machine/can-be-next.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { nextStepAdvice } from "../../engine/reasoning/next-step.ts";
import type { Asking, Told } from "./asking.ts";

/** Whether another step could be taken now instead of the one that is asked. */
export function mayChoose(procedure: Procedure, run: Run): boolean {
  if (!procedure.freeOrder) return false;
  return run.waiting !== undefined || canBeNext(procedure, run).some(({ id }) => id !== run.step);
}

const KEEP = "\u0000keep";

/** The steps that could be taken, the most helpful first, and the written one where it waits. */
export async function askChoice({ asker, screen, procedure }: Asking, run: Run): Promise<Told> {
  const title = (id: string) => procedure.steps.get(id)?.title ?? id;
  const advised = nextStepAdvice(procedure, run).map(({ step }) => step);
  const others = canBeNext(procedure, run).map(({ id }) => id);
  const steps = [...new Set([...advised, ...others])].filter((id) => id !== run.step && id !== run.waiting);
  screen.show(["", "Which step do you take first? The written one waits.", ""]);
  const value = await asker.choose([
    ...steps.map((id) => ({ name: title(id), value: id })),
    ...(run.waiting === undefined
      ? []
      : [{ name: `Back to “${title(run.waiting)}”`, value: run.waiting, quiet: true }]),
    { name: "Stay at this one", value: KEEP, quiet: true },
  ]);
  return value === KEEP ? { kind: "back" } : { kind: "event", event: { type: "choose", step: value } };
}
