import type { ASTNode } from "@marcbachmann/cel-js";
import { expressionTree } from "../procedure/expression.ts";
import { childrenOf } from "../procedure/expression-guards.ts";
import { CHECKED, type Variable } from "../procedure/expression-names.ts";
import type { Expression } from "../procedure/model.ts";
import {
  addedSums,
  all,
  any,
  compared,
  constantSum,
  type Formula,
  FREE,
  HOLDS,
  type Linear,
  negatedSum,
  not,
  type Relation,
  scaledSum,
} from "./formula.ts";
import { inverse, rational, signOf } from "./rational.ts";

/** What the names of an expression stand for. */
export interface Names {
  /** A number: a sum of variables; undefined where nothing is known of it. */
  sum(variable: Variable): Linear | undefined;
  /** A text, as a fact's choice. */
  text(variable: Variable): string | undefined;
  /** Whether a reading was taken for sure. */
  taken(variable: Variable): boolean;
  /** The length of a list; left out, or undefined, nothing is known of it. */
  size?(variable: Variable): Linear | undefined;
  /** Whether a list has an entry; left out, or undefined, nothing is known of it. */
  listed?(variable: Variable, entry: string): Formula | undefined;
  /** What stands for a number that is no sum of these, named by what it says; left out, nothing does. */
  term?(text: string): Linear;
}

/** A number that is one sum or another, by what holds. Some guard always holds. */
export interface Case {
  readonly guard: Formula;
  readonly sum: Linear;
}

/**
 * A condition as a formula. Sums, products with numbers, `abs`, `min`, `max` and `?:` are exact; whatever else
 * it says is left free.
 */
export function conditionOf(expression: Expression, names: Names): Formula {
  const found = expressionTree(expression);
  return found === undefined ? FREE : new Translation(found.variables, names).truth(found.tree);
}

/** A value as cases; undefined where it is not linear. */
export function casesOf(expression: Expression, names: Names): readonly Case[] | undefined {
  const found = expressionTree(expression);
  return found && new Translation(found.variables, names).number(found.tree);
}

/** A condition or value with what its names stand for, to be looked at part by part. */
export function translationOf(
  expression: Expression,
  names: Names,
): { readonly tree: ASTNode; readonly translation: Translation } | undefined {
  const found = expressionTree(expression);
  return found && { tree: found.tree, translation: new Translation(found.variables, names) };
}

const MOST_CASES = 32;
const RELATIONS: Readonly<Record<string, Relation>> = {
  "<": "<",
  "<=": "<=",
  ">": "<",
  ">=": "<=",
  "==": "==",
};

/** The parts of one expression as formulas and sums. */
export class Translation {
  readonly #variables: readonly Variable[];
  readonly #names: Names;

  constructor(variables: readonly Variable[], names: Names) {
    this.#variables = variables;
    this.#names = names;
  }

  truth(node: ASTNode): Formula {
    switch (node.op) {
      case "value":
        return typeof node.args === "boolean" ? { kind: "known", holds: node.args } : FREE;
      case "id": {
        const variable = this.#variable(node);
        return variable !== undefined && isPresence(variable) && this.#names.taken(variable) ? HOLDS : FREE;
      }
      case "!_":
        return not(this.truth(node.args));
      case "&&":
        return all(node.args.map((part) => this.truth(part)));
      case "||":
        return any(node.args.map((part) => this.truth(part)));
      case "?:": {
        const [condition, yes, no] = node.args;
        const when = this.truth(condition);
        // A free condition stands for one and the same, so that its two sides can't be put apart here.
        return any([all([when, this.truth(yes)]), all([not(when), this.truth(no)])]);
      }
      case "<":
      case "<=":
      case ">":
      case ">=":
      case "==":
      case "!=":
        return this.#compare(node.op, node.args[0], node.args[1]);
      case "in":
        return this.#among(node.args[0], node.args[1]);
      default:
        return FREE;
    }
  }

