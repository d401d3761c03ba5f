import { evaluateExpression, type Scene, usesThisReading } from "../procedure/expression.ts";
import type { Finding } from "../procedure/finding.ts";
import { expressionsOf } from "../procedure/link-needs.ts";
import type { Expression, Step } from "../procedure/model.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { aboveZero, Failures, type Why } from "./failing-parts.ts";
import { all, type Formula, not, variableSum } from "./formula.ts";
import { conditionOf, type Names, translationOf } from "./formula-of.ts";
import { failingAlways, knownOf } from "./impossible.ts";
import { latestOutcomes } from "./latest-outcomes.ts";
import { saidOfLists } from "./list-entries.ts";
import { ListsAsked } from "./lists-asked.ts";
import { perStep } from "./per-step.ts";
import { type Facts, factCombinations, isMeasured, isUnknown, namesIn } from "./possible-arms.ts";
import { plausibleFormula, rangeFormula } from "./reading-ranges.ts";
import type { OfStep } from "./step-lists.ts";

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
  return analysis.steps.where(hasUses).flatMap(({ index, step }) => {
    if (!isReached(analysis, index)) return [];
    return usesAt(analysis.procedure, step).flatMap((use) => {
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

const hasUses: OfStep = (procedure, step) => usesAt(procedure, step).length > 0;

function failure(analysis: Analysis, index: number, step: Step, use: Use): Why | undefined {
  const { procedure } = analysis;
  const { expression, before, outcome } = use;
  const conditions = [...before, expression];
  const known = knownThere(analysis, index, step, conditions, outcome);
  for (const facts of factCombinations(procedure, conditions) ?? [new Map()]) {
    // A condition on a fact that is not known is not looked at, nor is what stands behind it.
    if (conditions.some((each) => each.facts.some((id) => facts.has(id) && isUnknown(facts.get(id)))))
      continue;
    const lists = new ListsAsked(analysis.procedure);
    const names: Names = {
      ...namesIn(step.id, facts, step.kind === "measure" && outcome !== undefined && outcome !== "cannot"),
      size: (variable) => lists.size(variable),
      listed: (variable, code) => lists.listed(variable, code),
      term: variableSum,
    };
    const found = translationOf(expression, names);
    if (found === undefined) continue;
    // Looked at once beforehand, so that all that is asked of lists is known.
    found.translation.truth(found.tree);
    found.translation.number(found.tree);
    const given = [known, ...before.flatMap((each) => notHeld(each, names)), lists.known()];
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
  return all([...own, ...earlier, ...[...times].map((id) => aboveZero(`elapsed ${id}`, "<"))]);
}
