import type { Run } from "../machine/run.ts";
import { expressionsOf } from "../procedure/link-needs.ts";
import type { Procedure, StepId } from "../procedure/model.ts";

/** The steps whose readings and times conditions, values and tables go by. */
export interface Used {
  readonly readings: ReadonlySet<StepId>;
  readonly times: ReadonlySet<StepId>;
}

export function usedIn(procedure: Procedure): Used {
  const readings = new Set<StepId>();
  const times = new Set<StepId>();
  for (const step of procedure.steps.values())
    for (const expression of expressionsOf(procedure, step)) {
      for (const id of expression.readings) readings.add(id);
      for (const id of expression.elapsed) times.add(id);
    }
  return { readings, times };
}

/**
 * A run without what nothing asks for that decides how it goes on: no path, and no results, which only the odds look
 * at.
 */
export function lean(run: Run, { readings, times }: Used): Run {
  const { verifying } = run;
  return {
    ...run,
    counted: [],
    path: [],
    results: {},
    told: {},
    visits: {},
    entered: onlyOf(run.entered, times),
    readings: onlyOf(run.readings, readings),
    ...(verifying === undefined ? {} : { verifying: { ...verifying, told: {} } }),
  };
}

function onlyOf<T>(
  record: Readonly<Record<string, T>>,
  ids: ReadonlySet<string>,
): Readonly<Record<string, T>> {
  const entries = Object.entries(record);
  return entries.every(([id]) => ids.has(id))
    ? record
    : Object.fromEntries(entries.filter(([id]) => ids.has(id)));
}
