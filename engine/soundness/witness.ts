import { advance } from "../machine/advance.ts";
import { openRun } from "../machine/apply.ts";
import type { RunEvent } from "../machine/event.ts";
import type { Run } from "../machine/run.ts";
import type { WitnessStep } from "../procedure/finding.ts";
import type { Fact, FactValue, Procedure, Step, StepId } from "../procedure/model.ts";
import { type Analysis, wayFromStart } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import { typedNumber } from "./plain-number.ts";
import { plainConditions, sampleReading } from "./sample-reading.ts";

/**
 * The shortest way from the start to a step as the rows of a run's path: facts where they are asked, a reading
 * for every measured outcome, a call's row behind its called rows. Undefined where nothing leads there.
 * Conditions on readings, and limits told only in a run, are left to whoever replays it.
 */
export function witnessTo(analysis: Analysis, index: number): readonly WitnessStep[] | undefined {
  const way = wayFromStart(analysis, index);
  return way && witnessOf(analysis, way);
}

/** As {@link witnessTo}, with the outcome that the step then has. */
export function witnessOutcome(
  analysis: Analysis,
  index: number,
  outcome: string,
  reading?: string,
): readonly WitnessStep[] | undefined {
  const step = analysis.flow.steps[index];
  const way = wayFromStart(analysis, index);
  if (step === undefined || way === undefined) return undefined;
  const rows = new Rows(analysis);
  for (const id of way) rows.addEdge(id);
  rows.addRow(step, outcome, reading);
  return rows.list;
}

/** The rows of a way given by its edges. */
export function witnessOf(analysis: Analysis, way: readonly number[]): readonly WitnessStep[] {
  const rows = new Rows(analysis);
  for (const id of way) rows.addEdge(id);
  return rows.list;
}

/** Rows put one behind the other, and the run that they give so far: what a reading means hangs on it. */
class Rows {
  readonly list: WitnessStep[] = [];
  readonly #analysis: Analysis;
  readonly #facts = new Map<string, FactValue>();
  readonly #asked = new Set<string>();
  #run: Run;

  constructor(analysis: Analysis) {
    this.#analysis = analysis;
    this.#run = openRun(analysis.procedure, { run: "", at: 0 });
  }

  addEdge(id: number): void {
    const edge = this.#analysis.flow.edges[id];
    if (edge?.branch === undefined) return;
    const { branch, arm } = edge;
    const step = this.#analysis.procedure.steps.get(branch.step);
    if (step === undefined) return;
    const facts = typeof arm === "number" ? armFacts(this.#analysis.procedure, branch, arm) : undefined;
    if (typeof facts === "object")
      for (const [fact, value] of facts) if (!this.#facts.has(fact)) this.#facts.set(fact, value);
    this.addRow(step, branch.outcome);
  }

  addRow(step: Step, outcome: string, reading?: string): void {
    const { procedure } = this.#analysis;
    this.#askFacts(step.facts);
    const typed =
      reading ??
      (step.kind === "measure" && outcome !== "cannot" && outcome !== "stop"
        ? sampleReading(procedure, step, outcome, this.#run)
        : undefined);
    this.list.push({ step: step.id, outcome, ...(typed === undefined ? {} : { reading: typed }) });
    const event = eventOf(procedure, step, outcome, typed);
    if (event !== undefined) this.#walk(event);
  }

  #askFacts(facts: readonly string[]): void {
    for (const id of facts) {
      const fact = this.#analysis.procedure.facts.get(id);
      if (fact === undefined || fact.given !== undefined || this.#asked.has(id)) continue;
      this.#asked.add(id);
      const { row, value } = factRow(id, fact, this.#facts.get(id));
      this.list.push(row);
      this.#walk({ at: 0, type: "fact", fact: id, value });
    }
  }

  /** A refused event is left out: what follows is then sampled without it. */
  #walk(event: RunEvent): void {
    const next = advance(this.#analysis.procedure, this.#run, event);
    if (next.ok) this.#run = next.run;
  }
}

/** Undefined where the run goes on by itself, or no reading is known. */
function eventOf(
  procedure: Procedure,
  step: Step,
  outcome: string,
  reading: string | undefined,
): RunEvent | undefined {
  const base = { at: 0, step: step.id };
  if (outcome === "cannot") return { ...base, type: "cannot", reason: "" };
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

function factRow(id: string, fact: Fact, value: FactValue | undefined): FactRow {
  const step: StepId = `facts/${id}`;
  if (fact.measure !== undefined) {
    const number = fact.measure.quantity === "temperature" ? 20 : 1;
    const reading = `${typedNumber(number)} ${fact.measure.unit}`;
    return { row: { step, outcome: String(number), reading }, value: number };
  }
  const chosen = typeof value === "string" ? value : undefined;
  const outcome = chosen ?? (value === undefined && !fact.list ? fact.choices[0]?.id : undefined);
  return outcome === undefined
    ? { row: { step, outcome: "unknown" }, value: { unknown: true } }
    : { row: { step, outcome }, value: outcome };
}
