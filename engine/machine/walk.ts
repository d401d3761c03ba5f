/** A run walked with answers written beforehand, on a clock that goes by nominal minutes. */
import type { Procedure } from "../procedure/model.ts";
import { advance, LAST_MOMENT } from "./advance.ts";
import { type Answers, answerFor, type ScriptedChoice } from "./answers.ts";
import { openRun } from "./apply.ts";
import type { Opening, RunEvent } from "./event.ts";
import { own } from "./own.ts";
import type { Prompt } from "./prompt.ts";
import { promptOf } from "./prompt-of.ts";
import type { Refusal } from "./refusal.ts";
import type { Run } from "./run.ts";

/** More than any job that ends takes; only a procedure that `check` calls endless comes so far. */
const MOST_EVENTS = 10_000;

export interface Walked {
  readonly run: Run;
  /** What the run asks for and no answer is left for; absent when it came to an end. */
  readonly at?: string;
  /** Why the answer given there was not accepted. */
  readonly refusal?: Refusal;
}

/**
 * The run as far as the answers lead. A choice is taken as soon as the run lets it be. Cautions and set-ups count as
 * acknowledged and made; at every end but `stopped` what is apart is put back. `onEvent` sees each accepted event
 * with the step it was given at.
 */
export function walkAnswers(
  procedure: Procedure,
  opening: Opening,
  answers: Answers,
  onEvent: (event: RunEvent, step: string) => void = () => {},
): Walked {
  let run = openRun(procedure, opening);
  let clock = opening.at;
  for (const event of toldUnasked(procedure, answers, clock)) {
    const next = advance(procedure, run, event);
    if (!next.ok) return { run, at: `specifications/${event.specification}`, refusal: next.refusal };
    onEvent(event, run.step);
    run = next.run;
  }
  let chosen = 0;
  for (;;) {
    const prompt = promptOf(procedure, run);
    const choice = answers.choices[chosen];
    if (choice !== undefined && isAt(run, choice)) {
      const event = { type: "choose", at: clock, step: choice.take } as const;
      const next = isDue(run, choice) ? advance(procedure, run, event) : undefined;
      if (next?.ok) {
        onEvent(event, run.step);
        run = next.run;
        chosen += 1;
        continue;
      }
      // What stands before the step may have to come first; once its own question is asked nothing is left.
      if (run.phase === "open")
        return { run, at: promptName(prompt), refusal: { code: "not-to-choose", step: choice.take } };
    }
    if (run.events.length >= MOST_EVENTS && prompt.kind !== "end")
      return { run, at: promptName(prompt), refusal: { code: "endless", events: run.events.length } };
    const event = answerPrompt(prompt, run, answers, clock);
    if (event === "end") return { run };
    if (event === undefined) return { run, at: promptName(prompt) };
    const timed = onTheClock(procedure, run, event, prompt, answers);
    const next = advance(procedure, run, timed);
    if (!next.ok) return { run, at: promptName(prompt), refusal: next.refusal };
    onEvent(timed, run.step);
    clock = timed.at;
    run = next.run;
  }
}

/** Whether the run asks for the step that a choice is made at. */
function isAt(run: Run, { at, visit }: ScriptedChoice): boolean {
  return run.step === at && run.phase !== "ended" && (own(run.visits, at) ?? 1) >= visit;
}

/** Whether all that was to come before a choice has come. */
function isDue(run: Run, { apart, after }: ScriptedChoice): boolean {
  if (
    apart !== undefined &&
    !(apart.length === run.made.length && apart.every((id) => run.made.includes(id)))
  )
    return false;
  const told = [
    ...Object.keys(run.facts).map((id) => `facts/${id}`),
    ...Object.keys(run.specifications).map((id) => `specifications/${id}`),
  ];
  return after.every((name) => told.includes(name));
}

/** What a prompt is called in messages and answers files: the step, or `facts/…`, `specifications/…`. */
export function promptName(prompt: Prompt): string {
  switch (prompt.kind) {
    case "fact":
      return `facts/${prompt.fact.id}`;
    case "specification":
      return `specifications/${prompt.specification}`;
    case "set-up":
      return prompt.setUp.id;
    case "cautions":
      return prompt.for;
    default:
      return prompt.step;
  }
}

function answerPrompt(prompt: Prompt, run: Run, answers: Answers, at: number): RunEvent | "end" | undefined {
  switch (prompt.kind) {
    case "fact": {
      const given = answers.facts.get(prompt.fact.id);
      return given && { type: "fact", at, fact: prompt.fact.id, ...given };
    }
    case "specification": {
      const given = answers.specifications.get(prompt.specification);
      return given && { type: "specification", at, specification: prompt.specification, ...given };
    }
    case "set-up":
      return { type: "set-up", at, setUp: prompt.setUp.id, change: prompt.change };
    case "cautions":
      return { type: "acknowledge", at, for: prompt.for, cautions: prompt.cautions.map((c) => c.id) };
    case "end": {
      const left = run.end === "stopped" ? undefined : prompt.putBack.find((item) => !item.done);
      return left ? { type: "set-up", at, setUp: left.setUp, change: "put-back" } : "end";
    }
    default:
      return answerStep(prompt, run, answers, at);
  }
}

function answerStep(
  prompt: Prompt & { readonly kind: "ask" | "measure" | "do" | "repair" | "concluded" },
  run: Run,
  answers: Answers,
  at: number,
): RunEvent | undefined {
  const step = prompt.step;
  const given = answerFor(answers, step, own(run.visits, step) ?? 1);
  if (given?.typed === "stop") return { type: "stop", at, reason: given.reason ?? "" };
  if (given?.typed === "cannot")
    return { type: "cannot", at, step, reason: given.reason ?? "not said in the answers file" };
  if (prompt.kind === "do" || prompt.kind === "repair" || prompt.kind === "concluded")
    return { type: "done", at, step };
  if (given === undefined) return undefined;
  if (prompt.kind === "ask") return { type: "answer", at, step, answer: given.typed };
  return { type: "reading", at, step, reading: given.typed, ...given.more };
}

/** Limits that the file tells although procedure or sheet say them: what a run is told goes first. */
function toldUnasked(
  procedure: Procedure,
  answers: Answers,
  at: number,
): readonly (RunEvent & { readonly type: "specification" })[] {
  return [...answers.specifications]
    .filter(([id]) => procedure.specifications.get(id)?.open === undefined)
    .map(([specification, told]) => ({ type: "specification", at, specification, ...told }));
}

/** The event at the moment it would be given: the nominal minutes it takes, or those really waited, later. */
function onTheClock(
  procedure: Procedure,
  run: Run,
  event: RunEvent,
  prompt: Prompt,
  answers: Answers,
): RunEvent {
  const trial = advance(procedure, run, event);
  if (!trial.ok) return event;
  const minutes = trial.run.minutes - run.minutes;
  const nominal = "waitMinutes" in prompt && event.type !== "stop" ? (prompt.waitMinutes ?? 0) : 0;
  const told =
    nominal > 0 && "step" in prompt
      ? answerFor(answers, prompt.step, own(run.visits, prompt.step) ?? 1)
      : undefined;
  const at = event.at + (minutes - nominal + (told?.more?.waited ?? nominal)) * 60_000;
  return { ...event, at: Math.min(Math.round(at), LAST_MOMENT) };
}
