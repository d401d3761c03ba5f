import type { ASTNode } from "@marcbachmann/cel-js";
import { evaluateExpression, type Scene, usesThisReading } from "../procedure/expression.ts";
import { childrenOf } from "../procedure/expression-guards.ts";
import type { Finding } from "../procedure/finding.ts";
import { expressionsOf } from "../procedure/link-needs.ts";
import type { Expression, Step } from "../procedure/model.ts";
import { type Analysis, isReached } from "./analysis.ts";
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
import { conditionOf, isWhole, type Names, type Translation, translationOf } from "./formula-of.ts";
import { failingAlways, knownOf } from "./impossible.ts";
import { latestOutcomes } from "./latest-outcomes.ts";
import { goneThrough, hasEntry, saidOfLists, sizeVariable } from "./list-entries.ts";
import { perStep } from "./per-step.ts";
import { type Facts, factCombinations, isMeasured, isUnknown, namesIn } from "./possible-arms.ts";
import { negated, ONE, plus, signOf, ZERO } from "./rational.ts";
import { plausibleFormula, rangeFormula } from "./reading-ranges.ts";
import { type Reach, satisfiable } from "./satisfiable.ts";

/**
 * `bad-expression` as a warning: a condition or value that a run can't work out, so that the step would count as
 * `cannot`. Looked for are an entry that a list may not have, a whole number divided by 0, 0 divided by 0, `int`
 * of a reading over range or 0 times one, and a choice that gives no number where one is wanted.
 *
 * What guards it is seen in earlier arms, beside `&&`, `||` and `?:`, and in the outcomes that readings can have had;
 * what is no sum of readings is taken for anything, the same wherever it is written again. No time since a step is
 * taken for 0. Left to the run are OL against OL, where nothing can be read, a reading that is 0 times one over range,
 * and whole numbers too large to be reckoned with.
 */
export function checkCanFail(analysis: Analysis): readonly Finding[] {
  return analysis.flow.steps.flatMap((step, index) => {
    const uses = usesAt(analysis.procedure, step);
    if (uses.length === 0 || !isReached(analysis, index)) return [];
    return uses.flatMap((use) => {
      const why = failure(analysis, index, step, use);
      if (why === undefined) return [];
      return {
        code: "bad-expression" as const,
        severity: "warning" as const,
        params: { text: use.expression.text, why, step: step.id },
        node: use.expression.node,
        step: step.id,
      };
    });
  });
}

interface Use {
  readonly expression: Expression;
  /** Conditions that did not hold when this one is looked at. */
  readonly before: readonly Expression[];
  /** The outcome that the step has had by then. */
  readonly outcome?: string;
}

type Why = "no-entry" | "by-nothing" | "over-range" | "with-choice";

/** A division or product, an index by a number (names are looked up by texts), or what is to be made a number. */
const RISKY = /[*/%]|\[\s*[^\s"']|\b(?:double|int)\s*\(/;

const usesAt = perStep((procedure, step): readonly Use[] => {
  const inBranches = new Set<Expression>();
  const uses: Use[] = [];
  for (const branch of step.outcomes.values()) {
    const before: Expression[] = [];
    const told = failingAlways(procedure, branch);
    for (const { if: condition } of branch.arms) {
      if (condition === undefined) continue;
      inBranches.add(condition);
      const { outcome } = branch;
      if (told === undefined && RISKY.test(condition.text))
        uses.push({ expression: condition, before: [...before], outcome });
      before.push(condition);
    }
  }
  if (step.kind !== "measure") return uses;
  for (const expression of expressionsOf(procedure, step))
    if (!inBranches.has(expression) && RISKY.test(expression.text)) uses.push({ expression, before: [] });
  return uses;
});

function failure(analysis: Analysis, index: number, step: Step, use: Use): Why | undefined {
  const { procedure } = analysis;
  const { expression, before, outcome } = use;
  const conditions = [...before, expression];
  const known = knownThere(analysis, index, step, conditions, outcome);
  for (const facts of factCombinations(procedure, conditions) ?? [new Map()]) {
    // A condition on a fact that is not known is not looked at, nor is what stands behind it.
    if (conditions.some((each) => each.facts.some((id) => facts.has(id) && isUnknown(facts.get(id)))))
      continue;
    const names: Names = {
      ...namesIn(step.id, facts, step.kind === "measure" && outcome !== undefined && outcome !== "cannot"),
      term: variableSum,
    };
    const found = translationOf(expression, names);
    if (found === undefined) continue;
    const given = [known, ...before.flatMap((each) => notHeld(each, names))];
    const why = new Failures(found.translation).visit(found.tree, given);
    if (why !== undefined) return why;
    if (failsWith(facts, before, expression)) return "with-choice";
  }
  return undefined;
}

/** What is known where a condition did not hold. */
function notHeld(expression: Expression, names: Names): readonly Formula[] {
  const found = translationOf(expression, names);
  return found === undefined
    ? []
    : [not(conditionOf(expression, names)), saidOfLists(found.translation, found.tree, false)];
}

/** Whether these choices alone make it fail; what hangs on numbers is not tried. */
function failsWith(facts: Facts, before: readonly Expression[], expression: Expression): boolean {
  const plain = [...before, expression].every(
    (each) => each.readings.length + each.elapsed.length === 0 && !usesThisReading(each),
  );
  if (!plain || [...facts.values()].some(isMeasured)) return false;
  const scene: Scene = {
    fact: (id) => {
      const value = facts.get(id);
      return isMeasured(value) ? undefined : value;
    },
    reading: () => undefined,
    value: () => undefined,
    elapsed: () => undefined,
  };
  return (
    before.every((each) => {
      const found = evaluateExpression(each, scene);
      return found.ok && found.value !== true;
    }) && !evaluateExpression(expression, scene).ok
  );
}

/** What readings and times can be where these expressions are worked out. */
function knownThere(
  analysis: Analysis,
  index: number,
  step: Step,
  expressions: readonly Expression[],
  outcome: string | undefined,
): Formula {
  const readings = new Set(expressions.flatMap((each) => each.readings));
  readings.delete(step.id);
  const times = new Set(expressions.flatMap((each) => each.elapsed));
  const own =
    step.kind !== "measure"
      ? []
      : [
          outcome === undefined
            ? plausibleFormula(analysis.procedure, step)
            : rangeFormula(analysis.procedure, step, new Set([outcome])),
        ];
  // A call's branch is decided where the called procedure ends; there, more is known than here.
  const earlier =
    step.kind === "call"
      ? []
      : [...readings].map((id) => knownOf(analysis, id, latestOutcomes(analysis, id)(index)));
  return all([...own, ...earlier, ...[...times].map((id) => above(`elapsed ${id}`, "<"))]);
}

/** A variable is above 0, or not below it. */
function above(variable: string, relation: "<" | "<="): Formula {
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
  const infinite = !/^(?:size\(|elapsed |fact |list\()/.test(variable);
  return { down: infinite, up: infinite };
}

class Failures {
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
      all([guard, behind(size, sum), above(size, "<=")]),
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
