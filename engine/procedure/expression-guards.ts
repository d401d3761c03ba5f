/** Which readings an expression uses without first asking whether they were taken. */
import type { ASTNode } from "@marcbachmann/cel-js";
import { nameUse, presenceUse } from "./expression-names.ts";

/** Names of readings or values, as written. */
type Names = ReadonlySet<string>;

const NONE: Names = new Set();

/**
 * Names that are used at a place where `"x" in readings` is not known to hold. Either side of `&&` guards the
 * other, since a failed side beside a false one is false (CEL, "logical operators", commutative).
 */
export function unguardedNames(ast: ASTNode): readonly string[] {
  const found = new Set<string>();
  visit(ast, NONE, found);
  return [...found];
}

function visit(node: ASTNode, known: Names, found: Set<string>): void {
  if (presenceUse(node) !== undefined) return;
  const use = nameUse(node);
  if (use !== undefined) {
    const taken = use.root === "readings" || use.root === "values";
    if (taken && !known.has(use.name)) found.add(use.name);
    return;
  }
  if (node.op === "&&" || node.op === "||") {
    const [left, right] = node.args;
    const truth = node.op === "&&";
    visit(left, union(known, present(right, truth)), found);
    visit(right, union(known, present(left, truth)), found);
    return;
  }
  if (node.op === "?:") {
    const [condition, yes, no] = node.args;
    visit(condition, known, found);
    visit(yes, union(known, present(condition, true)), found);
    visit(no, union(known, present(condition, false)), found);
    return;
  }
  for (const child of children(node)) visit(child, known, found);
}

/** Names that were surely taken when the node comes out as `truth`. */
function present(node: ASTNode, truth: boolean): Names {
  const use = presenceUse(node);
  if (use !== undefined) return truth ? new Set([use.name]) : NONE;
  if (node.op === "!_") return present(node.args, !truth);
  if (node.op !== "&&" && node.op !== "||") return NONE;
  const left = present(node.args[0], truth);
  const right = present(node.args[1], truth);
  const both = (node.op === "&&") === truth;
  return both ? union(left, right) : new Set([...left].filter((name) => right.has(name)));
}

function children(node: ASTNode): readonly ASTNode[] {
  switch (node.op) {
    case "value":
    case "id":
      return [];
    case ".":
    case ".?":
      return [node.args[0]];
    case "call":
      return node.args[1];
    case "rcall":
      return [node.args[1], ...node.args[2]];
    case "list":
      return node.args;
    case "map":
      return node.args.flat();
    case "!_":
    case "-_":
      return [node.args];
    default:
      return node.args;
  }
}

function union(one: Names, other: Names): Names {
  return other.size === 0 ? one : new Set([...one, ...other]);
}