  number(node: ASTNode): readonly Case[] | undefined {
    const found = this.#reckoned(node);
    if (found !== undefined || this.#names.term === undefined) return found;
    return [{ guard: HOLDS, sum: this.#names.term(this.text(node)) }];
  }

  /** What a part says, the same for parts that say the same in another expression of the procedure. */
  text(node: ASTNode): string {
    switch (node.op) {
      case "value":
        return typeof node.args === "string" ? JSON.stringify(node.args) : String(node.args);
      case "id": {
        const variable = this.#variable(node);
        return variable === undefined ? node.args.replace(/^b\d+$/, "b") : `${variable.kind} ${variable.id}`;
      }
      case "call": {
        const [name, args] = node.args;
        const [only] = args;
        if (name === CHECKED && only !== undefined) return this.text(only);
        return `${name}(${args.map((each) => this.text(each)).join(", ")})`;
      }
      case "rcall": {
        const [name, receiver, args] = node.args;
        return `${name}(${[receiver, ...args].map((each) => this.text(each)).join(", ")})`;
      }
      default:
        return `${node.op}(${childrenOf(node)
          .map((each) => this.text(each))
          .join(", ")})`;
    }
  }

  #reckoned(node: ASTNode): readonly Case[] | undefined {
    switch (node.op) {
      case "value":
        return this.#literal(node.args);
      case "id": {
        const variable = this.#variable(node);
        const sum = variable && this.#names.sum(variable);
        return sum && [{ guard: HOLDS, sum }];
      }
      case "-_":
        return this.number(node.args)?.map(({ guard, sum }) => ({ guard, sum: negatedSum(sum) }));
      case "+":
        return this.#pairs(node.args, addedSums);
      case "-":
        return this.#pairs(node.args, (a, b) => addedSums(a, negatedSum(b)));
      case "*":
        return this.#pairs(node.args, product);
      case "/":
        return isWhole(node.args[0]) && isWhole(node.args[1])
          ? undefined
          : this.#pairs(node.args, (a, b) =>
              b.factors.size > 0 || signOf(b.constant) === 0 ? undefined : scaledSum(a, inverse(b.constant)),
            );
      case "?:": {
        const [condition, yes, no] = node.args;
        const when = this.truth(condition);
        const [ifSo, ifNot] = [this.number(yes), this.number(no)];
        return ifSo && ifNot && within([...guarded(ifSo, when), ...guarded(ifNot, not(when))]);
      }
      case "call":
        return this.#size(node.args[0], node.args[1]) ?? this.#called(node.args[0], node.args[1]);
      case "rcall":
        return this.#size(node.args[0], [node.args[1], ...node.args[2]]);
      default:
        return undefined;
    }
  }

  #size(name: string, args: readonly ASTNode[]): readonly Case[] | undefined {
    const [list] = args;
    const variable = name === "size" && list !== undefined ? this.#variable(list) : undefined;
    const sum = variable && this.#names.size?.(variable);
    return sum && [{ guard: HOLDS, sum }];
  }

