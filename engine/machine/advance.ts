/**
 * The run as a pure function: a run and an event give the next run, or a refusal that changes nothing.
 * The statechart of `statechart.ts` walks the same branches; both ask `decide.ts`.
 */
import type { Procedure } from "../procedure/model.ts";
import { amend } from "./amend.ts";
import { type Applied, apply } from "./apply.ts";
import type { RunEvent } from "./event.ts";
import type { Run } from "./run.ts";

/** The run after an event, the event recorded in it. An amended run keeps both events. */
export function advance(procedure: Procedure, run: Run, event: RunEvent): Applied {
  const seq = run.events.length + 1;
  const next = event.type === "amend" ? amend(procedure, run, event, seq) : apply(procedure, run, event, seq);
  return next.ok ? { ok: true, run: { ...next.run, events: [...run.events, event] } } : next;
}
