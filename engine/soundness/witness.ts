import type { WitnessStep } from "../procedure/finding.ts";
import type { Fact, FactValue, Step, StepId } from "../procedure/model.ts";
import { type Analysis, wayFromStart } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import { typedNumber } from "./plain-number.ts";
import { sampleReading } from "./sample-reading.ts";

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

class Rows {
  readonly list: WitnessStep[] = [];
  readonly #analysis: Analysis;
  readonly #facts = new Map<string, FactValue>();
  readonly #asked = new Set<string>();

  constructor(analysis: Analysis) {
    this.#analysis = analysis;
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
    this.#askFacts(step.facts);
    const typed =
      reading ??
      (step.kind === "measure" && outcome !== "cannot" && outcome !== "stop"
        ? sampleReading(this.#analysis.procedure, step, outcome)
        : undefined);
    this.list.push({ step: step.id, outcome, ...(typed === undefined ? {} : { reading: typed }) });
  }

  #askFacts(facts: readonly string[]): void {
    for (const id of facts) {
      const fact = this.#analysis.procedure.facts.get(id);
      if (fact === undefined || fact.given !== undefined || this.#asked.has(id)) continue;
      this.#asked.add(id);
      this.list.push(factRow(id, fact, this.#facts.get(id)));
    }
  }
}

function factRow(id: string, fact: Fact, value: FactValue | undefined): WitnessStep {
  const step: StepId = `facts/${id}`;
  if (fact.measure !== undefined) {
    const number = fact.measure.quantity === "temperature" ? 20 : 1;
    return { step, outcome: String(number), reading: `${typedNumber(number)} ${fact.measure.unit}` };
  }
  if (typeof value === "string") return { step, outcome: value };
  const first = value === undefined && !fact.list ? fact.choices[0]?.id : undefined;
  return { step, outcome: first ?? "unknown" };
}
