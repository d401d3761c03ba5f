/** Conditions and values in CEL, checked when a procedure is linked. */
import type { ASTNode } from "@marcbachmann/cel-js";
import { missedChoices } from "./expression-choices.ts";
import { BASE, environmentFor, type FactType } from "./expression-environment.ts";
import {
  CALLABLE,
  type NameProblem,
  type Resolve,
  type Rewritten,
  type Root,
  rewriteNames,
  type Variable,
} from "./expression-names.ts";
import { type Slip, slipOf, summaryOf } from "./expression-slips.ts";
import type { Finding } from "./finding.ts";
import type { Expression, NodePath } from "./model.ts";
import { nearest } from "./nearest.ts";

/** What an expression may name where it stands. */
export interface ExpressionNames {
  /** The full id behind a name as written, hyphens or underscores. */
  readonly resolve: Resolve;
  /** Names as they could be written, to find the one meant. */
  candidates(root: Root): readonly string[];
  factType(id: string): FactType;
  /** All that a fact, by its name as written, can be where it is known; undefined where it can be more. */
  choices?(name: string): readonly string[] | undefined;
  /** Whether there is a reading of this step. */
  readonly thisReading: boolean;
  readonly wants: "bool" | "number";
}

/**
 * The expression with its names resolved, or what is wrong with it: `bad-expression`, `unknown-name`. A choice that
 * its fact has not is a warning beside the expression.
 */
export function compileExpression(
  text: string,
  scope: string,
  node: NodePath,
  names: ExpressionNames,
): { readonly expression?: Expression; readonly findings: readonly Finding[] } {
  const bad = (reason: string, detail: string, write = "", slip: Slip = {}): Finding => ({
    code: "bad-expression",
    severity: "error",
    params: { text, reason, detail, ...(write === "" ? {} : { write }), ...slip },
    node,
  });
  let ast: ASTNode;
  try {
    ast = BASE.parse(text).ast;
  } catch (thrown) {
    return { findings: [bad("syntax", summaryOf(thrown), "", slipOf(text, thrown))] };
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
      write === undefined
        ? bad("types", checked.detail, "", checked.slip)
        : bad("whole-number", checked.detail, write);
    return { findings: [finding] };
  }
  const wanted = names.wants === "bool" ? ["bool"] : ["double", "int"];
  if (!wanted.includes(checked.type)) return { findings: [bad(`not-${names.wants}`, checked.type)] };
  return {
    expression: Object.freeze({ text, scope, ...usedIds(rewritten.variables), node }),
    findings: missedChoices(ast, (name) => names.choices?.(name)).map((missed) =>
      choiceFinding(missed, node),
    ),
  };
}

type Checked =
  | { readonly valid: true; readonly type: string }
  | { readonly valid: false; readonly detail: string; readonly slip: Slip };

function checkTypes(text: string, variables: readonly Variable[], names: ExpressionNames): Checked {
  const result = environmentFor(BASE, variables, (id) => names.factType(id)).check(text);
  if (result.valid) return { valid: true, type: result.type ?? "dyn" };
  return { valid: false, detail: summaryOf(result.error), slip: slipOf(text, result.error) };
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

function choiceFinding({ name, choices }: ReturnType<typeof missedChoices>[number], node: NodePath): Finding {
  const close = nearest(name, choices);
  return {
    code: "unknown-name",
    severity: "warning",
    params: { what: "choice", name, ...(close === undefined ? {} : { nearest: close }) },
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
