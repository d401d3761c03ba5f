/** A finding's witness as a run: the answers that lead where the finding shows itself. */
import type { Answers, ScriptedAnswer } from "../../engine/machine/answers.ts";
import type { Run } from "../../engine/machine/run.ts";
import { type Walked, walkAnswers } from "../../engine/machine/walk.ts";
import type { FactValue, Procedure } from "../../engine/procedure/model.ts";
import { toldLimits } from "../../engine/soundness/sample-limits.ts";
import { plainConditions } from "../../engine/soundness/sample-reading.ts";
import { listOf } from "../../engine/soundness/witness-answers.ts";
import type { WayRow } from "./way-words.ts";

const FACT = "facts/";

/** Returns the run as far as the witness leads; it is nobody's job and is stored nowhere. */
export function walkWitness(procedure: Procedure, witness: readonly WayRow[], at: number): Walked {
  return walkAnswers(procedure, { run: "rehearsal", at }, witnessAnswers(procedure, witness));
}

/** Returns the reading that the witness gives at the step where the run stopped, to be typed there already. */
export function nextReading(witness: readonly WayRow[], run: Run): string | undefined {
  const visited = run.path.filter(({ step }) => step === run.step).length;
  return witness.filter(({ step }) => step === run.step)[visited]?.reading;
}

function witnessAnswers(procedure: Procedure, witness: readonly WayRow[]): Answers {
  const steps = new Map<string, ScriptedAnswer[]>();
  // A fact that the witness leaves open is not known in it either.
  const facts = new Map<string, { readonly value: FactValue; readonly typed?: string }>(
    [...procedure.facts.keys()].map((id) => [id, { value: { unknown: true } }]),
  );
  for (const row of witness) {
    if (row.step.startsWith(FACT)) {
      const id = row.step.slice(FACT.length);
      facts.set(id, factAnswer(procedure, id, row));
      continue;
    }
    if (row.reading === undefined && row.outcome === "") continue;
    const step = procedure.steps.get(row.step);
    const answer: ScriptedAnswer = {
      typed: row.reading ?? row.outcome,
      ...(row.outcome === "cannot" ? { reason: "rehearsal" } : {}),
      ...(step?.kind === "measure" && row.reading !== undefined
        ? { more: plainConditions(procedure, step) }
        : {}),
    };
    const visits = steps.get(row.step);
    if (visits) visits.push(answer);
    else steps.set(row.step, [answer]);
  }
  const told = [...toldLimits(procedure)].map(
    ([id, limits]) => [id, { limits, source: "rehearsal" }] as const,
  );
  return { steps, choices: [], facts, specifications: new Map(told) };
}

function factAnswer(
  procedure: Procedure,
  id: string,
  row: WayRow,
): { readonly value: FactValue; readonly typed?: string } {
  if (row.outcome === "unknown") return { value: { unknown: true } };
  if (procedure.facts.get(id)?.measure) {
    const number = Number.parseFloat(row.reading ?? row.outcome);
    if (Number.isNaN(number)) return { value: { unknown: true } };
    return row.reading === undefined ? { value: number } : { value: number, typed: row.reading };
  }
  if (procedure.facts.get(id)?.list) return { value: listOf(row.outcome) };
  return { value: row.outcome };
}
