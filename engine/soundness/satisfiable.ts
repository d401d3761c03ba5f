import type { Formula, Linear, Relation } from "./formula.ts";
import { chosenValues, hasSolution, type Inequality, scaled } from "./inequalities.ts";
import { signOf } from "./rational.ts";

/** Which infinite values a variable may take beside every finite one: over range at that end. */
export interface Reach {
  readonly down: boolean;
  readonly up: boolean;
}

/** More alternatives are not tried. */
const MOST_ALTERNATIVES = 1_000;
/** Of so many variables at most, over range is tried in every combination. */
const MOST_OVER_RANGE = 6;

/**
 * Whether some values of the variables make a formula hold; undefined where that was too much to try. Exact over
 * the real numbers as written (Fourier-Motzkin elimination on fractions), and over readings that are over range,
 * which add and compare as infinities do. What is `free` may hold or not, which can only make more satisfiable.
 */
export function satisfiable(
  formula: Formula,
  reach: (variable: string) => Reach = () => BOTH,
): boolean | undefined {
  const finite = satisfiableFinite(formula);
  if (finite !== false) return finite;
  const variables = [...variablesOf(formula)].filter((name) => reach(name).down || reach(name).up);
  if (variables.length > MOST_OVER_RANGE) return undefined;
  for (const values of overRanges(variables, reach)) {
    const found = satisfiableFinite(withOverRange(formula, values));
    if (found !== false) return found;
  }
  return false;
}

const BOTH: Reach = { down: true, up: true };

function variablesOf(formula: Formula, found = new Set<string>()): ReadonlySet<string> {
  if (formula.kind === "compared") for (const name of formula.sum.factors.keys()) found.add(name);
  if (formula.kind === "not") variablesOf(formula.part, found);
  if (formula.kind === "and" || formula.kind === "or")
    for (const part of formula.parts) variablesOf(part, found);
  return found;
}

/** Every way in which at least one of the variables is over range. */
function* overRanges(
  variables: readonly string[],
  reach: (variable: string) => Reach,
): Generator<ReadonlyMap<string, -1 | 1>> {
  for (let number = 1; number < 3 ** variables.length; number += 1) {
    const values = new Map<string, -1 | 1>();
    let rest = number;
    let allowed = true;
    for (const name of variables) {
      const digit = rest % 3;
      rest = Math.floor(rest / 3);
      if (digit === 0) continue;
      allowed &&= digit === 1 ? reach(name).up : reach(name).down;
      values.set(name, digit === 1 ? 1 : -1);
    }
    if (allowed) yield values;
  }
}

function withOverRange(formula: Formula, values: ReadonlyMap<string, -1 | 1>): Formula {
  switch (formula.kind) {
    case "known":
    case "free":
      return formula;
    case "not":
      return { kind: "not", part: withOverRange(formula.part, values) };
    case "and":
    case "or":
      return { kind: formula.kind, parts: formula.parts.map((part) => withOverRange(part, values)) };
    case "compared": {
      const [left, right] = [overRangeOf(formula.left, values), overRangeOf(formula.right, values)];
      if (left === 0 && right === 0) return formula;
      return { kind: "known", holds: holdsBetween(left, right, formula.relation) };
    }
  }
}

/** Infinite up or down, 0 for any finite number; NaN where infinities of both kinds are added. */
function overRangeOf(sum: Linear, values: ReadonlyMap<string, -1 | 1>): number {
  let infinite = 0;
  for (const [name, factor] of sum.factors) {
    const sign = (values.get(name) ?? 0) * signOf(factor);
    if (sign !== 0) infinite += sign * Infinity;
  }
  return infinite;
}

function holdsBetween(left: number, right: number, relation: Relation): boolean {
  switch (relation) {
    case "<":
      return left < right;
    case "<=":
      return left <= right;
    case "==":
      return left === right;
    case "!=":
      return left !== right;
  }
}

/**
 * Finite values of the variables that make a formula hold, the first of `liked` that can be; undefined where
 * there are none or that was too much to try. What is `free` may not hold with them.
 */
export function solutionOf(
  formula: Formula,
  liked: (variable: string) => readonly number[],
): ReadonlyMap<string, number> | undefined {
  const budget: Budget = { left: MOST_ALTERNATIVES };
  return search([{ formula, wanted: true }], [], budget) === true && budget.met !== undefined
    ? chosenValues(budget.met, liked)
    : undefined;
}

interface Budget {
  left: number;
  /** What had to hold in the alternative that was found. */
  met?: readonly Inequality[];
}

function satisfiableFinite(formula: Formula): boolean | undefined {
  return search([{ formula, wanted: true }], [], { left: MOST_ALTERNATIVES });
}

interface Goal {
  readonly formula: Formula;
  readonly wanted: boolean;
}

/** Goals are met one by one; where one of several has to hold, each is tried. */
function search(goals: readonly Goal[], met: readonly Inequality[], budget: Budget): boolean | undefined {
  const [goal, ...rest] = goals;
  if (goal === undefined) {
    budget.left -= 1;
    if (budget.left < 0) return undefined;
    const found = hasSolution(met);
    if (found === true) budget.met = met;
    return found;
  }
  const { formula, wanted } = goal;
  switch (formula.kind) {
    case "free":
      return search(rest, met, budget);
    case "known":
      return formula.holds === wanted ? search(rest, met, budget) : false;
    case "not":
      return search([{ formula: formula.part, wanted: !wanted }, ...rest], met, budget);
    case "and":
    case "or": {
      const parts = formula.parts.map((part) => ({ formula: part, wanted }));
      if ((formula.kind === "and") === wanted) return search([...parts, ...rest], met, budget);
      return firstThatHolds(parts.map((part) => () => search([part, ...rest], met, budget)));
    }
    case "compared": {
      const choices = inequalities(formula.sum, wanted ? formula.relation : OPPOSITE[formula.relation]);
      return firstThatHolds(
        choices.map((each) => () => {
          const more = [...met, ...each];
          // What can't hold so far is not gone into any further.
          return rest.length > 0 && hasSolution(more) === false ? false : search(rest, more, budget);
        }),
      );
    }
  }
}

function firstThatHolds(tries: readonly (() => boolean | undefined)[]): boolean | undefined {
  let result: boolean | undefined = false;
  for (const attempt of tries) {
    const found = attempt();
    if (found === true) return true;
    if (found === undefined) result = undefined;
  }
  return result;
}

/** `>` and `>=` stand for what is left of a comparison that does not hold. */
const OPPOSITE = { "<": ">=", "<=": ">", "==": "!=", "!=": "==" } as const;

/** Alternatives, each a list of inequalities. */
function inequalities(sum: Linear, relation: Relation | ">" | ">="): readonly (readonly Inequality[])[] {
  const less = { sum, strict: true };
  const more = { sum: scaled(sum, { over: -1n, under: 1n }), strict: true };
  switch (relation) {
    case "<":
      return [[less]];
    case "<=":
      return [[{ ...less, strict: false }]];
    case ">":
      return [[more]];
    case ">=":
      return [[{ ...more, strict: false }]];
    case "==":
      return [
        [
          { ...less, strict: false },
          { ...more, strict: false },
        ],
      ];
    case "!=":
      return [[less], [more]];
  }
}
