/** One event applied to a run: what it changes, and the walk to the next step that asks something. */
import type { Outcome, Procedure, Step, StepId } from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import { branchKey, decideBranch, decideReading } from "./decide.ts";
import type { Opening, RunEvent } from "./event.ts";
import { acceptFact, acceptSpecification } from "./known.ts";
import { own, withEntry } from "./own.ts";
import { pathReading } from "./path.ts";
import { nextPreparation } from "./prepare.ts";
import type { Refusal } from "./refusal.ts";
import type { Hop, PathRow, Run, StepResult } from "./run.ts";
import { toUndo } from "./set-ups.ts";

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
  if (step === undefined || run.phase === "ended") return refuse("nothing more", event.type);
  switch (event.type) {
    case "stop":
      return leave(procedure, counted, step, { outcome: "stop" }, event.at, seq);
    case "cannot":
      if (event.step !== step.id || !step.outcomes.has("cannot")) return refuse(step.id, event.step);
      if (event.reason.trim() === "") return { ok: false, refusal: { code: "reason-needed" } };
      return leave(procedure, spend(counted, step), step, { outcome: "cannot" }, event.at, seq);
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

/** The run with everything that needs nobody done, and its phase told. */
export function settle(procedure: Procedure, run: Run): Run {
  const step = procedure.steps.get(run.step);
  if (step === undefined || run.end !== undefined) return { ...run, phase: "ended" };
  const gone = toUndo(procedure, step, run.made, run.clearing).filter(
    (id) => procedure.setUps.get(id)?.putBack === undefined,
  );
  const settled = gone.length === 0 ? run : { ...run, made: run.made.filter((id) => !gone.includes(id)) };
  return { ...settled, phase: nextPreparation(procedure, settled, step) === undefined ? "open" : "ready" };
}

function refuse(expected: string, got: string): Applied {
  return { ok: false, refusal: { code: "not-expected", expected, got } };
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
  const atEnd = run.phase === "ended" && event.change === "put-back" && run.made.includes(event.setUp);
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
      everMade: run.everMade.includes(event.setUp) ? run.everMade : [...run.everMade, event.setUp],
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
  if (
    event.type === "specification" &&
    next?.kind === "specification" &&
    next.specification === event.specification
  ) {
    const accepted = acceptSpecification(procedure, run, event);
    return accepted.ok ? { ok: true, run: settle(procedure, accepted.run) } : accepted;
  }
  if (event.type === "acknowledge" && next?.kind === "cautions" && next.for === event.for)
    return {
      ok: true,
      run: settle(procedure, { ...run, acknowledged: [...run.acknowledged, event.for] }),
    };
  return refuse(next?.kind ?? "the step itself", event.type);
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
    return leave(procedure, spent, step, { outcome: event.answer }, event.at, seq);
  }
  if (step.kind === "measure" && event.type === "reading") {
    const decided = decideReading(procedure, run, step, event, event.at);
    if (!decided.ok) return decided;
    const { judged, result } = decided;
    const read = judged ? { ...spent, readings: withEntry(run.readings, step.id, judged) } : spent;
    return leave(procedure, read, step, result, event.at, seq, judged && pathReading(judged));
  }
  if (step.kind === "do" && event.type === "done")
    return leave(procedure, spent, step, { outcome: "done" }, event.at, seq);
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
  const concluded = { ...run, concluded: step.faults, minutes: run.minutes + repairMinutes };
  if (step.verify === undefined) return leave(procedure, concluded, step, { outcome: "concluded" }, at, seq);
  const verifying = { ...concluded, verifying: { step: step.id, faults: step.faults }, clearing: true };
  return leave(procedure, verifying, step, { outcome: "repaired" }, at, seq);
}

/** Takes the branch of a step's outcome and walks on to the next step that asks something. */
function leave(
  procedure: Procedure,
  run: Run,
  step: Step,
  result: StepResult,
  at: number,
  seq: number,
  reading?: Partial<PathRow>,
): Applied {
  const hop = decideBranch(procedure, run, step, result.outcome, at);
  // A condition that can't be evaluated turns the outcome into `cannot`: the result says nothing then.
  const taken: StepResult = hop.outcome === result.outcome ? result : { outcome: hop.outcome };
  const row: PathRow = { step: step.id, outcome: hop.outcome, ...reading, seq };
  const walked: Run = {
    ...take(procedure, run, hop),
    results: withEntry(run.results, step.id, taken),
    path: [...run.path, row],
  };
  return { ok: true, run: enter(procedure, walked, hop.goto, at, seq) };
}

/** Counts the branch, and strikes the concluded faults where the branch fails their verification. */
function take(procedure: Procedure, run: Run, hop: Hop): Run {
  const branch = procedure.steps.get(hop.step)?.outcomes.get(hop.outcome);
  const counted: Run = {
    ...run,
    hops: [...run.hops, hop],
    ...(branch?.atMost !== undefined && hop.arm !== "else"
      ? { taken: withEntry(run.taken, branchKey(hop), (own(run.taken, branchKey(hop)) ?? 0) + 1) }
      : {}),
  };
  if (counted.verifying === undefined || hop.outcome === "repaired") return counted;
  if (reachesFixed(procedure).has(hop.goto)) return counted;
  // Leaving the job, or not being able to look, does not show that the repair failed.
  if (hop.outcome === "stop" || hop.outcome === "cannot") return withoutVerifying(counted);
  return withoutVerifying({
    ...counted,
    struck: [...new Set([...counted.struck, ...counted.verifying.faults])],
  });
}

function withoutVerifying(run: Run): Run {
  const { verifying: _, ...rest } = run;
  return rest;
}

/** Enters a step; calls, and ends that return from one, are walked through. */
function enter(procedure: Procedure, run: Run, target: StepId, at: number, seq: number): Run {
  let next = run;
  let id = target;
  // Only a procedure that `check` calls endless can pass so many steps without asking anything.
  for (let passed = 0; passed < 10_000; passed += 1) {
    const step = procedure.steps.get(id);
    if (step === undefined) break;
    next = {
      ...next,
      step: id,
      visits: withEntry(next.visits, id, (own(next.visits, id) ?? 0) + 1),
      entered: withEntry(next.entered, id, at),
    };
    if (step.kind === "call") {
      id = step.entry;
      continue;
    }
    if (step.kind !== "end") return settle(procedure, arrive(next, step, run.step));
    if (step.returnsTo === undefined)
      return settle(procedure, {
        ...next,
        end: step.end,
        path: [...next.path, { step: id, outcome: step.end, seq }],
      });
    const call = procedure.steps.get(step.returnsTo);
    if (call === undefined) break;
    const outcome: Outcome = step.end === "fixed" ? "fault-found" : step.end;
    const hop = decideBranch(procedure, next, call, outcome, at);
    next = {
      // A called procedure that ends fixed has verified its repair: where the caller goes on can't fail it.
      ...take(procedure, step.end === "fixed" ? withoutVerifying(next) : next, hop),
      path: [...next.path, { step: call.id, outcome: hop.outcome, seq }],
    };
    id = hop.goto;
  }
  return settle(procedure, {
    ...next,
    step: id,
    end: "unresolved",
    path: [...next.path, { step: id, outcome: "unresolved", seq }],
  });
}

/** Forgets acknowledgements of the step before, and whether it was clearing. */
function arrive(run: Run, step: Step, from: StepId): Run {
  const begins = run.verifying?.step === from && run.hops.at(-1)?.step === from;
  return { ...run, acknowledged: [], clearing: begins && step.kind !== "conclude" };
}
