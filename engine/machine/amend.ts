/**
 * An earlier answer changed. The record keeps both; what followed is walked again where it still fits the way
 * the run now takes, and what no longer fits is left behind, so that the run asks again from there.
 */
import type { Procedure } from "../procedure/model.ts";
import { type Applied, apply, openRun } from "./apply.ts";
import type { RunEvent } from "./event.ts";
import { turnTo } from "./leave.ts";
import { nextPreparation } from "./prepare.ts";
import type { Run } from "./run.ts";
import { settle } from "./settle.ts";

const AMENDABLE: ReadonlySet<RunEvent["type"]> = new Set([
  "fact",
  "specification",
  "answer",
  "reading",
  "done",
  "cannot",
]);

const BEFORE_A_STEP: ReadonlySet<RunEvent["type"]> = new Set(["fact", "specification", "acknowledge"]);
const RESTS_ON_SET_UPS: ReadonlySet<RunEvent["type"]> = new Set(["acknowledge", "answer", "reading", "done"]);

/** The run with the event of number `event.seq` replaced, counted under the amendment's own number. */
export function amend(
  procedure: Procedure,
  run: Run,
  event: RunEvent & { readonly type: "amend" },
  seq: number,
): Applied {
  const before = standBefore(procedure, run, event.seq);
  const old = countedEvent(run, event.seq);
  if (before === undefined || old === undefined || !sameQuestion(old, event.event))
    return { ok: false, refusal: { code: "nothing-to-amend", seq: event.seq } };
  const amended = applyAgain(procedure, before, { ...event.event, at: old.at }, seq);
  if (!amended.ok) return amended;
  const later = run.counted.slice(run.counted.indexOf(event.seq) + 1);
  return { ok: true, run: onTheMachine(procedure, walkAgain(procedure, amended.run, run, later), run) };
}

/**
 * The run as it stood before the event of that number, at the prompt which the event answered: what stood apart
 * then counts as made, whatever way the run takes now. Undefined where the event no longer counts.
 */
export function runBefore(procedure: Procedure, run: Run, seq: number): Run | undefined {
  const before = standBefore(procedure, run, seq);
  const event = countedEvent(run, seq);
  return before && event && "step" in event ? setUpFor(procedure, before) : before;
}

function standBefore(procedure: Procedure, run: Run, seq: number): Run | undefined {
  const place = run.counted.indexOf(seq);
  if (place < 0) return undefined;
  return run.counted
    .slice(0, place)
    .reduce((at, each) => walkOne(procedure, at, run, each, true) ?? at, openRun(procedure, run.opening));
}

/**
 * The event that counts under a sequence number: an amendment counts as what it put in place, at the time of
 * what it replaced, since it tells anew what was found then.
 */
export function countedEvent(run: Run, seq: number): RunEvent | undefined {
  const event = run.events[seq - 1];
  if (event?.type !== "amend") return event;
  return { ...event.event, at: countedEvent(run, event.seq)?.at ?? event.at };
}

/** Both answer the same prompt, so that one can stand in for the other. */
function sameQuestion(old: RunEvent, event: RunEvent): boolean {
  if (!AMENDABLE.has(old.type)) return false;
  if (old.type === "fact") return event.type === "fact" && old.fact === event.fact;
  if (old.type === "specification")
    return event.type === "specification" && old.specification === event.specification;
  if (!("step" in old)) return false;
  // Who could not, and can now, begins with whatever stood before the step.
  if (old.type === "cannot" && BEFORE_A_STEP.has(event.type)) return true;
  return "step" in event && old.step === event.step;
}

function replay(procedure: Procedure, from: Run, run: Run, seqs: readonly number[]): Run {
  let next = from;
  for (const seq of seqs) {
    const again = walkOne(procedure, next, run, seq);
    if (again !== undefined) next = again;
  }
  return next;
}

/** Walks on with the later events as long as one of them answers what the run asks. */
function walkAgain(procedure: Procedure, from: Run, run: Run, later: readonly number[]): Run {
  const left = [...later];
  let next = from;
  for (let place = 0; place < left.length && next.phase !== "ended"; ) {
    const again = walkOne(procedure, next, run, left[place] ?? 0);
    if (again === undefined) place += 1;
    else {
      left.splice(place, 1);
      place = 0;
      next = again;
    }
  }
  return next.phase === "ended" ? replay(procedure, next, run, left) : next;
}

/**
 * The run after an event given before, counted once more; undefined where it does not answer what is asked.
 * `sameWay` where all before it counts as it did: a choice that was open is open then.
 */
function walkOne(procedure: Procedure, at: Run, run: Run, seq: number, sameWay = false): Run | undefined {
  const event = countedEvent(run, seq);
  if (event === undefined || (event.type === "stop" && stoppedAt(run, seq) !== at.step)) return undefined;
  if (event.type === "choose") return chooseAgain(procedure, at, run, event, seq, sameWay);
  const again = applyAgain(procedure, at, event, seq);
  return again.ok ? again.run : undefined;
}

/** A choice made once more. What is open hangs on what is apart, and that is not told by the events that count. */
function chooseAgain(
  procedure: Procedure,
  at: Run,
  run: Run,
  event: RunEvent & { readonly type: "choose" },
  seq: number,
  sameWay: boolean,
): Run | undefined {
  const direct = apply(procedure, at, event, seq);
  if (direct.ok) return direct.run;
  const isOpen = sameWay ? at.phase !== "ended" : apply(procedure, { ...at, made: run.made }, event, seq).ok;
  if (!isOpen) return undefined;
  return turnTo(procedure, { ...at, hops: [], counted: [...at.counted, seq] }, event.step, event.at, seq);
}

/** Where the job was left: anywhere else, leaving it is no answer. */
function stoppedAt(run: Run, seq: number): string | undefined {
  return run.path.find((row) => row.seq === seq)?.step;
}

/**
 * An event given once and given again: what had to be made or put back for it was, then, even where the
 * event that told so is no longer on the way.
 */
function applyAgain(procedure: Procedure, run: Run, event: RunEvent, seq: number): Applied {
  const direct = apply(procedure, run, event, seq);
  if (direct.ok || !RESTS_ON_SET_UPS.has(event.type)) return direct;
  const again = apply(procedure, setUpFor(procedure, run), event, seq);
  if (!again.ok || event.type !== "acknowledge") return again;
  // The run may stay at this step: cautions of set-ups that nobody was shown are not acknowledged.
  return { ok: true, run: { ...again.run, acknowledged: [...run.acknowledged, event.for] } };
}

/** The run with the set-ups of its step made and put back. */
function setUpFor(procedure: Procedure, run: Run): Run {
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
    } else return ready;
  }
}

/** What was really taken apart stays apart, and time spent stays spent, whatever the answers are now. */
function onTheMachine(procedure: Procedure, amended: Run, run: Run): Run {
  const everMade = [...run.everMade, ...amended.everMade.filter((id) => !run.everMade.includes(id))];
  return settle(procedure, { ...amended, made: run.made, everMade, minutes: run.minutes });
}
