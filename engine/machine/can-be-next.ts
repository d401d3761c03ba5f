/** Which steps of a procedure could be answered now, the written order left aside. */
import { isOrderFree } from "../procedure/called-rules.ts";
import { evaluateExpression, unguardedReadings } from "../procedure/expression.ts";
import { expressionsOf } from "../procedure/link-needs.ts";
import type { AskStep, Branch, Hazard, MeasureStep, Procedure, Step, StepId } from "../procedure/model.ts";
import { returnBranch } from "../procedure/next-steps.ts";
import { comesFirst } from "./comes-first.ts";
import { putsOffAct } from "./heard-at-once.ts";
import { own } from "./own.ts";
import type { Run } from "./run.ts";
import {
  doesAsSoon,
  oppositeOf,
  type SafetyMarks,
  safetyChanges,
  safetyMarks,
  safetyWants,
} from "./safety-work.ts";
import { factOf, sceneOf } from "./scene.ts";
import { comesUnwarned } from "./stages.ts";

/**
 * The steps with evidence that could be answered now, in the order written: not answered yet, their `after` done,
 * still to come in the written order, and by no way that passes a step which speaks of no fault (an act, a first
 * question, a repair): such steps make safe or make sure, and are never overtaken; nor is a look that does
 * something for safety that this one does not, or only behind other work. Nor one that makes or undoes what has to do
 * with a hazard and what the step that waits would not ({@link safetyChanges}). None while such a step is what
 * the written order asks for, while a repair is on its way to be proven, at a conclusion, or at an end. Never one
 * that meets high voltage or an airbag, and none once such a step or set-up was met or is asked for: from there
 * the only way is the written one, to who is licensed for it. Never one whose work would come before any caution
 * about a hazard of the whole machine: that caution stands at a step to be shown first. Never one of which an answer
 * asks for an act at once ({@link putsOffAct}).
 */
export function canBeNext(procedure: Procedure, run: Run): readonly (AskStep | MeasureStep)[] {
  const pending = procedure.steps.get(run.step);
  if (pending === undefined || run.phase === "ended" || run.verifying !== undefined) return [];
  const met = [pending.id, run.waiting ?? pending.id, ...run.path.map((row) => row.step)];
  if (pending.kind === "conclude" || met.some((id) => isReferred(procedure, id))) return [];
  if (hazardsOf(procedure, run.everMade).some((hazard) => REFERRED.includes(hazard))) return [];
  const barred = barredSteps(procedure, run);
  const waiting = procedure.steps.get(run.waiting ?? run.step);
  const settled = waiting && safetyChanges(procedure, run, waiting);
  return [...procedure.steps.values()].flatMap((step) => {
    if ((step.kind !== "ask" && step.kind !== "measure") || step.evidence === undefined) return [];
    if (step.id === pending.id) return step;
    if (own(run.results, step.id) !== undefined || barred.has(step.id)) return [];
    if (!step.after.every((id) => wasDone(procedure, run, id))) return [];
    if (!hasItsReadings(procedure, run, step)) return [];
    if (meetsReferredHazard(procedure, step) || comesUnwarned(procedure, run, step)) return [];
    if ([...safetyChanges(procedure, run, step)].some((change) => settled?.has(change) !== true)) return [];
    return putsOffAct(procedure, run, step) ? [] : step;
  });
}

/** Whether its limits and formula can be reckoned: what they use of other steps was read. */
function hasItsReadings(procedure: Procedure, run: Run, step: Step): boolean {
  const conditions = new Set(
    [...step.outcomes.values()].flatMap((branch) => branch.arms.flatMap((arm) => arm.if ?? [])),
  );
  return [...expressionsOf(procedure, step)].every(
    (expression) =>
      conditions.has(expression) ||
      (unguardedReadings(expression).every((id) => own(run.readings, id) !== undefined) &&
        expression.elapsed.every((id) => own(run.entered, id) !== undefined)),
  );
}

