import { type Applied, apply, openRun } from "../machine/apply.ts";
import { decideReading } from "../machine/decide.ts";
import type { RunEvent } from "../machine/event.ts";
import { numericBands } from "../machine/limits.ts";
import { own } from "../machine/own.ts";
import { nextPreparation, type Preparation } from "../machine/prepare.ts";
import type { Hop, Run } from "../machine/run.ts";
import { sceneOf } from "../machine/scene.ts";
import type { WitnessStep } from "../procedure/finding.ts";
import type { Branch, FactValue, LimitWord, MeasureStep, Outcome, Step, StepId } from "../procedure/model.ts";
import type { NumericBand } from "../quantity/verdict.ts";
import type { Analysis } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import type { FlowEdge } from "./flow.ts";
import { type Followed, wantedAt } from "./followed-way.ts";
import { lean, type Used, usedIn } from "./lean-run.ts";
import type { Interval } from "./plain-number.ts";
import { sampleLimits } from "./sample-limits.ts";
import { plainConditions, readingIn, sampleReading } from "./sample-reading.ts";
import { asksTime, type Clock, judgedAt, otherMoments, timeOf, waitedAt } from "./witness-clock.ts";
import { conditionTo, eventOf, factRow } from "./witness-events.ts";
import type { Wanted } from "./witness-values.ts";

export interface Manner {
  /** The last condition can't be worked out. */
  readonly failing: boolean;
  /** Work takes no time: see {@link Clock}. */
  readonly quick: boolean;
}

/** Beyond so many edges followed, what was kept of ways before is let go. */
const MOST_KEPT = 20_000;

/**
 * Ways of one procedure followed by runs. What ways that begin alike have in common is walked once, so that many
 * findings along one way cost little more than the longest of them.
 */
export class WitnessRuns {
  readonly #analysis: Analysis;
  readonly #used: Used;
  #starts = new Map<string, Followed>();
  #next = new Map<Followed, Map<number, Followed>>();
  #kept = 0;

  constructor(analysis: Analysis) {
    this.#analysis = analysis;
    this.#used = usedIn(analysis.procedure);
  }

  /**
   * A way followed to its end with these facts, and the readings wanted where they have the outcome; `quick` where
   * work takes no time.
   */
  follow(
    way: readonly number[],
    facts: ReadonlyMap<string, FactValue>,
    wanted: Wanted | undefined,
    { failing, quick }: Manner,
  ): Followed {
    if (this.#kept > MOST_KEPT) this.#letGo();
    let at = this.#start(facts, wanted, quick);
    for (const [place, id] of way.entries()) {
      if (failing && place === way.length - 1) return this.#after(at, id, wanted, true);
      const known = this.#next.get(at) ?? new Map<number, Followed>();
      this.#next.set(at, known);
      const next = known.get(id) ?? this.#after(at, id, wanted, false);
      if (!known.has(id)) this.#kept += 1;
      known.set(id, next);
      at = next;
    }
    return at;
  }

  /** The row of a reading there whose value lies where `interval` says, by the bands that the run judges by. */
  readingRows(
    from: Followed,
    step: MeasureStep,
    interval: (bands: readonly NumericBand[] | undefined) => Interval | undefined,
  ): readonly WitnessStep[] {
    const { procedure } = this.#analysis;
    const { rows, run, limits } = this.#prepared(from, step, from.facts);
    const at = judgedAt(run, step, from.clock);
    const where = interval(numericBands(procedure, run, step, sceneOf(procedure, run, at)));
    const reading = where && readingIn(procedure, step, where, run, at);
    const decided =
      reading === undefined
        ? undefined
        : decideReading(procedure, run, step, { reading, ...plainConditions(procedure, step) }, at);
    const outcome = decided?.ok ? decided.result.outcome : NOWHERE;
    return [...rows, witnessRow(step.id, outcome, reading, limits)];
  }

  #letGo(): void {
    this.#starts = new Map();
    this.#next = new Map();
    this.#kept = 0;
  }

