/** What one run teaches about how common faults are, and how they show. */
import type { Run } from "../machine/run.ts";
import type { FaultId, Outcome, Procedure, StepId } from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import { tellingOutcomes } from "../reasoning/likelihood.ts";

export interface Lesson {
  /** The fault whose repair was verified. */
  readonly fault: FaultId;
  /** The faults that its text can conclude and verify: of no other does the run say that it was not there. */
  readonly could: ReadonlySet<FaultId>;
  /** The latest answer of each step before that repair; only of steps with evidence, and of no verification. */
  readonly answers: ReadonlyMap<StepId, Outcome>;
}

/** Why a run teaches nothing. */
export type NoLesson = "not-verified" | "several-faults";

/**
 * The lesson of a run whose single concluded fault was repaired and verified. A run that was left, referred or
 * ended without a fault teaches nothing: nobody knows what was behind it. Neither does a conclusion of several
 * faults together: which of them it was stays open.
 */
export function lessonOf(procedure: Procedure, run: Run): Lesson | NoLesson {
  if (run.end !== "fixed") return "not-verified";
  const repair = run.path.findLastIndex(({ outcome }) => outcome === "repaired");
  const step = procedure.steps.get(run.path[repair]?.step ?? "");
  if (step?.kind !== "conclude") return "not-verified";
  const [fault, ...more] = step.faults;
  if (fault === undefined || run.struck.includes(fault)) return "not-verified";
  if (more.length > 0) return "several-faults";
  const answers = new Map<StepId, Outcome>();
  const verifying = verificationRows(procedure, run);
  for (const [at, row] of run.path.slice(0, repair).entries()) {
    const asked = procedure.steps.get(row.step);
    if (asked?.evidence === undefined || verifying.has(at)) continue;
    if (tellingOutcomes(asked).includes(row.outcome)) answers.set(row.step, row.outcome);
    // Looked at again without a result: what was seen before no longer counts.
    else answers.delete(row.step);
  }
  return { fault, could: verifiableFaults(procedure), answers };
}

/** The faults that a conclusion names alone, with a verification behind it. */
export function verifiableFaults(procedure: Procedure): ReadonlySet<FaultId> {
  return new Set(
    [...procedure.steps.values()].flatMap((step) =>
      step.kind === "conclude" && step.verify !== undefined && step.faults.length === 1 ? step.faults : [],
    ),
  );
}

/**
 * Rows of the path that were answered to verify a repair: what they show is whether it helped, of a machine that
 * is no longer as it came in.
 */
function verificationRows(procedure: Procedure, { path }: Run): ReadonlySet<number> {
  const fixable = reachesFixed(procedure);
  const rows = new Set<number>();
  let verifying = false;
  for (const [at, { step, outcome }] of path.entries()) {
    if (!procedure.steps.has(step)) continue;
    // Whoever stands where no verification can end well has left it.
    if (!fixable.has(step)) verifying = false;
    if (verifying) rows.add(at);
    if (outcome === "repaired") verifying = true;
  }
  return rows;
}

/** The lesson without the answers of steps that give other outcomes in the text that is to learn from it. */
export function lessonFor(procedure: Procedure, lesson: Lesson, walkedOn: Procedure): Lesson {
  const outcomesOf = (of: Procedure, id: StepId) => {
    const step = of.steps.get(id);
    return JSON.stringify(step && tellingOutcomes(step).toSorted());
  };
  const answers = [...lesson.answers].filter(
    ([step]) => outcomesOf(procedure, step) === outcomesOf(walkedOn, step),
  );
  return { ...lesson, answers: new Map(answers) };
}
