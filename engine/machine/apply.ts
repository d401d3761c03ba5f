/** One event applied to a run: what it changes. */
import type { Procedure, Step } from "../procedure/model.ts";
import { canBeNext } from "./can-be-next.ts";
import { decideReading } from "./decide.ts";
import type { Opening, RunEvent } from "./event.ts";
import { withAhead } from "./free-order.ts";
import { acceptFact, acceptSpecification } from "./known.ts";
import { enter, leave, turnTo } from "./leave.ts";
import { withEntry } from "./own.ts";
import { pathReading } from "./path.ts";
import { cautionsAtEnd, nextPreparation, type Preparation } from "./prepare.ts";
import type { Refusal } from "./refusal.ts";
import type { Run } from "./run.ts";
import { settle } from "./settle.ts";

export type Applied =
  | { readonly ok: true; readonly run: Run }
  | { readonly ok: false; readonly refusal: Refusal };

/** A run at its first prompt. */
export function openRun(procedure: Procedure, opening: Opening): Run {
  const blank: Run = {
    opening,
    events: [],
    counted: [],
    step: procedure.start,
    phase: "ready",
    facts: {},
    specifications: {},
    readings: {},
    results: {},
    told: {},
    taken: {},
    visits: {},
    entered: {},
    made: [],
    everMade: [],
    clearing: false,
    acknowledged: [],
    struck: [],
    path: [],
    minutes: 0,
    hops: [],
  };
  return enter(procedure, blank, procedure.start, opening.at, 0);
}

/** The run after an event that counts under a sequence number; `events` is left to the caller. */
export function apply(procedure: Procedure, run: Run, event: RunEvent, seq: number): Applied {
  const step = procedure.steps.get(run.step);
  const fresh: Run = { ...run, hops: [] };
  if (event.type === "remark") return { ok: true, run: fresh };
  const counted: Run = { ...fresh, counted: [...run.counted, seq] };
  if (event.type === "set-up") return changeSetUp(procedure, counted, event);
  if (run.phase === "ended" && event.type === "acknowledge")
    return acknowledgeAtEnd(procedure, counted, event);
  if (step === undefined || run.phase === "ended") return refuse("nothing more", event.type);
  switch (event.type) {
    case "stop":
      return walked(procedure, counted, step, { outcome: "stop" }, event.at, seq);
    case "choose": {
      const isOpen =
        procedure.freeOrder &&
        event.step !== step.id &&
        (event.step === run.waiting || canBeNext(procedure, run).some(({ id }) => id === event.step));
      if (!isOpen) return refuse(step.id, event.step);
      return { ok: true, run: turnTo(procedure, counted, event.step, event.at, seq) };
    }
    case "cannot":
      if (event.step !== step.id || !step.outcomes.has("cannot")) return refuse(step.id, event.step);
      if (event.reason.trim() === "") return { ok: false, refusal: { code: "reason-needed" } };
      // Only what was begun takes its minutes.
      return walked(
        procedure,
        run.phase === "open" ? spend(counted, step) : counted,
        step,
        { outcome: "cannot" },
        event.at,
        seq,
      );
    case "fact":
    case "specification":
    case "acknowledge":
      return becomeReady(procedure, counted, step, event, seq);
    default:
      if (run.phase !== "open") return refuse("what stands before the step", event.type);
      if (event.type === "amend") return refuse("an event", "amend");
      if (event.step !== step.id) return refuse(step.id, event.step);
      return answerStep(procedure, counted, step, event, seq);
  }
}

function refuse(expected: string, got: string): Applied {
  return { ok: false, refusal: { code: "not-expected", expected, got } };
}

/** {@link leave} as an event's result. */
function walked(...given: Parameters<typeof leave>): Applied {
  return { ok: true, run: leave(...given) };
}

function spend(run: Run, step: Step): Run {
  const wait =
    step.kind === "ask" || step.kind === "measure" || step.kind === "do" ? (step.waitMinutes ?? 0) : 0;
  return { ...run, minutes: run.minutes + step.minutes + wait };
}

function changeSetUp(procedure: Procedure, run: Run, event: RunEvent & { readonly type: "set-up" }): Applied {
  const setUp = procedure.setUps.get(event.setUp);
  const step = procedure.steps.get(run.step);
  const next = step && run.phase !== "ended" ? nextPreparation(procedure, run, step) : undefined;
  const asked = next?.kind === "set-up" && next.setUp === event.setUp && next.change === event.change;
  // At the end the technician puts things back in whatever order the machine allows.
  const atEnd =
    run.phase === "ended" &&
    event.change === "put-back" &&
    run.made.includes(event.setUp) &&
    cautionsAtEnd(procedure, run) === undefined;
  if (setUp === undefined || !(asked || atEnd)) return refuse(next?.kind ?? "nothing more", event.type);
  if (event.change === "put-back")
    return {
      ok: true,
      run: settle(procedure, {
        ...run,
        made: run.made.filter((id) => id !== event.setUp),
        minutes: run.minutes + (setUp.putBack?.minutes ?? 0),
      }),
    };
  return {
    ok: true,
    run: settle(procedure, {
      ...run,
      made: [...run.made, event.setUp],
      everMade: [...run.everMade.filter((id) => id !== event.setUp), event.setUp],
      minutes: run.minutes + setUp.minutes,
    }),
  };
}

