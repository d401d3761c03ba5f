/** The one place that says which branch an outcome takes, and what a reading's outcome is. */
import { evaluateExpression } from "../procedure/expression.ts";
import {
  type Branch,
  IMPLIED_ENDS,
  type MeasureStep,
  type Outcome,
  type Procedure,
  type Step,
} from "../procedure/model.ts";
import type { FunctionProblem } from "../quantity/functions.ts";
import { type JudgedReading, judgeReading } from "../quantity/judge.ts";
import { convert } from "../quantity/units.ts";
import type { TypedReading } from "./event.ts";
import { numericBands, numericEnds } from "./limits.ts";
import { own } from "./own.ts";
import type { Refusal } from "./refusal.ts";
import type { Hop, Run, StepResult } from "./run.ts";
import { sceneOf } from "./scene.ts";

/**
 * The branch that a step's outcome takes in this run: its first arm that holds, its `else` once it was taken
 * `at-most` times. A condition that can't be evaluated makes the outcome `cannot`; one on a fact that is not
 * known makes the last arm hold. A used-up branch without `else` leads to the unresolved end.
 */
export function decideBranch(procedure: Procedure, run: Run, step: Step, outcome: Outcome, at: number): Hop {
  const branch = step.outcomes.get(outcome);
  if (branch === undefined) return { step: step.id, outcome, arm: 0, goto: IMPLIED_ENDS.cannot };
  if (usedUp(run, branch))
    return { step: step.id, outcome, arm: "else", goto: branch.else ?? IMPLIED_ENDS.cannot };
  const arm = firstArm(procedure, run, branch, at);
  if (arm === undefined)
    return outcome === "cannot"
      ? { step: step.id, outcome, arm: 0, goto: IMPLIED_ENDS.cannot }
      : decideBranch(procedure, run, step, "cannot", at);
  return { step: step.id, outcome, arm, goto: branch.arms[arm]?.goto ?? IMPLIED_ENDS.cannot };
}

/** The key under which a run counts a branch. */
export function branchKey(branch: { readonly step: string; readonly outcome: string }): string {
  return `${branch.step}:${branch.outcome}`;
}

function usedUp(run: Run, branch: Branch): boolean {
  return branch.atMost !== undefined && (own(run.taken, branchKey(branch)) ?? 0) >= branch.atMost;
}

function firstArm(procedure: Procedure, run: Run, branch: Branch, at: number): number | undefined {
  const last = branch.arms.length - 1;
  const scene = sceneOf(procedure, run, at, own(run.readings, branch.step)?.corrected);
  for (const [index, arm] of branch.arms.entries()) {
    if (arm.if === undefined) return index;
    const holds = evaluateExpression(arm.if, scene);
    if (!holds.ok) return holds.why === "unknown-fact" ? last : undefined;
    if (holds.value === true) return index;
  }
  return last;
}

/**
 * A typed reading judged, with the outcome it has in this run: its band; `borderline` when it is too close to
 * call and that branch is written and not used up; `cannot` when its value or limits can't be reckoned.
 */
export function decideReading(
  procedure: Procedure,
  run: Run,
  step: MeasureStep,
  typed: TypedReading,
  at: number,
): { ok: true; result: StepResult; judged?: JudgedReading } | { ok: false; refusal: Refusal } {
  const scene = sceneOf(procedure, run, at);
  const bands = numericBands(procedure, run, step, scene);
  const value = step.value;
  const ranges = step.instrument && procedure.instruments.get(step.instrument)?.accuracy.get(step.quantity);
  const plausible = step.plausible && numericEnds(procedure, run, step.plausible, step.readingUnit, scene);
  let problem: FunctionProblem | undefined;
  const judgement = judgeReading({
    typed,
    readingUnit: step.readingUnit,
    unit: step.unit,
    bands: bands ?? [],
    scheme: step.judged.by === "nothing" ? "none" : step.judged.by,
    decideAt: step.decideAt ?? procedure.decideAt,
    ...(ranges ? { ranges } : {}),
    ...(step.correct ? { correct: correctionOf(procedure, step) } : {}),
    ...temperatureOf(procedure, step),
    ...(plausible ? { plausible } : {}),
    ...(value
      ? {
          value: (corrected: number) => {
            const result = evaluateExpression(value, sceneOf(procedure, run, at, corrected));
            if (!result.ok) problem ??= result.problem;
            return result.ok && typeof result.value === "number" ? result.value : undefined;
          },
        }
      : {}),
  });
  if (!judgement.ok) {
    if (judgement.problem.code === "no-value")
      return { ok: true, result: { outcome: "cannot", ...(problem ? { problem } : {}) } };
    return { ok: false, refusal: { code: "bad-reading", problem: judgement.problem } };
  }
  const judged = judgement.judged;
  if (bands === undefined) return { ok: true, result: { outcome: "cannot" }, judged };
  const branch = step.outcomes.get("borderline");
  const tooClose = judged.verdict === "too-close";
  const again = tooClose && branch && !(usedUp(run, branch) && branch.else === undefined);
  return {
    ok: true,
    judged,
    result: {
      outcome: again ? "borderline" : judged.picked,
      ...(again ? { picked: judged.picked } : {}),
      ...(tooClose && judged.shares ? { shares: judged.shares } : {}),
    },
  };
}

/**
 * How well the part's temperature is known, by the step's instrument or the only one that measures temperature;
 * where no temperature is asked for, the one that the limits hold at.
 */
function temperatureOf(procedure: Procedure, step: MeasureStep) {
  if (step.correct?.temperature === undefined) {
    const at = specificationOf(procedure, step)?.at;
    return at === undefined ? {} : { reference: at };
  }
  const [only, ...more] = [...procedure.instruments.values()].flatMap((instrument) =>
    [instrument.accuracy.get("temperature")].filter((ranges) => ranges !== undefined),
  );
  const own = step.instrument && procedure.instruments.get(step.instrument)?.accuracy.get("temperature");
  const ranges = own || (more.length === 0 ? only : undefined);
  return ranges === undefined ? {} : { temperatureRanges: ranges };
}

function specificationOf(procedure: Procedure, step: MeasureStep) {
  return step.judged.by === "specification"
    ? procedure.specifications.get(step.judged.specification)
    : undefined;
}

/** The correction as the judge wants it: the specification's `at` is the reference unless one is written. */
function correctionOf(procedure: Procedure, step: MeasureStep) {
  const { leads, temperature, to } = step.correct ?? {};
  const specification = specificationOf(procedure, step);
  const reference = to ?? specification?.at;
  const degrees = reference && convert(reference.value, reference.unit, "degC");
  return {
    ...(leads ? { leads } : {}),
    ...(temperature ? { temperature: { metal: temperature.metal } } : {}),
    ...(degrees === undefined ? {} : { to: { value: degrees, unit: "degC" } }),
    ...(specification?.atWithin ? { toWithin: specification.atWithin } : {}),
  };
}
