/**
 * An earlier answer changed. The record keeps both; what followed is walked again where it still fits the way
 * the run now takes, and what no longer fits is left behind, so that the run asks again from there.
 */
import type { Procedure } from "../procedure/model.ts";
import { type Applied, apply, openRun, settle } from "./apply.ts";
import type { RunEvent } from "./event.ts";
import { nextPreparation } from "./prepare.ts";
import type { Run } from "./run.ts";

const AMENDABLE: ReadonlySet<RunEvent["type"]> = new Set([
  "fact",
  "specification",
  "answer",
  "reading",
  "done",
  "cannot",
]);

/** The run with the event of number `event.seq` replaced, counted under the amendment's own number. */
export function amend(
  procedure: Procedure,
  run: Run,
  event: RunEvent & { readonly type: "amend" },
  seq: number,
): Applied {
  const before = runBefore(procedure, run, event.seq);
  const old = countedEvent(run, event.seq);
  if (
    before === undefined ||
    old === undefined ||
    !AMENDABLE.has(old.type) ||
    !AMENDABLE.has(event.event.type) ||
    !sameQuestion(old, event.event)
  )
    return { ok: false, refusal: { code: "nothing-to-amend", seq: event.seq } };
  const amended = applyAgain(procedure, before, event.event, seq);
  if (!amended.ok) return amended;
  return {
    ok: true,
    run: onTheMachine(
      procedure,
      walkAgain(procedure, amended.run, run, run.counted.slice(run.counted.indexOf(event.seq) + 1)),
      run,
    ),
  };
}

/** The run as it stood before the event of that number, at the prompt which the event answered. */
export function runBefore(procedure: Procedure, run: Run, seq: number): Run | undefined {
  const place = run.counted.indexOf(seq);
  if (place < 0) return undefined;
  return replay(procedure, openRun(procedure, run.opening), run, run.counted.slice(0, place));
}

/** The event that counts under a sequence number: an amendment counts as what it put in place. */
export function countedEvent(run: Run, seq: number): RunEvent | undefined {
  const event = run.events[seq - 1];
  return event?.type === "amend" ? event.event : event;
}

/** Both answer the same thing, so that one can stand in for the other. */
function sameQuestion(a: RunEvent, b: RunEvent): boolean {
  if (a.type === "fact" || b.type === "fact")
    return a.type === "fact" && b.type === "fact" && a.fact === b.fact;
  if (a.type === "specification" || b.type === "specification")
    return a.type === "specification" && b.type === "specification" && a.specification === b.specification;
  return "step" in a && "step" in b && a.step === b.step;
}

function replay(procedure: Procedure, from: Run, run: Run, seqs: readonly number[]): Run {
  let next = from;
  for (const seq of seqs) {
    const event = countedEvent(run, seq);
    const applied = event && applyAgain(procedure, next, event, seq);
    if (applied?.ok) next = applied.run;
  }
  return next;
}

/** Walks on with the later events as long as one of them answers what the run asks. */
function walkAgain(procedure: Procedure, from: Run, run: Run, later: readonly number[]): Run {
  const left = [...later];
  let next = from;
  while (next.phase !== "ended") {
    const fitting = left.findIndex((seq) => {
      const event = countedEvent(run, seq);
      return event !== undefined && applyAgain(procedure, next, event, seq).ok && event.type !== "remark";
    });
    const seq = left[fitting];
    const event = seq === undefined ? undefined : countedEvent(run, seq);
    if (event === undefined || seq === undefined) return next;
    const applied = applyAgain(procedure, next, event, seq);
    if (!applied.ok) return next;
    left.splice(fitting, 1);
    next = applied.run;
  }
  return replay(procedure, next, run, left);
}

/**
 * An event given once and given again: what had to be made or put back for it was, then, even where the
 * event that told so is no longer on the way.
 */
function applyAgain(procedure: Procedure, run: Run, event: RunEvent, seq: number): Applied {
  if (event.type !== "answer" && event.type !== "reading" && event.type !== "done")
    return apply(procedure, run, event, seq);
  let ready = run;
  for (;;) {
    const step = procedure.steps.get(ready.step);
    const next = step && ready.phase === "ready" ? nextPreparation(procedure, ready, step) : undefined;
    if (next?.kind === "set-up") {
      const others = ready.made.filter((id) => id !== next.setUp);
      const made = next.change === "make" ? [...others, next.setUp] : others;
      const everMade = [...new Set([...ready.everMade, ...made])];
      ready = settle(procedure, { ...ready, made, everMade });
    } else if (next?.kind === "cautions" && next.for !== ready.step) {
      ready = settle(procedure, { ...ready, acknowledged: [...ready.acknowledged, next.for] });
    } else return apply(procedure, ready, event, seq);
  }
}

/** What was really taken apart stays apart, and time spent stays spent, whatever the answers are now. */
function onTheMachine(procedure: Procedure, amended: Run, run: Run): Run {
  const everMade = [...new Set([...run.everMade, ...amended.everMade])];
  return settle(procedure, { ...amended, made: run.made, everMade, minutes: run.minutes });
}
