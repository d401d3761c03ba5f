import type { ASTNode } from "@marcbachmann/cel-js";
import { childrenOf } from "../procedure/expression-guards.ts";
import {
  addedSums,
  all,
  any,
  compared,
  constantSum,
  type Formula,
  type Linear,
  not,
  variableSum,
} from "./formula.ts";
import { isWhole, type Translation } from "./formula-of.ts";
import { goneThrough, hasEntry, saidOfLists, sizeVariable } from "./list-entries.ts";
import { negated, ONE, plus, signOf, ZERO } from "./rational.ts";
import { type Reach, satisfiable } from "./satisfiable.ts";

/** Why an expression can't be worked out. */
export type Why = "no-entry" | "by-nothing" | "over-range" | "with-choice";

/** The parts of one expression that can't be worked out in some run. */
export class Failures {
  readonly #translation: Translation;

  constructor(translation: Translation) {
    this.#translation = translation;
  }

  /** Why a part can fail where all that is given holds; undefined where it can't. */
  visit(node: ASTNode, given: readonly Formula[]): Why | undefined {
    const truth = (part: ASTNode) => this.#known(part, true);
    const falsehood = (part: ASTNode) => this.#known(part, false);
    switch (node.op) {
      case "&&":
      case "||": {
        // Either side guards the other, in CEL: what the other side decides is not asked of this one.
        const [left, right] = node.args;
        const open = (side: ASTNode) => (node.op === "&&" ? truth(side) : falsehood(side));
        return this.visit(left, [...given, open(right)]) ?? this.visit(right, [...given, open(left)]);
      }
      case "?:": {
        const [condition, yes, no] = node.args;
        return (
          this.visit(condition, given) ??
          this.visit(yes, [...given, truth(condition)]) ??
          this.visit(no, [...given, falsehood(condition)])
        );
      }
      case "/":
      case "%":
        if (this.#byNothing(node.op, node.args, given)) return "by-nothing";
        break;
      case "*":
        if (this.#zeroOverRange(node.args, given)) return "over-range";
        break;
      case "call": {
        const [name, [only]] = node.args;
        if (name === "int" && only !== undefined && this.#canBe(this.#overRange(only), given))
          return "over-range";
        break;
      }
      case "[]":
        if (this.#noEntry(node.args, given)) return "no-entry";
        break;
    }
    const list = goneThrough(node);
    const inside = list === undefined ? given : [...given, hasEntry(this.#translation, list)];
    for (const child of childrenOf(node)) {
      const why = this.visit(child, child === list ? given : inside);
      if (why !== undefined) return why;
    }
    return undefined;
  }

  /** What is known where a part came out so. */
  #known(part: ASTNode, truth: boolean): Formula {
    const formula = this.#translation.truth(part);
    return all([truth ? formula : not(formula), saidOfLists(this.#translation, part, truth)]);
  }

  #byNothing(op: string, [over, under]: readonly [ASTNode, ASTNode], given: readonly Formula[]): boolean {
    const whole = op === "%" || isWhole(over) || isWhole(under);
    const zero = [this.#isZero(under), ...(whole ? [] : [this.#isZero(over)])];
    return zero.every((each) => each.length > 0) && this.#someHold(zero, given);
  }

  #noEntry([list, at]: readonly [ASTNode, ASTNode], given: readonly Formula[]): boolean {
    if (at.op === "value" && typeof at.args === "string") return false;
    const size = sizeVariable(this.#translation, list);
    const places = this.#translation.number(at) ?? [];
    const missing = places.flatMap(({ guard, sum }) => [
      all([guard, behind(size, sum), aboveZero(size, "<=")]),
      all([guard, compared(sum, constantSum(ZERO), "<")]),
    ]);
    return this.#someHold([missing], given);
  }

  /** 0 times what is over range is no number. Only a factor that stands for 0 by itself counts. */
  #zeroOverRange([left, right]: readonly [ASTNode, ASTNode], given: readonly Formula[]): boolean {
    return [
      [left, right],
      [right, left],
    ].some(([nought, other]) => {
      if (nought === undefined || other === undefined) return false;
      const zero = (this.#translation.number(nought) ?? []).filter(
        ({ sum }) => sum.factors.size === 0 && signOf(sum.constant) === 0,
      );
      if (zero.length === 0) return false;
      return this.#canBe(this.#overRange(other), [...given, any(zero.map(({ guard }) => guard))]);
    });
  }

  /** Cases in which a sum of readings is over range: only then is it as much as twice itself and not 0. */
  #overRange(node: ASTNode): readonly Formula[] {
    return (this.#translation.number(node) ?? []).flatMap(({ guard, sum }) => {
      if (![...sum.factors.keys()].every((name) => /^(?:reading|value) /.test(name))) return [];
      const twice = addedSums(sum, sum);
      if (twice === undefined || sum.factors.size === 0) return [];
      const nought = constantSum(ZERO);
      return all([guard, compared(twice, sum, "=="), not(compared(sum, nought, "=="))]);
    });
  }

  /** Whether one of these surely can hold together with what is given. */
  #canBe(cases: readonly Formula[], given: readonly Formula[]): boolean {
    return cases.length > 0 && satisfiable(all([...given, any(cases)]), reach) === true;
  }

  #isZero(node: ASTNode): readonly Formula[] {
    const cases = this.#translation.number(node) ?? [];
    return cases.map(({ guard, sum }) => all([guard, compared(sum, constantSum(ZERO), "==")]));
  }

  /** Whether one of each list can hold together with what is given. */
  #someHold(lists: readonly (readonly Formula[])[], given: readonly Formula[]): boolean {
    const either = lists.map((parts): Formula => ({ kind: "or", parts }));
    return satisfiable(all([...given, ...either]), reach) !== false;
  }
}

/** A variable is above 0, or not below it. */
export function aboveZero(variable: string, relation: "<" | "<="): Formula {
  return compared(constantSum(ZERO), variableSum(variable), relation);
}

/** A place lies behind the last entry of a list. A length is never over range: it may drop out between the two. */
function behind(size: string, { factors, constant }: Linear): Formula {
  const own = factors.get(size);
  if (own === undefined || signOf(plus(own, negated(ONE))) !== 0)
    return compared(variableSum(size), { factors, constant }, "<=");
  const rest = new Map([...factors].filter(([name]) => name !== size));
  return compared(constantSum(ZERO), { factors: rest, constant }, "<=");
}

/** Lengths, times and facts are never over range, nor is a list. */
function reach(variable: string): Reach {
  const infinite = !/^(?:size\(|code |elapsed |fact |list\()/.test(variable);
  return { down: infinite, up: infinite };
}
