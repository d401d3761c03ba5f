/**
 * The run as a pure function: a run and an event give the next run, or a refusal that changes nothing.
 * The statechart of `statechart.ts` walks the same branches; both ask `decide.ts`.
 */
import type { Procedure } from "../procedure/model.ts";
import { amend } from "./amend.ts";
import { type Applied, apply } from "./apply.ts";
import type { RunEvent } from "./event.ts";
import type { Run } from "./run.ts";

/** The last moment that a date can tell, ms since 1970 (ECMA-262, 21.4.1.1). */
export const LAST_MOMENT = 8.64e15;

/** The run after an event, the event recorded in it. An amended run keeps both events. */
export function advance(procedure: Procedure, run: Run, event: RunEvent): Applied {
  if (!isTimed(event)) return { ok: false, refusal: { code: "bad-time" } };
  const seq = run.events.length + 1;
  const next = event.type === "amend" ? amend(procedure, run, event, seq) : apply(procedure, run, event, seq);
  return next.ok ? { ok: true, run: { ...next.run, events: [...run.events, event] } } : next;
}

/** Whole milliseconds that ISO 8601 can tell, and a wait of so many minutes: what a record can hold. */
function isTimed(event: RunEvent): boolean {
  if (!Number.isInteger(event.at) || Math.abs(event.at) > LAST_MOMENT) return false;
  if (event.type === "amend") return isTimed(event.event);
  return event.type !== "reading" || event.waited === undefined || isWait(event.waited);
}

function isWait(minutes: number): boolean {
  return Number.isFinite(minutes) && minutes >= 0;
}
