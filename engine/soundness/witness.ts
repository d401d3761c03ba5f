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
import type { Branch, Fact, FactValue, MeasureStep, Procedure, Step, StepId } from "../procedure/model.ts";
import type { NumericBand } from "../quantity/verdict.ts";
import { type Analysis, wayFromStart } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import { factsOf } from "./counted.ts";
import { type Interval, typedNumber } from "./plain-number.ts";
import { sampleLimits } from "./sample-limits.ts";
import { plainConditions, readingIn, sampleReading } from "./sample-reading.ts";
import { atVisit, type FirstWalk, type Wanted, wantedOn } from "./witness-values.ts";

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
  const rows = rowsOf(analysis, way, wanted);
  rows.addReading(step, interval);
  return rows.list;
}

/**
 * The rows of a way given by its edges, with facts and readings that meet the conditions on it where such were
 * found; else the row where the run would leave it says on what it hangs. `failing` where the witness shows that
 * the last condition can't be worked out.
 */
export function witnessOf(
  analysis: Analysis,
  way: readonly number[],
  failing = false,
): readonly WitnessStep[] {
  return rowsOf(analysis, way, undefined, failing).list;
}

/** So often values are looked for anew, with what the run before came to. */
const MOST_TRIES = 3;

function rowsOf(analysis: Analysis, way: readonly number[], given?: Wanted, failing = false): Rows {
  let best = walked(analysis, way, given, failing);
  for (let tries = MOST_TRIES; tries > 0 && best.left < way.length; tries -= 1) {
    const found = wantedOn(analysis, way.slice(0, best.left + 1), best.told);
    const next = found && walked(analysis, way, joined(found, given), failing);
    if (next === undefined || next.left <= best.left) break;
    best = next;
  }
  return best;
}

function joined(found: Wanted, given: Wanted | undefined): Wanted {
  return {
    facts: new Map([...found.facts, ...(given?.facts ?? [])]),
    readings: new Map([...found.readings, ...(given?.readings ?? [])]),
  };
}

function walked(
  analysis: Analysis,
  way: readonly number[],
  wanted: Wanted | undefined,
  failing: boolean,
): Rows {
  const rows = new Rows(analysis, way, wanted);
  for (const [place, id] of way.entries()) rows.addEdge(id, place, failing && place === way.length - 1);
  return rows;
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
  readonly #told = new Map<string, FactValue>();
  readonly #readings = new Map<string, number>();
  readonly #visits = new Map<StepId, number>();
  readonly #times = new Map<number, { readonly entered: Run["entered"]; readonly at: number }>();
  /** At which place of the way the run has taken another arm; what comes behind is only told. */
  left = Number.POSITIVE_INFINITY;

  constructor(analysis: Analysis, way: readonly number[], wanted?: Wanted) {
    this.#analysis = analysis;
    this.#wanted = wanted;
    this.#facts = new Map([...factsFor(analysis, way), ...(wanted?.facts ?? [])]);
    this.#run = openRun(analysis.procedure, { run: "", at: 0 });
  }

  addEdge(id: number, place: number, failing: boolean): void {
    const edge = this.#analysis.flow.edges[id];
    if (edge?.branch === undefined) return;
    const { branch, arm } = edge;
    const step = this.#analysis.procedure.steps.get(branch.step);
    if (step === undefined) return;
    const facts = typeof arm === "number" ? armFacts(this.#analysis.procedure, branch, arm) : undefined;
    if (typeof facts === "object")
      for (const [fact, value] of facts) if (!this.#facts.has(fact)) this.#facts.set(fact, value);
    const { entered } = this.#run;
    this.addRow(step, branch.outcome);
    this.#times.set(place, { entered, at: onClock(this.#run.minutes) });
    if (typeof arm !== "number" || branch.arms.length === 1 || this.left !== Infinity) return;
    const hop = this.#run.hops.findLast((each) => each.step === branch.step);
    if (hop?.outcome === branch.outcome && hop.arm === arm) return;
    if (failing && hop?.outcome === "cannot") return;
    this.left = place;
    const [last] = this.list.splice(-1);
    if (last !== undefined) this.list.push({ ...last, hangsOn: conditionTo(branch, arm) });
  }

  /** What was told and read, and when, for values to be looked for anew. */
  get told(): FirstWalk {
    return {
      facts: this.#told,
      readings: this.#readings,
      elapsed: (place, step) => {
        const { entered, at } = this.#times.get(place) ?? {};
        const since = entered && own(entered, step);
        return since === undefined || at === undefined ? undefined : (at - since) / 60_000;
      },
    };
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
            this.#wantedAt(step.id),
          )
        : undefined;
    this.list.push({ step: step.id, outcome, ...(typed === undefined ? {} : { reading: typed }) });
    const event = eventOf(procedure, step, outcome, typed);
    if (event !== undefined) this.#walk(event);
    if (typed === undefined) return;
    const visit = (this.#visits.get(step.id) ?? 0) + 1;
    this.#visits.set(step.id, visit);
    const read = own(this.#run.readings, step.id)?.corrected;
    if (read !== undefined && Number.isFinite(read)) this.#readings.set(atVisit(step.id, visit), read);
  }

  #wantedAt(step: StepId): number | undefined {
    const visits = this.#wanted?.readings.get(step);
    const value = visits?.[this.#visits.get(step) ?? 0] ?? visits?.at(-1);
    return value === undefined || Number.isNaN(value) ? undefined : value;
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
      this.#told.set(id, value);
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

/** The condition that has to hold for an arm; for the last, that none before it does. */
function conditionTo({ arms }: Branch, arm: number): string {
  const before = arms.slice(0, arm).flatMap((each) => each.if?.text ?? []);
  return arms[arm]?.if?.text ?? before.map((text) => `!(${text})`).join(" && ");
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

function factRow(id: string, fact: Fact, value: FactValue | undefined): FactRow {
  const step: StepId = `facts/${id}`;
  if (fact.measure !== undefined) {
    const plain = fact.measure.quantity === "temperature" ? 20 : 1;
    const number = typeof value === "number" ? value : plain;
    const reading = `${typedNumber(number)} ${fact.measure.unit}`;
    return { row: { step, outcome: String(number), reading }, value: number };
  }
  if (fact.list && Array.isArray(value)) return { row: { step, outcome: value.join(" ") || "none" }, value };
  const chosen = typeof value === "string" ? value : undefined;
  const outcome = chosen ?? (value === undefined && !fact.list ? fact.choices[0]?.id : undefined);
  return outcome === undefined
    ? { row: { step, outcome: "unknown" }, value: { unknown: true } }
    : { row: { step, outcome }, value: outcome };
}
