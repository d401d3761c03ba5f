/**
 * Conditions and values in CEL, evaluated when a run needs them; they were checked when the procedure was linked.
 * CEL: the Common Expression Language, https://github.com/google/cel-spec.
 */
import type { ASTNode, ParseResult } from "@marcbachmann/cel-js";
import type { FunctionProblem } from "../quantity/functions.ts";
import { BASE, environmentFor, RUNNING } from "./expression-environment.ts";
import { presentSteps, unguardedSteps } from "./expression-guards.ts";
import { CHECKED, memberForm, type Resolve, rewriteNames, type Variable } from "./expression-names.ts";
import type { Expression, FactValue, StepId } from "./model.ts";
import { OutOfRange } from "./sourced-call.ts";

/** Where a run's values come from. */
export interface Scene {
  fact(id: string): FactValue | undefined;
  /** Corrected, in the step's reading unit. */
  reading(step: StepId): number | undefined;
  /** In the step's unit. */
  value(step: StepId): number | undefined;
  /** Minutes since the step was last entered. */
  elapsed(step: StepId): number | undefined;
  readonly thisReading?: number;
}

const nothing = () => undefined;
/** What no run has told or read yet. */
export const NOTHING_KNOWN: Scene = { fact: nothing, reading: nothing, value: nothing, elapsed: nothing };

type Evaluated =
  | { readonly ok: true; readonly value: boolean | number | string }
  /** `problem` where a formula of the trade was called outside its range. */
  | { readonly ok: false; readonly why: "unknown-fact" | "failed"; readonly problem?: FunctionProblem };

/**
 * What an expression gives in a scene. `unknown-fact` when a fact it uses is not known; `failed` when it uses a
 * reading that was not taken, compares what is no number (OL less OL), or gives something that is no truth value,
 * text or number.
 */
export function evaluateExpression(expression: Expression, scene: Scene): Evaluated {
  const program = programOf(expression);
  if (program === undefined) return FAILED;
  const context: Record<string, unknown> = Object.create(null);
  for (const [index, variable] of program.variables.entries()) {
    const value = lookUp(variable, scene);
    if (variable.kind === "fact" && !isKnown(value)) return UNKNOWN_FACT;
    if (value !== undefined) context[`v${index}`] = value;
  }
  try {
    return toEvaluated(program.run(context));
  } catch (thrown) {
    return thrown instanceof OutOfRange ? { ok: false, why: "failed", problem: thrown.problem } : FAILED;
  }
}

/** Whether the expression goes by the reading that is being taken. */
export function usesThisReading(expression: Expression): boolean {
  // The word can also stand in a name or in a text; without it there is nothing to look up.
  if (!/\breading\b/.test(expression.text)) return false;
  return programOf(expression)?.variables.some(({ kind }) => kind === "this-reading") ?? true;
}

/** Steps whose reading or value the expression uses where neither it nor `known` says that there is one. */
export function unguardedReadings(expression: Expression, known?: ReadonlySet<StepId>): readonly StepId[] {
  const program = programOf(expression);
  return program === undefined ? [] : unguardedSteps(program.ast, idOfReading(expression), known);
}

/** Steps whose reading was surely taken where a condition was evaluated and came out as `truth`. */
export function surelyTaken(expression: Expression, truth: boolean): ReadonlySet<StepId> {
  // Only a condition that asks for a reading says anything of it.
  const program = expression.readings.length === 0 ? undefined : programOf(expression);
  return program === undefined ? new Set() : presentSteps(program.ast, idOfReading(expression), truth);
}

function idOfReading(expression: Expression): (name: string) => StepId {
  const resolve = resolverOf(expression);
  return (name) => resolve("readings", name) ?? name;
}

/**
 * The tree of an expression in which names stand as `v0`, `v1`…, and what those are. A reckoned side of a
 * comparison stands in a call of {@link CHECKED}.
 */
export function expressionTree(
  expression: Expression,
): { readonly tree: ASTNode; readonly variables: readonly Variable[] } | undefined {
  const program = programOf(expression);
  return program && { tree: program.run.ast, variables: program.variables };
}

const FAILED: Evaluated = { ok: false, why: "failed" };
const UNKNOWN_FACT: Evaluated = { ok: false, why: "unknown-fact" };

interface Program {
  readonly ast: ASTNode;
  readonly variables: readonly Variable[];
  readonly run: ParseResult;
}

/** Compiled on first use; keyed by the expression itself so that the procedure stays plain data. */
const PROGRAMS = new WeakMap<Expression, Program>();

function programOf(expression: Expression): Program | undefined {
  const known = PROGRAMS.get(expression);
  if (known !== undefined) return known;
  try {
    const { ast } = BASE.parse(expression.text);
    const { text, variables } = rewriteNames(ast, resolverOf(expression), { checks: true });
    // Facts were type-checked when linked; here their values say what they are.
    const run = environmentFor(RUNNING, variables, () => "dyn").parse(text);
    const program = { ast, variables, run };
    PROGRAMS.set(expression, program);
    return program;
  } catch {
    // Only for an expression that never went through `compileExpression`.
    return undefined;
  }
}

function resolverOf(expression: Expression): Resolve {
  const lists = {
    facts: expression.facts,
    readings: expression.readings,
    values: expression.readings,
    elapsed: expression.elapsed,
  };
  return (root, name) => {
    const full = expression.scope + name;
    const ids = lists[root];
    if (ids.includes(full)) return full;
    if (ids.includes(name)) return name;
    return ids.find((id) => memberForm(id) === memberForm(full) || memberForm(id) === memberForm(name));
  };
}

function lookUp(variable: Variable, scene: Scene): unknown {
  switch (variable.kind) {
    case "fact":
      return scene.fact(variable.id);
    case "reading":
      return scene.reading(variable.id);
    case "value":
      return scene.value(variable.id);
    case "elapsed":
      return scene.elapsed(variable.id);
    case "has-reading":
      return scene.reading(variable.id) !== undefined;
    case "has-value":
      return scene.value(variable.id) !== undefined;
    case "this-reading":
      return scene.thisReading;
  }
}

function isKnown(value: unknown): boolean {
  return typeof value === "string" || typeof value === "number" || Array.isArray(value);
}

function toEvaluated(value: unknown): Evaluated {
  const plain = typeof value === "bigint" ? Number(value) : value;
  if (typeof plain === "boolean" || typeof plain === "string") return { ok: true, value: plain };
  if (typeof plain === "number" && !Number.isNaN(plain)) return { ok: true, value: plain };
  return FAILED;
}
