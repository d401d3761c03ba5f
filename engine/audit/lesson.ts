/** What one run teaches about how common faults are, and how they show. */
import { own } from "../machine/own.ts";
import type { Run } from "../machine/run.ts";
import type { FaultId, Outcome, Procedure, StepId } from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import type { JudgedReading } from "../quantity/judge.ts";
import { tellingOutcomes } from "../reasoning/likelihood.ts";
import { isAskedAlike } from "./asked-alike.ts";
import { outcomeBy } from "./judged-alike.ts";

export interface Lesson {
  /** The fault whose repair was verified. */
  readonly fault: FaultId;
  /** The faults that its text can conclude and verify: of no other does the run say that it was not there. */
  readonly could: ReadonlySet<FaultId>;
  /** The latest answer of each step before that repair; only of steps with evidence, and of no verification. */
  readonly answers: ReadonlyMap<StepId, Outcome>;
  /** The readings behind those answers, and the limits that were told in the run. */
  readonly readings: ReadonlyMap<StepId, JudgedReading>;
  readonly specifications: Run["specifications"];
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
  const readings = new Map<StepId, JudgedReading>();
  const verifying = verificationRows(procedure, run);
  for (const [at, row] of run.path.slice(0, repair).entries()) {
    const asked = procedure.steps.get(row.step);
    if (asked?.evidence === undefined || verifying.has(at)) continue;
    const told = own(run.told, row.step);
    if (told?.row === at && told.judged !== undefined) readings.set(row.step, told.judged);
    if (tellingOutcomes(asked).includes(row.outcome)) answers.set(row.step, row.outcome);
    // Looked at again without a result: what was seen before no longer counts.
    else answers.delete(row.step);
  }
  const { specifications } = run;
  return { fault, could: verifiableFaults(procedure), answers, readings, specifications };
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

/**
 * The lesson for the text that is to learn from it. Steps that give other outcomes there are left out, and questions
 * that were turned round. Readings are
 * judged by its limits, and left out where the record alone does not say what they are by them: see `judged-alike.ts`.
 */
export function lessonFor(procedure: Procedure, lesson: Lesson, walkedOn: Procedure): Lesson {
  const answers = new Map<StepId, Outcome>();
  for (const [id, was] of lesson.answers) {
    const ours = procedure.steps.get(id);
    const theirs = walkedOn.steps.get(id);
    if (ours === undefined || theirs === undefined || ours.kind !== theirs.kind) continue;
    if (ours.kind === "ask" && theirs.kind === "ask" && !isAskedAlike(ours, theirs)) continue;
    const outcomes = tellingOutcomes(ours);
    if (!isSameSet(outcomes, tellingOutcomes(theirs))) continue;
    const recorded = { judged: lesson.readings.get(id), specifications: lesson.specifications };
    const outcome =
      ours.kind === "measure" && theirs.kind === "measure"
        ? outcomeBy(procedure, ours, walkedOn, theirs, was, recorded)
        : was;
    if (outcome !== undefined && outcomes.includes(outcome)) answers.set(id, outcome);
  }
  return { ...lesson, answers };
}

function isSameSet(some: readonly string[], others: readonly string[]): boolean {
  return JSON.stringify(some.toSorted()) === JSON.stringify(others.toSorted());
}