function becomeReady(
  procedure: Procedure,
  run: Run,
  step: Step,
  event: RunEvent & { readonly type: "fact" | "specification" | "acknowledge" },
  seq: number,
): Applied {
  const next = nextPreparation(procedure, run, step);
  if (event.type === "fact" && next?.kind === "fact" && next.fact === event.fact) {
    const accepted = acceptFact(procedure, run, event, seq);
    return accepted.ok ? { ok: true, run: settle(procedure, accepted.run) } : accepted;
  }
  const isAsked =
    next?.kind === "specification" &&
    next.specification === (event.type === "specification" ? event.specification : undefined);
  if (event.type === "specification" && (isAsked || isWritten(procedure, event.specification))) {
    const accepted = acceptSpecification(procedure, run, event);
    return accepted.ok ? { ok: true, run: settle(procedure, accepted.run) } : accepted;
  }
  if (event.type === "acknowledge" && next?.kind === "cautions" && acknowledges(event, next))
    return {
      ok: true,
      run: settle(procedure, {
        ...run,
        acknowledged: [...run.acknowledged, event.for],
        warned: [...new Set([...(run.warned ?? []), ...next.cautions])],
      }),
    };
  return refuse(next?.kind ?? "the step itself", event.type);
}

/** Every caution that is shown was acknowledged, before what it stands. */
function acknowledges(
  event: RunEvent & { readonly type: "acknowledge" },
  next: Preparation & { readonly kind: "cautions" },
): boolean {
  return next.for === event.for && next.cautions.every((id) => event.cautions.includes(id));
}

function acknowledgeAtEnd(
  procedure: Procedure,
  run: Run,
  event: RunEvent & { readonly type: "acknowledge" },
): Applied {
  const next = cautionsAtEnd(procedure, run);
  if (next === undefined || !acknowledges(event, next))
    return refuse(next?.for ?? "nothing more", event.type);
  return { ok: true, run: { ...run, acknowledged: [...run.acknowledged, event.for] } };
}

/** Its limits stand in the procedure or the sheet, so that nobody is asked; they can be told all the same. */
function isWritten(procedure: Procedure, id: string): boolean {
  const specification = procedure.specifications.get(id);
  return specification !== undefined && specification.open === undefined;
}

function answerStep(
  procedure: Procedure,
  run: Run,
  step: Step,
  event: RunEvent & { readonly type: "answer" | "reading" | "done" },
  seq: number,
): Applied {
  const spent = spend(run, step);
  if (step.kind === "ask" && event.type === "answer") {
    if (!step.answers.some((answer) => answer.id === event.answer))
      return {
        ok: false,
        refusal: { code: "unknown-answer", answer: event.answer, choices: step.answers.map((a) => a.id) },
      };
    return walked(procedure, spent, step, { outcome: event.answer }, event.at, seq);
  }
  if (step.kind === "measure" && event.type === "reading") {
    const decided = decideReading(procedure, run, step, event, event.at);
    if (!decided.ok) return decided;
    const { judged, result } = decided;
    const read = judged ? { ...spent, readings: withEntry(run.readings, step.id, judged) } : spent;
    return walked(procedure, read, step, result, event.at, seq, judged && pathReading(judged));
  }
  if (step.kind === "do" && event.type === "done")
    return walked(procedure, spent, step, { outcome: "done" }, event.at, seq);
  if (step.kind === "conclude" && event.type === "done")
    return conclude(procedure, spent, step, event.at, seq);
  return refuse(step.kind, event.type);
}

function conclude(
  procedure: Procedure,
  run: Run,
  step: Step & { readonly kind: "conclude" },
  at: number,
  seq: number,
): Applied {
  const repairMinutes = step.repairs.reduce((sum, id) => sum + (procedure.repairs.get(id)?.minutes ?? 0), 0);
  // After a repair the written order asks anew; what was found before stays evidence.
  const aside = [...new Set([...(run.aside ?? []), ...(run.ahead ?? [])])];
  const concluded = {
    ...withAhead(run, []),
    ...(aside.length === 0 ? {} : { aside }),
    concluded: step.faults,
    minutes: run.minutes + repairMinutes,
  };
  if (step.verify === undefined) return walked(procedure, concluded, step, { outcome: "concluded" }, at, seq);
  const verifying = {
    ...concluded,
    verifying: { step: step.id, faults: step.faults, told: {} },
    clearing: true,
  };
  return walked(procedure, verifying, step, { outcome: "repaired" }, at, seq);
}
