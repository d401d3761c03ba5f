/** A finding's witness as the text of an answers file, which `run --answers` replays as it stands. */
import { stringify } from "yaml";
import type { WitnessStep } from "../procedure/finding.ts";
import type { MeasureStep, Procedure } from "../procedure/model.ts";
import { toldLimits } from "./sample-limits.ts";
import { plainConditions } from "./sample-reading.ts";

const FACT = "facts/";

/**
 * YAML: facts, those that the witness leaves open as unknown, then the answer or reading of each step, a list
 * where it comes up again. What need not be written (`done`, `repaired`, returns of calls) is left out. Limits
 * that only a run is told are made up, plainly so.
 */
export function witnessAnswers(procedure: Procedure, witness: readonly WitnessStep[]): string {
  const facts = new Map<string, string | readonly string[]>();
  for (const [id, fact] of procedure.facts) if (fact.given === undefined) facts.set(id, "unknown");
  const visits = new Map<string, unknown[]>();
  for (const row of witness) {
    if (row.step.startsWith(FACT)) {
      const id = row.step.slice(FACT.length);
      const isList = procedure.facts.get(id)?.list === true && row.outcome !== "unknown";
      facts.set(id, row.reading ?? (isList ? listOf(row.outcome) : row.outcome));
      continue;
    }
    const answer = answerOf(procedure, row);
    if (answer !== undefined) visits.set(row.step, [...(visits.get(row.step) ?? []), answer]);
  }
  const file = new Map<string, unknown>();
  if (facts.size > 0) file.set("facts", facts);
  const told = [...toldLimits(procedure)].map(
    ([id, limits]) => [id, { ...limits, source: "witness" }] as const,
  );
  if (told.length > 0) file.set("specifications", new Map(told));
  for (const [step, answers] of visits) file.set(step, answers.length === 1 ? answers[0] : answers);
  return stringify(file);
}

/** A list as a path says it, in one word for each entry. */
export function listOf(outcome: string): readonly string[] {
  return outcome === "none" ? [] : outcome.split(" ");
}

/** Undefined where nothing has to be written. */
function answerOf(procedure: Procedure, { step: id, outcome, reading }: WitnessStep): unknown {
  const step = procedure.steps.get(id);
  if (step === undefined) return undefined;
  if (outcome === "cannot") return { answer: outcome, reason: "witness" };
  if (outcome === "stop") return outcome;
  switch (step.kind) {
    case "ask":
      return outcome;
    case "measure":
      return reading === undefined ? undefined : readingOf(procedure, step, reading);
    case "do":
    case "call":
    case "conclude":
    case "end":
      return undefined;
  }
}

function readingOf(procedure: Procedure, step: MeasureStep, reading: string): unknown {
  const more = Object.entries(plainConditions(procedure, step));
  return more.length === 0 ? reading : new Map([["reading", reading], ...more]);
}
