import type { Variable } from "../procedure/expression-names.ts";
import type { Branch, Expression, FactValue, MeasureStep, Procedure, StepId } from "../procedure/model.ts";
import type { Analysis } from "./analysis.ts";
import { all, any, compared, constantSum, type Formula, type Linear, not, variableSum } from "./formula.ts";
import { casesOf, conditionOf, type Names } from "./formula-of.ts";
import { ListsAsked } from "./lists-asked.ts";
import { rational } from "./rational.ts";
import { outcomeFormula, plausibleFormula, readingVariable, valueVariable } from "./reading-ranges.ts";
import { solutionOf } from "./satisfiable.ts";
import { tableFormula, tablesOf } from "./table-formula.ts";
import { choicesOn } from "./witness-choices.ts";

/** Numbers and codes that a witness is to have where they can be. */
export interface Wanted {
  /** Measured facts in their unit, lists as their entries, choices. */
  readonly facts: ReadonlyMap<string, string | number | readonly string[]>;
  /** Corrected, in the step's reading unit, one for each visit; the last serves those behind it. */
  readonly readings: ReadonlyMap<StepId, readonly number[]>;
}

/** What a first walk of the way was like. */
export interface FirstWalk {
  /** Choices made. */
  readonly facts: ReadonlyMap<string, FactValue>;
  /** Corrected readings by step and visit: {@link atVisit}. */
  readonly readings: ReadonlyMap<string, number>;
  /** Minutes since steps were entered, at each place of the way. */
  readonly elapsed: (place: number, step: StepId) => number | undefined;
}

/** The name of a step's reading at one of its visits, from 1. */
export function atVisit(step: StepId, visit: number): string {
  return `${readingVariable(step)} ${visit}`;
}

/**
 * Facts and readings with which the conditions on a way hold, as far as they are linear; undefined where there are
 * none. Times are those of the first walk, since answers take no other time.
 */
export function wantedOn(analysis: Analysis, way: readonly number[], first: FirstWalk): Wanted | undefined {
  const needed = readingsOn(analysis, way);
  for (const facts of choicesOn(analysis, way, first.facts)) {
    const conditions = new Conditions(analysis, { ...first, facts }, needed);
    for (const [place, id] of way.entries()) conditions.pass(place, id);
    if (conditions.parts.length > MOST_PARTS) return undefined;
    const values = solutionOf(conditions.formula, (name) => conditions.liked(name));
    if (values !== undefined) return conditions.wanted(values);
  }
  return undefined;
}

/** A way with more conditions and readings in them than this is not solved. */
const MOST_PARTS = 300;

/** The steps whose readings count for conditions and tables on the way, by way of values too. */
function readingsOn({ procedure, flow }: Analysis, way: readonly number[]): ReadonlySet<StepId> {
  const needed = new Set<StepId>();
  for (const id of way) {
    const { branch } = flow.edges[id] ?? {};
    const measured = branch && procedure.steps.get(branch.step);
    if (measured?.kind === "measure")
      for (const { by } of tablesOf(procedure, measured, branch?.outcome ?? ""))
        for (const step of by.readings) needed.add(step);
    if (branch === undefined || branch.arms.length === 1) continue;
    needed.add(branch.step);
    for (const { if: condition } of branch.arms)
      for (const step of condition?.readings ?? []) needed.add(step);
  }
  // A set takes in what is added while it is gone through.
  for (const id of needed) {
    const step = procedure.steps.get(id);
    if (step?.kind === "measure") for (const other of step.value?.readings ?? []) needed.add(other);
  }
  return needed;
}

/** What has to hold on a way, from edge to edge. */
class Conditions {
  readonly parts: Formula[] = [];
  readonly #procedure: Procedure;
  readonly #flow: Analysis["flow"];
  readonly #first: FirstWalk;
  readonly #needed: ReadonlySet<StepId>;
  readonly #visits = new Map<StepId, number>();
  readonly #lists: ListsAsked;

  constructor({ procedure, flow }: Analysis, first: FirstWalk, needed: ReadonlySet<StepId>) {
    this.#procedure = procedure;
    this.#flow = flow;
    this.#first = first;
    this.#needed = needed;
    this.#lists = new ListsAsked(procedure);
  }

