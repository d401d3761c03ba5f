/** Answers that a technician could give, drawn from a list of numbers: the same numbers, the same run. */
import { canBeNext } from "../../engine/machine/can-be-next.ts";
import type { RunEvent } from "../../engine/machine/event.ts";
import type { Prompt } from "../../engine/machine/prompt.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";

const READINGS = ["0.2", "0.99", "1.00", "1.01", "12.6", "OL", "-0.3", "412 mV", "0,9"];

/** An event that answers the prompt; undefined at an end where nothing is left to put back. */
export function randomEvent(prompt: Prompt, draw: number, at: number): RunEvent | undefined {
  if ("step" in prompt && prompt.kind !== "end" && draw % 37 === 36)
    return { type: "stop", at, reason: "called away" };
  switch (prompt.kind) {
    case "fact": {
      const choices = prompt.fact.choices;
      const choice = choices[draw % (choices.length + 1)];
      return { type: "fact", at, fact: prompt.fact.id, value: choice?.id ?? { unknown: true } };
    }
    case "specification":
      return {
        type: "specification",
        at,
        specification: prompt.specification,
        limits: Object.fromEntries(prompt.limits.map((word, index) => [word, String(index + 1)])),
        source: "the book",
      };
    case "set-up":
      return { type: "set-up", at, setUp: prompt.setUp.id, change: prompt.change };
    case "cautions":
      return { type: "acknowledge", at, for: prompt.for, cautions: prompt.cautions.map((one) => one.id) };
    case "ask": {
      const answer = prompt.answers[draw % (prompt.answers.length + 1)];
      return answer
        ? { type: "answer", at, step: prompt.step, answer: answer.id }
        : { type: "cannot", at, step: prompt.step, reason: "no light" };
    }
    case "measure": {
      const reading = READINGS[draw % (READINGS.length + 1)];
      return reading === undefined
        ? { type: "cannot", at, step: prompt.step, reason: "no room" }
        : { type: "reading", at, step: prompt.step, reading };
    }
    case "do":
    case "repair":
    case "concluded":
      return { type: "done", at, step: prompt.step };
    case "end": {
      const left = prompt.putBack.find((item) => !item.done);
      return left && { type: "set-up", at, setUp: left.setUp, change: "put-back" };
    }
  }
}

/** A step taken by choice, or back to the one that waits; undefined where nothing can be chosen. */
export function randomChoice(procedure: Procedure, run: Run, draw: number, at: number): RunEvent | undefined {
  if (!procedure.freeOrder) return undefined;
  const open = canBeNext(procedure, run)
    .map(({ id }) => id)
    .filter((id) => id !== run.step);
  const all = run.waiting === undefined ? open : [...open, run.waiting];
  const step = all[draw % Math.max(1, all.length)];
  return step === undefined ? undefined : { type: "choose", at, step };
}

/** An amendment of one of the events that count, drawn from the run; undefined where there is none. */
export function randomAmendment(run: Run, draw: number, at: number): RunEvent | undefined {
  const amendable = run.counted.filter((seq) => amended(run, seq, draw, at) !== undefined);
  const seq = amendable[draw % Math.max(1, amendable.length)];
  const event = seq === undefined ? undefined : amended(run, seq, draw, at);
  return seq === undefined || event === undefined ? undefined : { type: "amend", at, seq, event };
}

function amended(run: Run, seq: number, draw: number, at: number): RunEvent | undefined {
  const event = run.events[seq - 1];
  const counted = event?.type === "amend" ? event.event : event;
  switch (counted?.type) {
    case "reading":
      return { ...counted, at, reading: READINGS[draw % READINGS.length] ?? "1.0" };
    case "answer":
      if (draw % 5 === 4) return { type: "cannot", at, step: counted.step, reason: "no light after all" };
      return { ...counted, at, answer: draw % 2 === 0 ? "yes" : "no" };
    case "fact":
      return {
        ...counted,
        at,
        value: draw % 3 === 0 ? { unknown: true } : draw % 3 === 1 ? "round" : "flat",
      };
    case "done":
    case "cannot":
      return { ...counted, at };
    default:
      return undefined;
  }
}
