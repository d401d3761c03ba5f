import type { RunEvent } from "../machine/event.ts";
import type { WitnessStep } from "../procedure/finding.ts";
import type { Branch, Fact, FactValue, Procedure, Step, StepId } from "../procedure/model.ts";
import { parseReading } from "../quantity/parse-reading.ts";
import { typedNumber } from "./plain-number.ts";
import { plainConditions } from "./sample-reading.ts";

/** The condition that has to hold for an arm; for the last, that none before it does. */
export function conditionTo({ arms }: Branch, arm: number): string {
  const before = arms.slice(0, arm).flatMap((each) => each.if?.text ?? []);
  return arms[arm]?.if?.text ?? before.map((text) => `!(${text})`).join(" && ");
}

/** A row as a run takes it; undefined where the run goes on by itself, or no reading is known. */
export function eventOf(
  procedure: Procedure,
  step: Step,
  outcome: string,
  reading: string | undefined,
): RunEvent | undefined {
  const base = { at: 0, step: step.id };
  // A run takes no `cannot` without a reason.
  if (outcome === "cannot") return { ...base, type: "cannot", reason: "witness" };
  if (outcome === "stop") return { at: 0, type: "stop", reason: "" };
  switch (step.kind) {
    case "ask":
      return { ...base, type: "answer", answer: outcome };
    case "measure":
      return reading === undefined
        ? undefined
        : { ...base, type: "reading", reading, ...plainConditions(procedure, step) };
    case "do":
    case "conclude":
      return { ...base, type: "done" };
    case "call":
    case "end":
      return undefined;
  }
}

interface FactRow {
  readonly row: WitnessStep;
  readonly value: FactValue;
}

/** A fact told, as a row and as the run takes it: the first choice, or a plain number, where nothing is wanted. */
export function factRow(id: string, fact: Fact, value: FactValue | undefined): FactRow {
  const step: StepId = `facts/${id}`;
  if (fact.measure !== undefined) {
    const plain = fact.measure.quantity === "temperature" ? 20 : 1;
    const number = typeof value === "number" ? value : plain;
    const { unit } = fact.measure;
    const reading = `${typedNumber(number)} ${unit}`;
    // Colder than absolute zero: no run is told that.
    if (!parseReading(reading, unit).ok) return untold(step);
    return { row: { step, outcome: String(number), reading }, value: number };
  }
  if (fact.list && Array.isArray(value)) return { row: { step, outcome: value.join(" ") || "none" }, value };
  const chosen = typeof value === "string" ? value : undefined;
  const outcome = chosen ?? (value === undefined && !fact.list ? fact.choices[0]?.id : undefined);
  return outcome === undefined ? untold(step) : { row: { step, outcome }, value: outcome };
}

function untold(step: StepId): FactRow {
  return { row: { step, outcome: "unknown" }, value: { unknown: true } };
}