  /** All that has to hold. */
  get formula(): Formula {
    return all([...this.parts, this.#lists.known()]);
  }

  pass(place: number, id: number): void {
    const { branch, arm } = this.#flow.edges[id] ?? {};
    if (branch === undefined) return;
    const step = this.#procedure.steps.get(branch.step);
    if (step?.kind === "measure" && branch.outcome !== "cannot" && branch.outcome !== "stop")
      this.#read(step, branch.outcome, place);
    if (typeof arm === "number" && branch.arms.length > 1) this.#take(branch, arm, place);
  }

  /** The reading that was taken, no code, and as few of them as can be. */
  liked(name: string): readonly number[] {
    const read = this.#first.readings.get(name);
    if (read !== undefined) return [read];
    return this.#lists.codes.has(name) || this.#lists.sizes.has(name) ? [0, 1, 2, 3] : [];
  }

  wanted(values: ReadonlyMap<string, number>): Wanted {
    const facts = new Map<string, string | number | readonly string[]>();
    for (const [id, value] of this.#first.facts) if (typeof value === "string") facts.set(id, value);
    for (const id of this.#procedure.facts.keys()) {
      const value = values.get(`fact ${id}`);
      if (value !== undefined) facts.set(id, value);
    }
    for (const [name, { fact, code }] of this.#lists.codes)
      facts.set(fact, [...listIn(facts, fact), ...((values.get(name) ?? 0) >= 1 ? [code] : [])]);
    for (const [name, fact] of this.#lists.sizes) {
      const list = [...listIn(facts, fact)];
      const size = Math.min(Math.ceil(values.get(name) ?? 0), MOST_CODES);
      for (let more = 1; list.length < size; more += 1) list.push(`X${String(more).padStart(4, "0")}`);
      facts.set(fact, list);
    }
    const readings = new Map<StepId, readonly number[]>();
    for (const [step, visits] of this.#visits) {
      // Where nothing but its own band goes by it, one clear of the limits is found in the run.
      if (!this.#needed.has(step)) continue;
      readings.set(
        step,
        Array.from({ length: visits }, (_, at) => {
          const name = atVisit(step, at + 1);
          return values.get(name) ?? this.#first.readings.get(name) ?? Number.NaN;
        }),
      );
    }
    return { facts, readings };
  }

  #read(step: MeasureStep, outcome: string, place: number): void {
    const visit = (this.#visits.get(step.id) ?? 0) + 1;
    this.#visits.set(step.id, visit);
    const hasTables = tablesOf(this.#procedure, step, outcome).length > 0;
    if (!hasTables && !this.#needed.has(step.id)) return;
    const own = (name: string) =>
      name === readingVariable(step.id) || name === valueVariable(step.id) ? `${name} ${visit}` : name;
    const judged = all([
      plausibleFormula(this.#procedure, step),
      outcomeFormula(this.#procedure, step, outcome),
    ]);
    const names = this.#names(step.id, place);
    this.parts.push(renamed(judged, own));
    if (hasTables) this.parts.push(renamed(tableFormula(this.#procedure, step, outcome, names), own));
    const cases = step.value && casesOf(step.value, names);
    if (cases === undefined) return;
    const value = variableSum(own(valueVariable(step.id)));
    this.parts.push(any(cases.map(({ guard, sum }) => all([guard, compared(value, sum, "==")]))));
  }

  #take(branch: Branch, arm: number, place: number): void {
    const names = this.#names(branch.step, place);
    const isLast = arm === branch.arms.length - 1;
    for (const { if: condition } of branch.arms.slice(0, arm)) {
      // A fact that is not known leads to the last arm.
      if (condition === undefined || (isLast && this.#isOpen(condition))) return;
      this.parts.push(not(conditionOf(condition, names)));
    }
    const own = branch.arms[arm]?.if;
    if (own !== undefined) this.parts.push(conditionOf(own, names));
  }

  #isOpen({ facts }: Expression): boolean {
    return facts.some((id) => {
      const value = this.#first.facts.get(id);
      return typeof value === "object" && "unknown" in value;
    });
  }

  #names(step: StepId, place: number): Names {
    const { facts } = this.#procedure;
    const latest = (kind: (id: StepId) => string, id: StepId): Linear | undefined => {
      const visit = this.#visits.get(id);
      return visit === undefined ? undefined : variableSum(`${kind(id)} ${visit}`);
    };
    return {
      sum: ({ kind, id }: Variable) => {
        switch (kind) {
          case "this-reading":
            return latest(readingVariable, step);
          case "reading":
            return latest(readingVariable, id);
          case "value":
            return latest(valueVariable, id);
          case "elapsed": {
            const minutes = this.#first.elapsed(place, id);
            return minutes === undefined ? undefined : constantSum(rational(minutes));
          }
          case "fact": {
            const fact = facts.get(id);
            if (typeof fact?.given === "number") return constantSum(rational(fact.given));
            return fact?.measure === undefined ? undefined : variableSum(`fact ${id}`);
          }
          default:
            return undefined;
        }
      },
      text: ({ kind, id }) => {
        const value = kind === "fact" ? (facts.get(id)?.given ?? this.#first.facts.get(id)) : undefined;
        return typeof value === "string" ? value : undefined;
      },
      taken: ({ id }) => this.#visits.has(id),
      size: (variable) => this.#lists.size(variable),
      listed: (variable, code) => this.#lists.listed(variable, code),
    };
  }
}

/** A list longer than this is not written into a witness. */
const MOST_CODES = 20;

function listIn(
  facts: ReadonlyMap<string, string | number | readonly string[]>,
  id: string,
): readonly string[] {
  const list = facts.get(id);
  return typeof list === "object" ? list : [];
}

function renamed(formula: Formula, name: (old: string) => string): Formula {
  switch (formula.kind) {
    case "known":
    case "free":
      return formula;
    case "not":
      return not(renamed(formula.part, name));
    case "and":
    case "or":
      return { kind: formula.kind, parts: formula.parts.map((part) => renamed(part, name)) };
    case "compared": {
      const sum = ({ factors, constant }: Linear): Linear => ({
        factors: new Map([...factors].map(([old, factor]) => [name(old), factor])),
        constant,
      });
      return { ...formula, left: sum(formula.left), right: sum(formula.right), sum: sum(formula.sum) };
    }
  }
}