  #start(facts: ReadonlyMap<string, FactValue>, wanted: Wanted | undefined, quick: boolean): Followed {
    const key = JSON.stringify([quick, [...facts], [...(wanted?.readings ?? [])]]);
    const known = this.#starts.get(key);
    if (known !== undefined) return known;
    const run = lean(openRun(this.#analysis.procedure, { run: "", at: 0 }), this.#used);
    const clock = { quick, waited: 0, late: 0 };
    const none = { place: 0, rows: [], passed: 0, at: 0, clock, told: new Map() };
    const start: Followed = { ...none, run, facts, clear: true, walks: true, met: true };
    this.#starts.set(key, start);
    return start;
  }

  #after(from: Followed, id: number, wanted: Wanted | undefined, failing: boolean): Followed {
    const edge = this.#analysis.flow.edges[id];
    const step = edge?.branch && this.#analysis.procedure.steps.get(edge.branch.step);
    const { read: _, limits: __, ...rest } = from;
    const plain: Followed = { ...rest, before: from, place: from.place + 1, rows: [] };
    if (edge?.branch === undefined || step === undefined) return plain;
    const facts = this.#factsFor(from, edge.branch, edge.arm);
    const prepared = this.#prepared(from, step, facts);
    return this.#answered({ ...plain, facts, ...prepared }, step, edge, edge.branch, wanted, failing);
  }

  /** What the arm needs is told too where nothing else was. */
  #factsFor({ facts }: Followed, branch: Branch, arm: FlowEdge["arm"]): ReadonlyMap<string, FactValue> {
    const needed = typeof arm === "number" ? armFacts(this.#analysis.procedure, branch, arm) : undefined;
    if (typeof needed !== "object") return facts;
    const missing = [...needed].filter(([fact]) => !facts.has(fact));
    return missing.length === 0 ? facts : new Map([...facts, ...missing]);
  }

