/** Which readings an expression uses without first asking whether they were taken. */
import type { ASTNode } from "@marcbachmann/cel-js";
import { nameUse, presenceUse } from "./expression-names.ts";

/** Full ids of steps. */
type Steps = ReadonlySet<string>;

const NONE: Steps = new Set();

/**
 * Steps whose reading or value is used at a place where `"x" in readings` is not known to hold. Either side of `&&`
 * guards the other, since a failed side beside a false one is false (CEL, "logical operators", commutative).
 */
export function unguardedSteps(
  ast: ASTNode,
  idOf: (name: string) => string,
  known: Steps = NONE,
): readonly string[] {
  const found = new Set<string>();
  new Guards(idOf).visit(ast, known, found);
  return [...found];
}

/** Steps whose reading was surely taken where a condition came out as `truth`. */
export function presentSteps(ast: ASTNode, idOf: (name: string) => string, truth: boolean): Steps {
  return new Guards(idOf).present(ast, truth);
}

class Guards {
  private readonly idOf: (name: string) => string;

  constructor(idOf: (name: string) => string) {
    this.idOf = idOf;
  }

  visit(node: ASTNode, known: Steps, found: Set<string>): void {
    if (presenceUse(node) !== undefined) return;
    const use = nameUse(node);
    if (use !== undefined) {
      const taken = use.root === "readings" || use.root === "values";
      if (taken && !known.has(this.idOf(use.name))) found.add(this.idOf(use.name));
      return;
    }
    if (node.op === "&&" || node.op === "||") {
      const [left, right] = node.args;
      const truth = node.op === "&&";
      this.visit(left, union(known, this.present(right, truth)), found);
      this.visit(right, union(known, this.present(left, truth)), found);
      return;
    }
    if (node.op === "?:") {
      const [condition, yes, no] = node.args;
      this.visit(condition, known, found);
      this.visit(yes, union(known, this.present(condition, true)), found);
      this.visit(no, union(known, this.present(condition, false)), found);
      return;
    }
    for (const child of childrenOf(node)) this.visit(child, known, found);
  }

  /** Steps whose reading was surely taken when the node comes out as `truth`. */
  present(node: ASTNode, truth: boolean): Steps {
    const use = presenceUse(node);
    if (use !== undefined) return truth ? new Set([this.idOf(use.name)]) : NONE;
    if (node.op === "!_") return this.present(node.args, !truth);
    if (node.op !== "&&" && node.op !== "||") return NONE;
    const left = this.present(node.args[0], truth);
    const right = this.present(node.args[1], truth);
    const both = (node.op === "&&") === truth;
    return both ? union(left, right) : new Set([...left].filter((step) => right.has(step)));
  }
}

/** The parts that a node is made of, as written. */
export function childrenOf(node: ASTNode): readonly ASTNode[] {
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

function union(one: Steps, other: Steps): Steps {
  return other.size === 0 ? one : new Set([...one, ...other]);
}