/** Whether a step was answered or done; a call has been where it has returned. */
function wasDone(procedure: Procedure, run: Run, id: StepId): boolean {
  if (procedure.steps.get(id)?.kind === "call") return run.path.some(({ step }) => step === id);
  const result = own(run.results, id);
  return result !== undefined && result.outcome !== "cannot";
}

const REFERRED: readonly Hazard[] = ["electric-high", "airbag"];

function isReferred(procedure: Procedure, id: string): boolean {
  const step = procedure.steps.get(id);
  return step !== undefined && meetsReferredHazard(procedure, step);
}

/**
 * Whether a step or other work, or a set-up that it needs, meets high voltage or an airbag: work for who is licensed
 * for it.
 */
export function meetsReferredHazard(procedure: Procedure, step: Pick<Step, "hazards" | "needs">): boolean {
  return [...step.hazards, ...hazardsOf(procedure, step.needs)].some((hazard) => REFERRED.includes(hazard));
}

/** What making set-ups, and all that they need, meets, and putting them back. */
function hazardsOf(procedure: Procedure, setUps: readonly string[]): readonly Hazard[] {
  const hazards: Hazard[] = [];
  const all = new Set(setUps);
  for (const id of all) {
    const setUp = procedure.setUps.get(id);
    hazards.push(...(setUp?.hazards ?? []), ...(setUp?.putBack?.hazards ?? []));
    for (const need of setUp?.needs ?? []) all.add(need);
  }
  return hazards;
}

/**
 * Steps that the written order does not come to from where it stands, or can come to by way of an act or of a
 * question that tells nothing of the faults: what has to come first on one way could be what makes safe. So are
 * those behind a look that still does something for safety which they don't do themselves as soon
 * ({@link safetyMarks}), and looks behind one that wants the opposite of a set-up that has to do with a hazard
 * ({@link safetyWants}). Where the order is free, a called procedure that does not say so keeps its own: its steps
 * are barred, and while the run stands at one all are. Answers given by choice are followed by their own branch,
 * conditions as far as facts and readings decide them; nothing is looked for behind a conclusion. On the safe side:
 * an act on a way back to a step bars that step too.
 */
export function barredSteps(procedure: Procedure, run: Run): ReadonlySet<StepId> {
  const written = run.waiting ?? run.step;
  const on = waysOn(procedure, run);
  const open = stepsFrom(on, [written]);
  const barred = new Set([...procedure.steps.keys()].filter((id) => !open.has(id)));
  if (procedure.freeOrder) addKeptInOrder(procedure, written, barred);
  const first: StepId[] = [];
  const marks = new Map<StepId, SafetyMarks>();
  /** Looks that do the same thing for safety with the same work before it. */
  const marked = new Map<string, Marked>();
  const wants = new Map<StepId, ReadonlySet<string>>();
  const wanting = new Map<string, StepId[]>();
  for (const id of open) {
    const step = procedure.steps.get(id);
    if (step === undefined) continue;
    if (comesFirst(step)) first.push(id);
    const does = safetyMarks(procedure, run, step);
    marks.set(id, does);
    if ((step.kind !== "ask" && step.kind !== "measure") || run.ahead?.includes(id)) continue;
    const own = safetyWants(procedure, step);
    wants.set(id, own);
    for (const want of own) {
      const looks = wanting.get(want);
      if (looks === undefined) wanting.set(want, [id]);
      else looks.push(id);
    }
    for (const [mark, before] of does) {
      const key = JSON.stringify([mark, ...before]);
      const alike = marked.get(key);
      if (alike === undefined) marked.set(key, { mark, before, looks: [id] });
      else alike.looks.push(id);
    }
  }
  for (const id of stepsFrom(on, first)) barred.add(id);
  for (const { mark, before, looks } of marked.values())
    for (const id of stepsFrom(on, looks))
      if (!doesAsSoon(marks.get(id) ?? NONE, mark, before)) barred.add(id);
  for (const [want, looks] of wanting) {
    const opposite = oppositeOf(want);
    if (!wanting.has(opposite)) continue;
    for (const id of stepsFrom(on, looks)) if (wants.get(id)?.has(opposite) === true) barred.add(id);
  }
  return barred;
}