  #answered(
    before: Followed,
    step: Step,
    edge: FlowEdge,
    branch: Branch,
    wanted: Wanted | undefined,
    failing: boolean,
  ): Followed {
    const { procedure, flow } = this.#analysis;
    const { outcome } = branch;
    const target = flow.steps[edge.to]?.id;
    const isTaken = (hop: Hop | undefined) =>
      hop?.step === branch.step &&
      ((hop.outcome === outcome && hop.arm === edge.arm && hop.goto === target) ||
        (failing && hop.outcome === "cannot"));
    const left = (reading?: string): Pick<Followed, "rows" | "walks" | "met"> => ({
      rows: [
        ...before.rows,
        {
          ...witnessRow(step.id, outcome, reading, before.limits),
          // Of what comes behind the first place nothing is known.
          ...(before.met && branch.arms.length > 1 && typeof edge.arm === "number"
            ? { hangsOn: conditionTo(branch, edge.arm) }
            : {}),
        },
      ],
      walks: false,
      met: false,
    });
    // A call's branch was taken with the last answer inside it.
    if (step.kind === "call") {
      const passed = before.passed + 1;
      return before.walks && isTaken(before.run.hops[before.passed])
        ? { ...before, rows: [...before.rows, { step: step.id, outcome }], passed }
        : { ...before, ...left(), passed };
    }
    const reading = this.#readingFor(before, step, outcome, wanted);
    const row = witnessRow(step.id, outcome, reading, before.limits);
    const event = eventOf(procedure, step, outcome, reading);
    const clock = waitedAt(before.clock, step);
    const given = before.walks && event !== undefined ? this.#walked(before.run, event, clock) : undefined;
    if (given === undefined) return { ...before, ...left(reading) };
    const next: Followed = {
      ...before,
      clock,
      rows: [...before.rows, row],
      run: lean(given.run, this.#used),
      at: given.at,
      passed: 1,
      clear: before.clear && !(reading !== undefined && isClose(given.run, step, outcome)),
      ...(reading === undefined
        ? {}
        : { read: { step: step.id, value: own(given.run.readings, step.id)?.corrected ?? Number.NaN } }),
    };
    if (isTaken(given.run.hops[0]))
      return clock.quick && asksTime(branch) ? { ...next, ...left(reading), walks: true } : next;
    const later = event && this.#later(before, clock, event, branch, given.at, isTaken);
    return later === undefined
      ? { ...next, ...left(reading) }
      : { ...next, ...left(reading), ...later, walks: true };
  }

  /** The answer given at a moment at which the arm's condition on the time holds. */
  #later(
    before: Followed,
    clock: Clock,
    event: RunEvent,
    branch: Branch,
    tried: number,
    isTaken: (hop: Hop | undefined) => boolean,
  ): Pick<Followed, "run" | "at" | "clock"> | undefined {
    if (!asksTime(branch)) return undefined;
    const { run } = before;
    // Nobody answers before the wait is over; and the minutes of the steps are kept to where that leads on.
    const earliest = clock.quick ? before.at + clock.waited - before.clock.waited : tried;
    for (const more of otherMoments(run, branch, tried, earliest)) {
      const then = { ...clock, late: clock.late + more };
      const given = this.#walked(run, event, then);
      if (given !== undefined && isTaken(given.run.hops[0]))
        return { run: lean(given.run, this.#used), at: given.at, clock: then };
    }
    return undefined;
  }

  #readingFor(before: Followed, step: Step, outcome: string, wanted: Wanted | undefined): string | undefined {
    if (step.kind !== "measure" || outcome === "cannot" || outcome === "stop") return undefined;
    const at = judgedAt(before.run, step, before.clock);
    const value = wantedAt(before, step.id, wanted);
    return sampleReading(this.#analysis.procedure, step, outcome, before.run, at, value);
  }

  /** All that comes before the step's own prompt, in the order of a run. */
  #prepared(
    { run: first, told: known, clock, walks }: Followed,
    step: Step,
    facts: ReadonlyMap<string, FactValue>,
  ): Pick<Followed, "rows" | "run" | "told" | "limits"> {
    const { procedure } = this.#analysis;
    const rows: WitnessStep[] = [];
    const limits = new Map<string, Partial<Record<LimitWord, string>>>();
    let told = known;
    const tell = (id: string): FactValue | undefined => {
      const fact = procedure.facts.get(id);
      if (fact === undefined) return undefined;
      const { row, value } = factRow(id, fact, facts.get(id));
      rows.push(row);
      told = new Map([...told, [id, value]]);
      return value;
    };
    let run = first;
    const most = MOST_PREPARED + 4 * procedure.setUps.size;
    for (let left = most; walks && left > 0 && run.step === step.id && run.phase === "ready"; left -= 1) {
      const next = nextPreparation(procedure, run, step);
      const event = next && this.#preparation(next, tell);
      const walked = event && this.#walked(run, event, clock);
      if (walked === undefined) break;
      if (event?.type === "specification") limits.set(event.specification, event.limits);
      run = lean(walked.run, this.#used);
    }
    // Where no run comes, what would be asked there is told all the same.
    if (!walks && step.kind !== "call")
      for (const id of step.facts)
        if (!told.has(id) && procedure.facts.get(id)?.given === undefined) tell(id);
    return { rows, run, told, ...(limits.size === 0 ? {} : { limits: Object.fromEntries(limits) }) };
  }

  #preparation(next: Preparation, tell: (id: string) => FactValue | undefined): RunEvent | undefined {
    switch (next.kind) {
      case "fact": {
        const value = tell(next.fact);
        return value === undefined ? undefined : { at: 0, type: "fact", fact: next.fact, value };
      }
      case "specification": {
        const { specification: id } = next;
        const { procedure } = this.#analysis;
        const specification = procedure.specifications.get(id);
        const limits = specification && sampleLimits(procedure, specification);
        return limits && { at: 0, type: "specification", specification: id, limits, source: "witness" };
      }
      case "set-up":
        return { at: 0, type: "set-up", setUp: next.setUp, change: next.change };
      case "cautions":
        return { at: 0, type: "acknowledge", for: next.for, cautions: [...next.cautions] };
    }
  }

  /** At its time by the clock; undefined where the run refuses it. */
  #walked(run: Run, event: RunEvent, clock: Clock): { readonly run: Run; readonly at: number } | undefined {
    const { procedure } = this.#analysis;
    const given = (at: number): Applied => apply(procedure, run, { ...event, at }, 1);
    const first = timeOf(run, clock);
    const trial = given(first);
    if (!trial.ok) return undefined;
    const at = timeOf(trial.run, clock);
    // What time it is decides nothing where no condition and no value asks for it.
    if (at === first || this.#used.times.size === 0) return { run: trial.run, at };
    const next = given(at);
    return next.ok ? { run: next.run, at } : undefined;
  }
}

function witnessRow(
  step: StepId,
  outcome: Outcome,
  reading: string | undefined,
  limits: WitnessStep["limits"],
): WitnessStep {
  return {
    step,
    outcome,
    ...(reading === undefined ? {} : { reading }),
    ...(limits === undefined ? {} : { limits }),
  };
}

/** Whether a reading was decided although it was too close to call: the run then shows another probability. */
function isClose(run: Run, step: Step, outcome: string): boolean {
  return outcome !== "borderline" && own(run.readings, step.id)?.verdict === "too-close";
}

/** The outcome, in a witness, of a reading that has none. */
const NOWHERE = "nowhere";

/** More cautions than this before one step, beside those of set-ups, are left out of its witness's time. */
const MOST_PREPARED = 200;
