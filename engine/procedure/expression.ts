/**
 * Conditions and values in CEL: checked when a procedure is linked, evaluated when a run needs them.
 * CEL: the Common Expression Language, https://github.com/google/cel-spec.
 */
import { type ASTNode, Environment, type ParseResult } from "@marcbachmann/cel-js";
import { FUNCTIONS, type FunctionProblem } from "../quantity/functions.ts";
import { presentSteps, unguardedSteps } from "./expression-guards.ts";
import {
  CALLABLE,
  CHECKED,
  memberForm,
  type NameProblem,
  type Resolve,
  type Rewritten,
  type Root,
  rewriteNames,
  type Variable,
} from "./expression-names.ts";
import type { Finding } from "./finding.ts";
import type { Expression, FactValue, NodePath, StepId } from "./model.ts";
import { nearest } from "./nearest.ts";
import { OutOfRange, sourcedCall } from "./sourced-call.ts";

export type FactType = "string" | "double" | "list<string>";

/** What an expression may name where it stands. */
export interface ExpressionNames {
  /** The full id behind a name as written, hyphens or underscores. */
  readonly resolve: Resolve;
  /** Names as they could be written, to find the one meant. */
  candidates(root: Root): readonly string[];
  factType(id: string): FactType;
  /** Whether there is a reading of this step. */
  readonly thisReading: boolean;
  readonly wants: "bool" | "number";
}

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

/** The expression with its names resolved, or what is wrong with it: `bad-expression`, `unknown-name`. */
export function compileExpression(
  text: string,
  scope: string,
  node: NodePath,
  names: ExpressionNames,
): { readonly expression?: Expression; readonly findings: readonly Finding[] } {
  const bad = (reason: string, detail: string, write = ""): Finding => ({
    code: "bad-expression",
    severity: "error",
    params: { text, reason, detail, ...(write === "" ? {} : { write }) },
    node,
  });
  let ast: ASTNode;
  try {
    ast = BASE.parse(text).ast;
  } catch (thrown) {
    return { findings: [bad("syntax", summaryOf(thrown))] };
  }
  const rewritten = rewriteNames(ast, names.resolve);
  if (rewritten.problems.length > 0) {
    return { findings: rewritten.problems.map((problem) => problemFinding(problem, names, node, bad)) };
  }
  if (!names.thisReading && rewritten.variables.some((variable) => variable.kind === "this-reading")) {
    return { findings: [bad("no-reading", "reading")] };
  }
  const checked = checkTypes(rewritten.text, rewritten.variables, names);
  if (!checked.valid) {
    const write = wholeNumberHint(ast, names);
    const finding =
      write === undefined ? bad("types", checked.detail) : bad("whole-number", checked.detail, write);
    return { findings: [finding] };
  }
  const wanted = names.wants === "bool" ? ["bool"] : ["double", "int"];
  if (!wanted.includes(checked.type)) return { findings: [bad(`not-${names.wants}`, checked.type)] };
  return { expression: Object.freeze({ text, scope, ...usedIds(rewritten.variables), node }), findings: [] };
}

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

const LIMITS = { maxAstNodes: 1_000, maxDepth: 60 };

function baseEnvironment(limits: typeof LIMITS): Environment {
  const base = new Environment({ limits });
  base.registerFunction("abs(double): double", (x: number) => Math.abs(x));
  base.registerFunction("abs(int): int", (x: bigint) => (x < 0n ? -x : x));
  for (const [name, pick] of [
    ["min", Math.min],
    ["max", Math.max],
  ] as const) {
    for (const count of [2, 3, 4]) {
      const doubles = Array.from({ length: count }, () => "double").join(", ");
      base.registerFunction(`${name}(${doubles}): double`, (...numbers: number[]) => pick(...numbers));
    }
  }
  for (const { name, parameters } of FUNCTIONS.values()) {
    const doubles = parameters.map(() => "double").join(", ");
    base.registerFunction(`${name}(${doubles}): double`, (...numbers: number[]) =>
      sourcedCall(name, numbers),
    );
  }
  return base;
}

const BASE = baseEnvironment(LIMITS);
/** With what is put in for a run, which also makes an expression longer than its author may write it. */
const RUNNING = runningEnvironment();

function runningEnvironment(): Environment {
  const running = baseEnvironment({
    maxAstNodes: 3 * LIMITS.maxAstNodes,
    maxDepth: 2 * LIMITS.maxDepth,
  });
  running.registerFunction(`${CHECKED}(dyn): dyn`, (value: unknown) => {
    if (typeof value === "number" && Number.isNaN(value)) throw new TypeError("No number.");
    return value;
  });
  return running;
}

function environmentFor(
  base: Environment,
  variables: readonly Variable[],
  factType: (id: string) => FactType | "dyn",
): Environment {
  const environment = base.clone();
  for (const [index, variable] of variables.entries()) {
    environment.registerVariable(`v${index}`, typeOf(variable, factType));
  }
  return environment;
}

function typeOf(variable: Variable, factType: (id: string) => FactType | "dyn"): string {
  if (variable.kind === "fact") return factType(variable.id);
  return variable.kind === "has-reading" || variable.kind === "has-value" ? "bool" : "double";
}

type Checked =
  | { readonly valid: true; readonly type: string }
  | { readonly valid: false; readonly detail: string };

function checkTypes(text: string, variables: readonly Variable[], names: ExpressionNames): Checked {
  const result = environmentFor(BASE, variables, (id) => names.factType(id)).check(text);
  if (result.valid) return { valid: true, type: result.type ?? "dyn" };
  return { valid: false, detail: summaryOf(result.error) };
}

/** The first whole number written as a decimal, when that alone makes the types fit. */
function wholeNumberHint(ast: ASTNode, names: ExpressionNames): string | undefined {
  const rewritten: Rewritten = rewriteNames(ast, names.resolve, { decimals: true });
  if (rewritten.firstWhole === undefined) return undefined;
  return checkTypes(rewritten.text, rewritten.variables, names).valid
    ? `${rewritten.firstWhole}.0`
    : undefined;
}

function problemFinding(
  problem: NameProblem,
  names: ExpressionNames,
  node: NodePath,
  bad: (reason: string, detail: string, write?: string) => Finding,
): Finding {
  if (problem.kind === "hyphen") return bad("hyphen", problem.name, problem.write);
  const candidates = problem.kind === "unknown" ? names.candidates(problem.root) : [];
  const what =
    problem.kind === "unknown" ? WHAT[problem.root] : problem.kind === "bare" ? "name" : "function";
  const close = nearest(problem.name, problem.kind === "function" ? CALLABLE : candidates);
  return {
    code: "unknown-name",
    severity: "error",
    params: { what, name: problem.name, ...(close === undefined ? {} : { nearest: close }) },
    node,
  };
}

const WHAT = { facts: "fact", readings: "reading", values: "value", elapsed: "step" } as const;

function usedIds(variables: readonly Variable[]): Pick<Expression, "facts" | "readings" | "elapsed"> {
  const ids = (...kinds: Variable["kind"][]): readonly string[] =>
    Object.freeze([...new Set(variables.filter((each) => kinds.includes(each.kind)).map((each) => each.id))]);
  return {
    facts: ids("fact"),
    readings: ids("reading", "value", "has-reading", "has-value"),
    elapsed: ids("elapsed"),
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

/** The library's first line, without its drawing of the place. */
function summaryOf(thrown: unknown): string {
  if (!(thrown instanceof Error)) return "";
  return (thrown.message.split("\n", 1)[0] ?? "").trim();
}
