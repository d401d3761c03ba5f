import type { ASTNode } from "@marcbachmann/cel-js";
import { all, any, compared, constantSum, type Formula, HOLDS, not, variableSum } from "./formula.ts";
import type { Translation } from "./formula-of.ts";
import { ONE, rational } from "./rational.ts";

/** The variable that stands for a list's length. */
export function sizeVariable(translation: Translation, list: ASTNode): string {
  return `size(${translation.text(list)})`;
}

/**
 * What a condition that came out as `truth` says of the lengths of lists where it asks for them in other words than
 * `size`: `codes != []`, `"P0480" in codes`, `codes.exists(c, …)`. Where nothing is said of them it holds always.
 */
export function saidOfLists(translation: Translation, node: ASTNode, truth: boolean): Formula {
  const said = (part: ASTNode, as: boolean) => saidOfLists(translation, part, as);
  switch (node.op) {
    case "!_":
      return said(node.args, !truth);
    case "&&":
    case "||": {
      const parts = node.args.map((part) => said(part, truth));
      return (node.op === "&&") === truth ? all(parts) : any(parts);
    }
    case "?:": {
      const [condition, yes, no] = node.args;
      return any([
        all([said(condition, true), said(yes, truth)]),
        all([said(condition, false), said(no, truth)]),
      ]);
    }
    case "==":
    case "!=":
      return saidByEquality(translation, node.args, (node.op === "==") === truth);
    case "in":
      return truth ? hasEntry(translation, node.args[1]) : HOLDS;
    case "rcall": {
      const [name, list] = node.args;
      const found = truth ? ["exists", "exists_one"] : ["all"];
      return found.includes(name) ? hasEntry(translation, list) : HOLDS;
    }
    default:
      return HOLDS;
  }
}

/** The list that a node goes through entry by entry, as `exists` does: what stands inside is asked of each entry. */
export function goneThrough(node: ASTNode): ASTNode | undefined {
  return node.op === "rcall" && GOING_THROUGH.includes(node.args[0]) ? node.args[1] : undefined;
}

/** A list has an entry, and so has the one that it was filtered from. */
export function hasEntry(translation: Translation, list: ASTNode): Formula {
  const own = compared(constantSum(ONE), variableSum(sizeVariable(translation, list)), "<=");
  const from = list.op === "rcall" && list.args[0] === "filter" ? list.args[1] : undefined;
  return from === undefined ? own : all([own, hasEntry(translation, from)]);
}

const GOING_THROUGH: readonly string[] = ["exists", "exists_one", "all", "filter"];

function saidByEquality(
  translation: Translation,
  sides: readonly [ASTNode, ASTNode],
  equal: boolean,
): Formula {
  const [list, written] = sides[0].op === "list" ? [sides[1], sides[0]] : sides;
  if (written.op !== "list") return HOLDS;
  const size = variableSum(sizeVariable(translation, list));
  const same = compared(size, constantSum(rational(written.args.length)), "==");
  if (equal) return same;
  // Lists of one length can still differ; only of the empty one is there no other.
  return written.args.length === 0 ? all([not(same), hasEntry(translation, list)]) : HOLDS;
}
