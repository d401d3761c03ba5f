/** Texts that a condition compares a fact with, and which none of the fact's choices is. */
import type { ASTNode } from "@marcbachmann/cel-js";
import { nameUse } from "./expression-names.ts";

/**
 * Each such text once, in the order written: beside `==` and `!=`, and in a list behind `in`. `choicesOf` gives the
 * choices by the fact's name as written, undefined where it can have other values.
 */
export function missedChoices(
  ast: ASTNode,
  choicesOf: (name: string) => readonly string[] | undefined,
): readonly { readonly name: string; readonly choices: readonly string[] }[] {
  const missed = new Map<string, readonly string[]>();
  const compare = (one: ASTNode, other: ASTNode): void => {
    const use = nameUse(one);
    const choices = use?.root === "facts" ? choicesOf(use.name) : undefined;
    if (choices === undefined) return;
    for (const text of textsIn(other)) if (!choices.includes(text)) missed.set(text, choices);
  };
  const visit = (node: ASTNode): void => {
    if (node.op === "==" || node.op === "!=") {
      compare(node.args[0], node.args[1]);
      compare(node.args[1], node.args[0]);
    }
    if (node.op === "in") compare(node.args[0], node.args[1]);
    for (const part of partsOf(node.args)) visit(part);
  };
  visit(ast);
  return [...missed].map(([name, choices]) => ({ name, choices }));
}

function textsIn(node: ASTNode): readonly string[] {
  if (node.op === "list") return node.args.flatMap(textsIn);
  return node.op === "value" && typeof node.args === "string" ? [node.args] : [];
}

/** The nodes in a node's arguments, however they are nested. */
function partsOf(args: unknown): readonly ASTNode[] {
  if (Array.isArray(args)) return args.flatMap(partsOf);
  return isNode(args) ? [args] : [];
}

function isNode(value: unknown): value is ASTNode {
  return typeof value === "object" && value !== null && "op" in value && "args" in value;
}
