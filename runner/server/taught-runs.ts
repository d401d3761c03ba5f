/** What the shop's own runs of a procedure teach, each walked again on the text it was walked on. */
import { type Lesson, lessonFor, lessonOf, type NoLesson } from "../../engine/audit/lesson.ts";
import { openingOf, replayRecord, verifyRecord } from "../../engine/machine/record.ts";
import type { Procedure, StepId } from "../../engine/procedure/model.ts";
import { linkTexts } from "../session/link-texts.ts";
import type { Store } from "../store/store.ts";

export interface TaughtRuns {
  /** Runs of the procedure, of any revision. */
  readonly runs: number;
  readonly lessons: readonly Lesson[];
  /** Why the other runs teach nothing, and how many. */
  readonly leftOut: Readonly<Record<Untaught, number>>;
  /**
   * Answers of the lessons that are left out, for their step gives other outcomes now, asks the other way round, or
   * judges otherwise: how many, by step.
   */
  readonly otherAnswers: ReadonlyMap<StepId, number>;
}

/**
 * `record-broken`: its lines are not as they were written. `text-not-known`: its text is not kept here, or is not as
 * it was kept. `not-walkable`: its text does not walk it.
 */
type Untaught = NoLesson | "record-broken" | "text-not-known" | "not-walkable";

/** The lessons of the stored runs of a procedure, of whatever revision, for its text as it is; the earliest first. */
export async function taughtRuns(store: Store, procedure: Procedure): Promise<TaughtRuns> {
  const all = await store.listRuns(Number.MAX_SAFE_INTEGER);
  const runs = all.filter((run) => run.procedure === procedure.id).reverse();
  const lessons: Lesson[] = [];
  const leftOut: Record<Untaught, number> = {
    "not-verified": 0,
    "several-faults": 0,
    "record-broken": 0,
    "text-not-known": 0,
    "not-walkable": 0,
  };
  const otherAnswers = new Map<StepId, number>();
  const linked = new Map<string, Procedure | undefined>();
  const lessonIn = async (run: string): Promise<Lesson | Untaught> => {
    const verified = verifyRecord(await store.readLines(run));
    const first = verified.ok ? verified.lines[0] : undefined;
    if (!verified.ok || first === undefined) return "record-broken";
    const { hash, equipment, at } = openingOf(first);
    const bundle = await store.readBundle(hash, at);
    const key = JSON.stringify([hash, equipment, bundle?.equipment.get(equipment ?? "")]);
    if (!linked.has(key))
      linked.set(key, bundle && linkTexts({ ...bundle, id: bundle.procedure }, equipment));
    const text = linked.get(key);
    if (text === undefined || text.hash !== hash) return "text-not-known";
    const replayed = replayRecord(text, verified.lines);
    if (!replayed.ok) return "not-walkable";
    const lesson = lessonOf(text, replayed.run);
    if (typeof lesson === "string") return lesson;
    const ours = lessonFor(procedure, lesson, text);
    for (const step of lesson.answers.keys())
      if (!ours.answers.has(step)) otherAnswers.set(step, (otherAnswers.get(step) ?? 0) + 1);
    return ours;
  };
  for (const { run, end } of runs) {
    // Only a run that ended fixed was verified; the others need not be walked.
    const lesson = end === undefined || end === "fixed" ? await lessonIn(run) : "not-verified";
    if (typeof lesson === "string") leftOut[lesson] += 1;
    else lessons.push(lesson);
  }
  return { runs: runs.length, lessons, leftOut, otherAnswers };
}
