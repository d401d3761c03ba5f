import type { WitnessStep } from "../procedure/finding.ts";
import type { Branch, Fact, FactValue, Step, StepId } from "../procedure/model.ts";
import { type Analysis, reachFrom, wayTo } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import type { FlowEdge } from "./flow.ts";
import { typedNumber } from "./plain-number.ts";
import { sampleReading } from "./sample-reading.ts";

/**
 * The shortest way from the start to a step as the rows of a run's path: facts where they are asked, a reading
 * for every measured outcome, a call's row behind its called rows. Undefined where nothing leads there.
 * Conditions on readings, and limits told only in a run, are left to whoever replays it.
 */
export function witnessTo(analysis: Analysis, index: number): readonly WitnessStep[] | undefined {
  const way = wayTo(analysis.flow, analysis.reachedBy, index);
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
  const way = wayTo(analysis.flow, analysis.reachedBy, index);
  if (step === undefined || way === undefined) return undefined;
  const rows = new Rows(analysis);
  for (const id of way) rows.addEdge(id);
  rows.addRow(step, outcome, reading);
  return rows.list;
}

/** The rows of a way given by its edges. A used-up branch is first taken as often as it may be. */
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
  readonly #taken = new Map<Branch, number>();

  constructor(analysis: Analysis) {
    this.#analysis = analysis;
  }

  addEdge(id: number): void {
    const edge = this.#analysis.flow.edges[id];
    if (edge?.branch === undefined) return;
    if (edge.arm === "else") this.#exhaust(edge.branch);
    this.#walk(edge);
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

  #walk(edge: FlowEdge): void {
    const { branch } = edge;
    if (branch === undefined) return;
    const step = this.#analysis.procedure.steps.get(branch.step);
    if (step === undefined) return;
    if (typeof edge.arm === "number") {
      const facts = armFacts(this.#analysis.procedure, branch, edge.arm);
      if (typeof facts === "object")
        for (const [fact, value] of facts) if (!this.#facts.has(fact)) this.#facts.set(fact, value);
      this.#taken.set(branch, (this.#taken.get(branch) ?? 0) + 1);
    }
    this.addRow(step, branch.outcome);
  }

  #exhaust(branch: Branch): void {
    const { flow } = this.#analysis;
    const from = flow.indexOf.get(branch.arms[0]?.goto ?? "");
    const step = flow.indexOf.get(branch.step);
    if (from === undefined || step === undefined) return;
    const back = wayTo(flow, reachFrom(flow, from, { toward: step }), step);
    const first = flow.out[step]?.find((id) => flow.edges[id]?.branch === branch);
    // Nothing leads round: the branch can't be used up, and the rule for loops says so.
    if (back === undefined || first === undefined) return;
    const again = back.flatMap((id) => flow.edges[id] ?? []).filter((edge) => edge.arm !== "else");
    for (let taken = this.#taken.get(branch) ?? 0; taken < (branch.atMost ?? 0); taken += 1) {
      const edge = flow.edges[first];
      if (edge !== undefined) this.#walk(edge);
      for (const next of again) this.#walk(next);
    }
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
