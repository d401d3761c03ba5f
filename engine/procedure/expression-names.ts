/**
 * Names in conditions and values. An expression says `facts["battery-type"]`, `facts.battery_type` or
 * `"crank" in readings`; each such use becomes a plain variable (`v0`, `v1`…), so that it can be typed on its
 * own, is read once, and no id can collide with anything of the language.
 */
import type { ASTNode } from "@marcbachmann/cel-js";
import { FUNCTIONS } from "../quantity/functions.ts";

/** What a variable of the rewritten expression stands for; `id` is a full id, empty for this reading. */
export interface Variable {
  readonly kind: "fact" | "reading" | "value" | "elapsed" | "has-reading" | "has-value" | "this-reading";
  readonly id: string;
}

/** A use of a name, as written, and the full id it stands for; undefined when there is none. */
export type Resolve = (root: Root, name: string) => string | undefined;
export type Root = "facts" | "readings" | "values" | "elapsed";

export type NameProblem =
  | { readonly kind: "unknown"; readonly root: Root; readonly name: string }
  | { readonly kind: "bare"; readonly name: string }
  | { readonly kind: "function"; readonly name: string }
  | { readonly kind: "hyphen"; readonly name: string; readonly write: string };

export interface Rewritten {
  /** The expression over the variables, fully parenthesised. */
  readonly text: string;
  readonly variables: readonly Variable[];
  readonly problems: readonly NameProblem[];
  /** The first whole number met. */
  readonly firstWhole?: string;
}

const VARIABLE_KIND = { facts: "fact", readings: "reading", values: "value", elapsed: "elapsed" } as const;
const PRESENCE_KIND = { readings: "has-reading", values: "has-value" } as const;
/** Functions that expressions may call. `matches` is left out: a pattern can be made to run for minutes. */
export const CALLABLE: readonly string[] = [
  ...FUNCTIONS.keys(),
  "abs",
  "min",
  "max",
  "has",
  "size",
  "startsWith",
  "endsWith",
  "contains",
  "exists",
  "all",
  "exists_one",
  "filter",
  "double",
  "int",
  "string",
];
/** Those that bind their first argument as a name. */
const BINDING: readonly string[] = ["exists", "all", "exists_one", "filter"];

const COMPARISONS: readonly string[] = ["<", "<=", ">", ">=", "==", "!=", "in"];
/** What can give no number out of numbers: OL less OL, nought by nought. */
const RECKONED: readonly string[] = ["+", "-", "*", "/", "-_", "?:", "call", "rcall"];

/** The member form of an id: hyphens as underscores. */
export function memberForm(id: string): string {
  return id.replaceAll("-", "_");
}

/** The use of a name that a node is, as `facts["x"]`, `readings.x`. */
export function nameUse(node: ASTNode): { readonly root: Root; readonly name: string } | undefined {
  if (node.op === ".") return namedOn(node.args[0], node.args[1]);
  if (node.op === "[]" && node.args[1].op === "value") return namedOn(node.args[0], node.args[1].args);
  return undefined;
}

/** The reading or value whose presence a node tests, as `"x" in readings` or `has(readings.x)`. */
export function presenceUse(
  node: ASTNode,
): { readonly root: "readings" | "values"; readonly name: string } | undefined {
  let use: ReturnType<typeof nameUse>;
  if (node.op === "in" && node.args[0].op === "value") use = namedOn(node.args[1], node.args[0].args);
  if (node.op === "call" && node.args[0] === "has" && node.args[1].length === 1) {
    const inner = node.args[1][0];
    use = inner === undefined ? undefined : nameUse(inner);
  }
  if (use === undefined || (use.root !== "readings" && use.root !== "values")) return undefined;
  return { root: use.root, name: use.name };
}

function namedOn(base: ASTNode, name: unknown): { root: Root; name: string } | undefined {
  if (base.op !== "id" || typeof name !== "string" || !isRoot(base.args)) return undefined;
  return { root: base.args, name };
}

function isRoot(word: string): word is Root {
  return Object.hasOwn(VARIABLE_KIND, word);
}

/** What a reckoned side of a comparison is put into for a run: it fails where that is no number. */
export const CHECKED = "checked";

/**
 * The expression with its names as variables, and what was wrong with them. `decimals` writes whole numbers as
 * decimals; `checks` puts each reckoned side of a comparison into {@link CHECKED}.
 */
export function rewriteNames(
  ast: ASTNode,
  resolve: Resolve,
  how: { readonly decimals?: boolean; readonly checks?: boolean } = {},
): Rewritten {
  const rewriting = new Rewriting(resolve, how);
  const text = rewriting.print(ast, new Map());
  const { variables, problems, firstWhole } = rewriting;
  return { text, variables, problems, ...(firstWhole === undefined ? {} : { firstWhole }) };
}

type Bound = ReadonlyMap<string, string>;