/** All steps that the written order can still come to, answers given by choice followed by their own branch. */
export function openSteps(procedure: Procedure, run: Run): ReadonlySet<StepId> {
  return stepsFrom(waysOn(procedure, run), [run.waiting ?? run.step]);
}

interface Marked {
  readonly mark: string;
  readonly before: ReadonlySet<string>;
  readonly looks: StepId[];
}

const NONE: SafetyMarks = new Map();

/** Steps that can come once a branch is taken, as far as facts and readings are known; nothing behind a conclusion. */
export function comingBy(procedure: Procedure, run: Run, branch: Branch): ReadonlySet<StepId> {
  return stepsFrom(waysOn(procedure, run), targetsOf(procedure, run, branch));
}

/** The steps of a call that keeps its order; all of them while the run stands in such a call. */
function addKeptInOrder(procedure: Procedure, written: StepId, barred: Set<StepId>): void {
  const now = procedure.steps.get(written);
  const isKept = now !== undefined && !isOrderFree(procedure, now);
  for (const [id, step] of procedure.steps) if (isKept || !isOrderFree(procedure, step)) barred.add(id);
}

/** The steps that can come right after one. */
type Ways = (id: StepId) => readonly StepId[];

/** The ways on in this run, each reckoned once; none behind a conclusion. */
function waysOn(procedure: Procedure, run: Run): Ways {
  const known = new Map<StepId, readonly StepId[]>();
  return (id) => {
    const before = known.get(id);
    if (before !== undefined) return before;
    const step = procedure.steps.get(id);
    const next =
      step === undefined || step.kind === "conclude"
        ? []
        : step.kind === "call"
          ? [step.entry]
          : branchesOf(procedure, run, step);
    known.set(id, next);
    return next;
  };
}

/** Steps with all that can come behind them in this run, conclusions and what they lead to left alone. */
function stepsFrom(on: Ways, from: readonly StepId[]): ReadonlySet<StepId> {
  const seen = new Set<StepId>(from);
  for (const id of seen) for (const next of on(id)) seen.add(next);
  return seen;
}

function branchesOf(procedure: Procedure, run: Run, step: Step): readonly StepId[] {
  if (step.kind === "end") {
    const branch = returnBranch(procedure, step);
    return branch === undefined ? [] : targetsOf(procedure, run, branch);
  }
  const given = run.ahead?.includes(step.id) ? own(run.results, step.id) : undefined;
  const branch = given === undefined ? undefined : step.outcomes.get(given.outcome);
  const branches = branch === undefined ? [...step.outcomes.values()] : [branch];
  return branches.flatMap((each) => targetsOf(procedure, run, each));
}

/** Where a branch can lead: arms that known facts and readings rule out are left out. */
function targetsOf(procedure: Procedure, run: Run, branch: Branch): readonly StepId[] {
  const rest = branch.else === undefined ? [] : [branch.else];
  const scene = sceneOf(procedure, run, 0);
  for (const arm of branch.arms) {
    const condition = arm.if;
    const isKnown =
      condition?.elapsed.length === 0 &&
      condition.readings.every((id) => own(run.readings, id) !== undefined) &&
      condition.facts.every((id) => factOf(procedure, run, id) !== undefined);
    const holds = condition !== undefined && isKnown ? evaluateExpression(condition, scene) : undefined;
    if (holds?.ok === true && holds.value !== true) continue;
    rest.push(arm.goto);
    if (condition === undefined || holds?.ok === true) break;
  }
  return rest;
}