  #called(name: string, args: readonly ASTNode[]): readonly Case[] | undefined {
    const numbers: (readonly Case[])[] = [];
    for (const each of args) {
      const cases = this.number(each);
      if (cases === undefined) return undefined;
      numbers.push(cases);
    }
    const [first, ...rest] = numbers;
    if (first === undefined) return undefined;
    if (name === CHECKED) return first;
    if (name === "double" && rest.length === 0) return first;
    if (name === "abs" && rest.length === 0)
      return within(first.flatMap((each) => extreme(each, { ...each, sum: negatedSum(each.sum) }, "max")));
    if (name !== "min" && name !== "max") return undefined;
    return rest.reduce<readonly Case[] | undefined>(
      (found, next) => found && within(found.flatMap((a) => next.flatMap((b) => extreme(a, b, name)))),
      first,
    );
  }

  #compare(op: string, left: ASTNode, right: ASTNode): Formula {
    if (op === "!=") return not(this.#compare("==", left, right));
    const [a, b] = [this.#text(left), this.#text(right)];
    if (a !== undefined && b !== undefined) {
      return op === "==" ? { kind: "known", holds: a === b } : FREE;
    }
    const relation = RELATIONS[op];
    const [low, high] = op.startsWith(">") ? [right, left] : [left, right];
    const [lows, highs] = [this.number(low), this.number(high)];
    if (lows === undefined || highs === undefined || relation === undefined) return FREE;
    const cases = lows.flatMap((x) =>
      highs.map((y) => all([x.guard, y.guard, compared(x.sum, y.sum, relation)])),
    );
    return cases.length > MOST_CASES ? FREE : any(cases);
  }

  /** One of texts written out; of anything else nothing is known. */
  #among(node: ASTNode, list: ASTNode): Formula {
    const text = this.#text(node);
    const variable = this.#variable(list);
    if (text !== undefined && variable !== undefined) return this.#names.listed?.(variable, text) ?? FREE;
    if (text === undefined || list.op !== "list") return FREE;
    const texts = list.args.map((each) => this.#text(each));
    if (texts.includes(text)) return HOLDS;
    return texts.includes(undefined) ? FREE : { kind: "known", holds: false };
  }

  #pairs(
    [left, right]: readonly [ASTNode, ASTNode],
    join: (a: Linear, b: Linear) => Linear | undefined,
  ): readonly Case[] | undefined {
    const [lefts, rights] = [this.number(left), this.number(right)];
    if (lefts === undefined || rights === undefined) return undefined;
    const cases: Case[] = [];
    for (const a of lefts)
      for (const b of rights) {
        const sum = join(a.sum, b.sum);
        if (sum === undefined) return undefined;
        cases.push({ guard: all([a.guard, b.guard]), sum });
      }
    return within(cases);
  }

  #literal(value: unknown): readonly Case[] | undefined {
    const number = typeof value === "bigint" ? Number(value) : value;
    if (typeof number !== "number" || !Number.isFinite(number)) return undefined;
    const exact = typeof value === "bigint" ? { over: value, under: 1n } : rational(number);
    return [{ guard: HOLDS, sum: constantSum(exact) }];
  }

  #text(node: ASTNode): string | undefined {
    if (node.op === "value") return typeof node.args === "string" ? node.args : undefined;
    if (node.op === "call") {
      const [name, [inner]] = node.args;
      return name === CHECKED && inner !== undefined ? this.#text(inner) : undefined;
    }
    const variable = this.#variable(node);
    return variable && this.#names.text(variable);
  }

  #variable(node: ASTNode): Variable | undefined {
    if (node.op !== "id" || !/^v\d+$/.test(node.args)) return undefined;
    return this.#variables[Number(node.args.slice(1))];
  }
}

function isPresence(variable: Variable): boolean {
  return variable.kind === "has-reading" || variable.kind === "has-value";
}

/** Whole numbers are divided without a rest in CEL; so is what is made of them. */
export function isWhole(node: ASTNode): boolean {
  switch (node.op) {
    case "value":
      return typeof node.args === "bigint";
    case "rcall":
      return node.args[0] === "size";
    case "call":
      return ["size", "int"].includes(node.args[0]);
    case "?:":
      return isWhole(node.args[1]) || isWhole(node.args[2]);
    case "-_":
      return isWhole(node.args);
    case "+":
    case "-":
    case "*":
    case "/":
      return isWhole(node.args[0]) || isWhole(node.args[1]);
    default:
      return false;
  }
}

function product(a: Linear, b: Linear): Linear | undefined {
  if (a.factors.size > 0 && b.factors.size > 0) return undefined;
  return b.factors.size > 0 ? scaledSum(b, a.constant) : scaledSum(a, b.constant);
}

/** The higher or lower of two, as cases. */
function extreme(a: Case, b: Case, which: "min" | "max"): readonly Case[] {
  const lower = compared(a.sum, b.sum, "<=");
  const [first, second] = which === "min" ? [a, b] : [b, a];
  const both = all([a.guard, b.guard]);
  return [
    { guard: all([both, lower]), sum: first.sum },
    // Not the contrary of the first: what is no number has no case, and no comparison with it holds.
    { guard: all([both, compared(b.sum, a.sum, "<")]), sum: second.sum },
  ];
}

function guarded(cases: readonly Case[], by: Formula): readonly Case[] {
  return cases.map(({ guard, sum }) => ({ guard: all([by, guard]), sum }));
}

function within(cases: readonly Case[]): readonly Case[] | undefined {
  return cases.length > MOST_CASES ? undefined : cases;
}