class Rewriting {
  readonly variables: Variable[] = [];
  readonly problems: NameProblem[] = [];
  firstWhole: string | undefined;
  private readonly resolve: Resolve;
  private readonly decimals: boolean;
  private readonly checks: boolean;
  private bound = 0;

  constructor(
    resolve: Resolve,
    { decimals = false, checks = false }: Parameters<typeof rewriteNames>[2] = {},
  ) {
    this.resolve = resolve;
    this.decimals = decimals;
    this.checks = checks;
  }

  /** Own printing, since the library's drops parentheses of `a - (b - c)` and digits of long numbers. */
  print(node: ASTNode, bound: Bound): string {
    const presence = presenceUse(node);
    if (presence !== undefined) return this.named(PRESENCE_KIND[presence.root], presence.root, presence.name);
    const use = nameUse(node);
    if (use !== undefined) return this.named(VARIABLE_KIND[use.root], use.root, use.name);
    const print = (inner: ASTNode): string => this.print(inner, bound);
    switch (node.op) {
      case "value":
        return this.literal(node.input.slice(node.start, node.end), typeof node.args === "bigint");
      case "id":
        return this.bare(node.args, bound);
      case "call":
        this.called(node.args[0]);
        return `${node.args[0]}(${node.args[1].map(print).join(", ")})`;
      case "rcall":
        return this.method(node.args, bound);
      case "list":
        return `[${node.args.map(print).join(", ")}]`;
      case "map":
        return `{${node.args.map(([key, value]) => `${print(key)}: ${print(value)}`).join(", ")}}`;
      case ".":
      case ".?":
        return `(${print(node.args[0])})${node.op}${node.args[1]}`;
      case "[]":
        return `(${print(node.args[0])})[${print(node.args[1])}]`;
      case "[?]":
        return `(${print(node.args[0])})[?${print(node.args[1])}]`;
      case "?:":
        return `(${print(node.args[0])} ? ${print(node.args[1])} : ${print(node.args[2])})`;
      case "!_":
        return `(!${print(node.args)})`;
      case "-_":
        return `(-${print(node.args)})`;
      default:
        if (node.op === "-" && this.hyphened(node)) return "0.0";
        return `(${this.side(node, 0, bound)} ${node.op} ${this.side(node, 1, bound)})`;
    }
  }

  private side(
    node: ASTNode & { readonly args: readonly [ASTNode, ASTNode] },
    index: 0 | 1,
    bound: Bound,
  ): string {
    const side = node.args[index];
    const printed = this.print(side, bound);
    return this.checks && COMPARISONS.includes(node.op) && RECKONED.includes(side.op)
      ? `${CHECKED}(${printed})`
      : printed;
  }

  private literal(written: string, whole: boolean): string {
    if (!whole) return written;
    this.firstWhole ??= written;
    return this.decimals && /^\d+$/.test(written) ? `${written}.0` : written;
  }

  private method([name, receiver, args]: [string, ASTNode, ASTNode[]], bound: Bound): string {
    this.called(name);
    const [first, ...rest] = args;
    if (!BINDING.includes(name) || first?.op !== "id") {
      return `(${this.print(receiver, bound)}).${name}(${args.map((each) => this.print(each, bound)).join(", ")})`;
    }
    const fresh = `b${this.bound++}`;
    const inner = new Map(bound).set(first.args, fresh);
    const printed = [fresh, ...rest.map((each) => this.print(each, inner))];
    return `(${this.print(receiver, bound)}).${name}(${printed.join(", ")})`;
  }

  private called(name: string): void {
    if (!CALLABLE.includes(name)) this.problems.push({ kind: "function", name });
  }

  private named(kind: Variable["kind"], root: Root, name: string): string {
    const id = this.resolve(root, name);
    if (id === undefined) this.problems.push({ kind: "unknown", root, name });
    return this.variable(kind, id ?? name);
  }

  private bare(name: string, bound: Bound): string {
    const renamed = bound.get(name);
    if (renamed !== undefined) return renamed;
    if (name === "reading") return this.variable("this-reading", "");
    this.problems.push({ kind: "bare", name });
    return name;
  }

  private variable(kind: Variable["kind"], id: string): string {
    const known = this.variables.findIndex((each) => each.kind === kind && each.id === id);
    if (known >= 0) return `v${known}`;
    return `v${this.variables.push({ kind, id }) - 1}`;
  }

  /** Whether `facts.battery-type` was meant as one name; says so when it was. */
  private hyphened(node: ASTNode): boolean {
    const words: string[] = [];
    let left = node;
    while (left.op === "-" && left.args[1].op === "id") {
      words.unshift(left.args[1].args);
      left = left.args[0];
    }
    const use = nameUse(left);
    if (use === undefined || words.length === 0) return false;
    const name = [use.name, ...words].join("-");
    if (this.resolve(use.root, name) === undefined) return false;
    const written = `${use.root}.${name}`;
    this.problems.push({ kind: "hyphen", name: written, write: `${use.root}.${memberForm(name)}` });
    return true;
  }
}
