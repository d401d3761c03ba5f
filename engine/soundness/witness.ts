import { advance } from "../machine/advance.ts";
import { openRun } from "../machine/apply.ts";
import { decideReading } from "../machine/decide.ts";
import type { RunEvent } from "../machine/event.ts";
import { numericBands } from "../machine/limits.ts";
import { own } from "../machine/own.ts";
import { promptOf } from "../machine/prompt-of.ts";
import type { Run } from "../machine/run.ts";
import { sceneOf } from "../machine/scene.ts";
import type { WitnessStep } from "../procedure/finding.ts";
import type { Fact, FactValue, MeasureStep, Procedure, Step, StepId } from "../procedure/model.ts";
import type { NumericBand } from "../quantity/verdict.ts";
import { type Analysis, wayFromStart } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import { factsOf } from "./counted.ts";
import { type Interval, typedNumber } from "./plain-number.ts";
import { sampleLimits } from "./sample-limits.ts";
import { plainConditions, readingIn, sampleReading } from "./sample-reading.ts";

/**
 * The shortest way from the start to a step as the rows of a run's path: facts where they are asked, a reading
 * for every measured outcome, a call's row behind its called rows. Undefined where nothing leads there.
 * Limits told only in a run are those of {@link sampleLimits};
 * conditions on readings are left to whoever replays it.
 */
export function witnessTo(analysis: Analysis, index: number): readonly WitnessStep[] | undefined {
  const way = wayFromStart(analysis, index);
  return way && witnessOf(analysis, way);
}

/**
 * As {@link witnessTo}, with a reading there whose value lies where `interval` says, by the bands that the run
 * judges by. Its outcome is what the run makes of it: `nowhere` where that is nothing.
 */
export function witnessReading(
  analysis: Analysis,
  index: number,
  interval: (bands: readonly NumericBand[] | undefined) => Interval | undefined,
  wanted?: Wanted,
): readonly WitnessStep[] | undefined {
  const step = analysis.flow.steps[index];
  const way = wayFromStart(analysis, index);
  if (step?.kind !== "measure" || way === undefined) return undefined;
  const rows = new Rows(analysis, way, wanted);
  for (const id of way) rows.addEdge(id);
  rows.addReading(step, interval);
  return rows.list;
}

/** The rows of a way given by its edges. */
export function witnessOf(analysis: Analysis, way: readonly number[]): readonly WitnessStep[] {
  const rows = new Rows(analysis, way);
  for (const id of way) rows.addEdge(id);
  return rows.list;
}

/** Numbers that a witness is to have: measured facts in their unit, readings in their step's reading unit. */
export interface Wanted {
  readonly facts: ReadonlyMap<string, number>;
  readonly readings: ReadonlyMap<StepId, number>;
}

/** The outcome, in a witness, of a reading that has none. */
const NOWHERE = "nowhere";

/** Choices that take every arm of a way; none where all do, or where the way is only known arm by arm. */
function factsFor({ facts, flow }: Analysis, way: readonly number[]): Map<string, FactValue> {
  let fitting = facts.whole;
  for (const id of way) {
    const edge = flow.edges[id];
    if (edge !== undefined) fitting &= factsOf(facts, edge);
  }
  return new Map(fitting === facts.whole || fitting === 0n ? [] : facts.first(fitting));
}

/** Rows put one behind the other, and the run that they give so far: what a reading means hangs on it. */
class Rows {
  readonly list: WitnessStep[] = [];
  readonly #analysis: Analysis;
  readonly #facts: Map<string, FactValue>;
  readonly #asked = new Set<string>();
  readonly #wanted: Wanted | undefined;
  #run: Run;

  constructor(analysis: Analysis, way: readonly number[], wanted?: Wanted) {
    this.#analysis = analysis;
    this.#wanted = wanted;
    this.#facts = new Map([...factsFor(analysis, way), ...(wanted?.facts ?? [])]);
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

  addReading(
    step: MeasureStep,
    interval: (bands: readonly NumericBand[] | undefined) => Interval | undefined,
  ): void {
    const { procedure } = this.#analysis;
    this.#prepare(step);
    const run = this.#run;
    const at = judgedAt(run, step);
    const where = interval(numericBands(procedure, run, step, sceneOf(procedure, run, at)));
    const reading = where && readingIn(procedure, step, where, run, at);
    const decided =
      reading === undefined
        ? undefined
        : decideReading(procedure, run, step, { reading, ...plainConditions(procedure, step) }, at);
    const outcome = decided?.ok ? decided.result.outcome : NOWHERE;
    this.list.push({ step: step.id, outcome, ...(reading === undefined ? {} : { reading }) });
  }

  addRow(step: Step, outcome: string): void {
    const { procedure } = this.#analysis;
    this.#prepare(step);
    const typed =
      step.kind === "measure" && outcome !== "cannot" && outcome !== "stop"
        ? sampleReading(
            procedure,
            step,
            outcome,
            this.#run,
            judgedAt(this.#run, step),
            this.#wanted?.readings.get(step.id),
          )
        : undefined;
    this.list.push({ step: step.id, outcome, ...(typed === undefined ? {} : { reading: typed }) });
    const event = eventOf(procedure, step, outcome, typed);
    if (event !== undefined) this.#walk(event);
  }

  #prepare({ facts, specifications }: Step): void {
    this.#askFacts(facts);
    for (const id of specifications) {
      const specification = this.#analysis.procedure.specifications.get(id);
      const limits = specification && sampleLimits(specification);
      if (limits === undefined || own(this.#run.specifications, id) !== undefined) continue;
      this.#walk({ at: 0, type: "specification", specification: id, limits, source: "witness" });
    }
    // Set-ups take time, and cautions come before them.
    for (let left = MOST_PREPARED; left > 0; left -= 1) {
      const prompt = promptOf(this.#analysis.procedure, this.#run);
      if (prompt.kind === "set-up")
        this.#walk({ at: 0, type: "set-up", setUp: prompt.setUp.id, change: prompt.change });
      else if (prompt.kind === "cautions")
        this.#walk({
          at: 0,
          type: "acknowledge",
          for: prompt.for,
          cautions: prompt.cautions.map(({ id }) => id),
        });
      else return;
    }
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

  /** On the clock of nominal minutes. A refused event is left out: what follows is then sampled without it. */
  #walk(event: RunEvent): void {
    const { procedure } = this.#analysis;
    const trial = advance(procedure, this.#run, event);
    if (!trial.ok) return;
    const next = advance(procedure, this.#run, { ...event, at: onClock(trial.run.minutes) });
    if (next.ok) this.#run = next.run;
  }
}

/** More set-ups and cautions than this before one step are left out of its witness's time. */
const MOST_PREPARED = 200;

function onClock(minutes: number): number {
  return Math.round(minutes * 60_000);
}

/** When a reading is judged that the run takes next. */
function judgedAt(run: Run, step: MeasureStep): number {
  return onClock(run.minutes + step.minutes + (step.waitMinutes ?? 0));
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
    const plain = fact.measure.quantity === "temperature" ? 20 : 1;
    const number = typeof value === "number" ? value : plain;
    const reading = `${typedNumber(number)} ${fact.measure.unit}`;
    return { row: { step, outcome: String(number), reading }, value: number };
  }
  const chosen = typeof value === "string" ? value : undefined;
  const outcome = chosen ?? (value === undefined && !fact.list ? fact.choices[0]?.id : undefined);
  return outcome === undefined
    ? { row: { step, outcome: "unknown" }, value: { unknown: true } }
    : { row: { step, outcome }, value: outcome };
}
