import { evaluateExpression, NOTHING_KNOWN } from "../procedure/expression.ts";
import type { Finding } from "../procedure/finding.ts";
import type {
  Branch,
  Expression,
  MeasureStep,
  Outcome,
  Procedure,
  Step,
  StepId,
} from "../procedure/model.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import { all, type Formula } from "./formula.ts";
import { latestOutcomes } from "./latest-outcomes.ts";
import { isOutcomePossible, possibleArms } from "./possible-arms.ts";
import { rangeFormula } from "./reading-ranges.ts";
import type { OfStep } from "./step-lists.ts";

/**
 * `impossible-branch`: arms that nothing a run can know takes, and outcomes of a measure step whose computed value
 * or plausible readings never come to lie in them. So is `borderline` where the step names no instrument or judges
 * nothing: no reading is too close then. An instrument without accuracy is let be, since a sheet may bring it.
 *
 * Exact for conditions on facts with choices, and for linear arithmetic over readings, values, times and measured
 * facts, `abs`, `min`, `max` and `?:` included, each earlier reading held to the outcomes it can have had on the
 * ways here. Every arm listed is impossible. One that is not listed can still be: where a condition multiplies
 * readings or looks into lists, where readings are bound to each other by the way taken, or where facts asked
 * before rule it out.
 */
export function checkArms(analysis: Analysis): readonly Finding[] {
  const before = new Map<StepId, ReturnType<typeof latestOutcomes>>();
  const outcomesBefore = (id: StepId) => {
    const known = before.get(id) ?? latestOutcomes(analysis, id);
    before.set(id, known);
    return known;
  };
  return analysis.steps.where(mayBeBarred).flatMap(({ index, step }) => {
    if (!isReached(analysis, index)) return [];
    return [
      ...impossibleOutcomes(analysis, step),
      ...[...step.outcomes.values()].flatMap((branch) =>
        impossibleArms(analysis, branch, index, outcomesBefore),
      ),
    ];
  });
}

/** Whether something may bar an outcome or an arm of a step: a condition, a formula, a plausible range. */
const mayBeBarred: OfStep = (_, step) => {
  for (const { arms, outcome } of step.outcomes.values()) {
    if (arms.length > 1) return true;
    if (step.kind === "measure" && outcome === "borderline" && neverTooClose(step) !== undefined) return true;
  }
  return step.kind === "measure" && (step.value !== undefined || step.plausible !== undefined);
};

function impossibleOutcomes({ procedure }: Analysis, step: Step): readonly Finding[] {
  if (step.kind !== "measure") return [];
  const isLimited = step.value !== undefined || step.plausible !== undefined;
  return [...step.outcomes.values()].flatMap(({ outcome, node, implied }) => {
    const why =
      outcome === "borderline"
        ? neverTooClose(step)
        : implied || !isLimited || isOutcomePossible(procedure, step.id, outcome)
          ? undefined
          : step.value === undefined
            ? "plausible"
            : "value";
    return why === undefined
      ? []
      : {
          code: "impossible-branch" as const,
          severity: "error" as const,
          params: { step: step.id, outcome, why },
          node,
          step: step.id,
        };
  });
}

function neverTooClose({ instrument, judged }: MeasureStep): string | undefined {
  if (judged.by === "nothing") return "not-judged";
  return instrument === undefined ? "no-instrument" : undefined;
}

function impossibleArms(
  analysis: Analysis,
  branch: Branch,
  index: number,
  outcomesBefore: (id: StepId) => (index: number) => ReadonlySet<Outcome> | undefined,
): readonly Finding[] {
  const { procedure } = analysis;
  if (branch.arms.length < 2 || givenRulesOut(analysis, branch.arms)) return [];
  const failing = failingAlways(procedure, branch);
  if (failing !== undefined)
    return [
      {
        code: "bad-expression",
        severity: "error",
        params: { text: failing.text, why: "always-fails", step: branch.step },
        node: failing.node,
        step: branch.step,
      },
    ];
  const readings = new Set(branch.arms.flatMap((arm) => arm.if?.readings ?? []));
  readings.delete(branch.step);
  // A call's branch is decided where the called procedure ends; there, more is known than here.
  const known = readings.size === 0 || procedure.steps.get(branch.step)?.kind === "call" ? [] : [...readings];
  const possible =
    known.length === 0
      ? undefined
      : possibleArms(
          procedure,
          branch,
          all(known.map((id) => knownOf(analysis, id, outcomesBefore(id)(index)))),
        );
  return branch.arms.flatMap((arm, number) =>
    armFacts(procedure, branch, number) === "never" || possible?.has(number) === false
      ? {
          code: "impossible-branch" as const,
          severity: "error" as const,
          params: { step: branch.step, outcome: branch.outcome, why: "condition", goto: arm.goto },
          node: arm.node,
          step: branch.step,
        }
      : [],
  );
}

/** What an earlier reading can have been, by the outcomes that it can have had. */
export function knownOf(
  { procedure }: Analysis,
  id: StepId,
  outcomes: ReadonlySet<Outcome> | undefined,
): Formula {
  const step = procedure.steps.get(id);
  return step?.kind === "measure" ? rangeFormula(procedure, step, outcomes) : all([]);
}

/** The condition that no run can work out, where for that reason none takes any arm. */
export function failingAlways(procedure: Procedure, branch: Branch): Expression | undefined {
  if (branch.arms.length < 2) return undefined;
  if ([...branch.arms.keys()].some((arm) => armFacts(procedure, branch, arm) !== "never")) return undefined;
  const conditions = branch.arms.flatMap((arm) => arm.if ?? []);
  return conditions.find((each) => !evaluateExpression(each, NOTHING_KNOWN).ok) ?? conditions[0];
}

/** A fact that the call or the equipment sheet gives is there to leave arms out. */
function givenRulesOut(
  analysis: Analysis,
  arms: readonly { readonly if?: { readonly facts: readonly string[] } }[],
): boolean {
  return arms.some((arm) =>
    arm.if?.facts.some((id) => analysis.procedure.facts.get(id)?.given !== undefined),
  );
}
