/** Which steps of a procedure could be answered now, the written order left aside. */
import { unguardedReadings } from "../procedure/expression.ts";
import { expressionsOf } from "../procedure/link-needs.ts";
import type { AskStep, Hazard, MeasureStep, Procedure, Step, StepId } from "../procedure/model.ts";
import { nextSteps } from "../procedure/next-steps.ts";
import { own } from "./own.ts";
import type { Run } from "./run.ts";

/**
 * The steps with evidence that could be answered now, in the order written: not answered yet, their `after` done,
 * and behind no unanswered step that stands on every written way to them and speaks of no fault (an act, a first
 * question, a repair): such steps make safe or make sure, and are never overtaken. None while a repair is on its
 * way to be proven, at a conclusion, or at an end. Never one that meets high voltage or an airbag, and none once
 * such a step was met: from there the only way is the written one, to who is licensed for it.
 */
export function canBeNext(procedure: Procedure, run: Run): readonly (AskStep | MeasureStep)[] {
  const pending = procedure.steps.get(run.step);
  if (pending === undefined || run.phase === "ended" || run.verifying !== undefined) return [];
  if (pending.kind === "conclude" || run.path.some((row) => isReferred(procedure, row.step))) return [];
  const barred = barredSteps(procedure, run);
  return [...procedure.steps.values()].flatMap((step) => {
    if ((step.kind !== "ask" && step.kind !== "measure") || step.evidence === undefined) return [];
    if (step.id === pending.id) return step;
    if (own(run.results, step.id) !== undefined || barred.has(step.id)) return [];
    if (!step.after.every((id) => wasDone(run, id))) return [];
    if (!hasItsReadings(procedure, run, step)) return [];
    return meetsReferredHazard(procedure, step) ? [] : step;
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

function wasDone(run: Run, id: StepId): boolean {
  const result = own(run.results, id);
  return result !== undefined && result.outcome !== "cannot";
}

const REFERRED: readonly Hazard[] = ["electric-high", "airbag"];

function isReferred(procedure: Procedure, id: string): boolean {
  const step = procedure.steps.get(id);
  return step !== undefined && meetsReferredHazard(procedure, step);
}

function meetsReferredHazard(procedure: Procedure, step: Step): boolean {
  const waiting = [...step.needs];
  const seen = new Set<string>();
  const hazards = [...step.hazards];
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    if (seen.has(id)) continue;
    seen.add(id);
    const setUp = procedure.setUps.get(id);
    hazards.push(...(setUp?.hazards ?? []), ...(setUp?.putBack?.hazards ?? []));
    waiting.push(...(setUp?.needs ?? []));
  }
  return REFERRED.some((hazard) => hazards.includes(hazard));
}

/** Steps that no written way comes to, or only ways by something that has to come first and was not done. */
export function barredSteps(procedure: Procedure, run: Run): ReadonlySet<StepId> {
  const { order, before } = gatesOf(procedure);
  const barred = new Set<StepId>(procedure.steps.keys());
  for (const id of order) {
    const gate = before.get(id);
    const step = gate === undefined ? undefined : procedure.steps.get(gate);
    if (step === undefined || (!barred.has(step.id) && !isWaitedFor(run, step))) barred.delete(id);
  }
  return barred;
}

/** Whether it has to come first and did not. Who could not answer a question was asked it all the same. */
function isWaitedFor(run: Run, step: Step): boolean {
  if (step.kind === "do" || step.kind === "conclude") return !wasDone(run, step.id);
  const isAnswered = step.kind === "ask" || step.kind === "measure";
  return isAnswered && step.evidence === undefined && own(run.results, step.id) === undefined;
}

interface Gates {
  /** The steps that the start leads to, each behind its gate. */
  readonly order: readonly StepId[];
  /** The last of the steps that stand on every way from the start to a step; none before the start. */
  readonly before: ReadonlyMap<StepId, StepId>;
}

/** A procedure never changes once linked, and advice is given at every step. */
const GATES = new WeakMap<Procedure, Gates>();

/** Immediate dominators after Cooper, Harvey and Kennedy, A Simple, Fast Dominance Algorithm (2001; memory). */
function gatesOf(procedure: Procedure): Gates {
  const known = GATES.get(procedure);
  if (known !== undefined) return known;
  const order = reversePostorder(procedure);
  const place = new Map(order.map((id, at) => [id, at]));
  const into = order.map((): number[] => []);
  for (const [at, id] of order.entries()) {
    const step = procedure.steps.get(id);
    for (const next of step === undefined ? [] : nextSteps(procedure, step))
      into[place.get(next) ?? -1]?.push(at);
  }
  const gate = new Int32Array(order.length).fill(-1);
  if (order.length > 0) gate[0] = 0;
  for (let changed = true; changed; ) {
    changed = false;
    for (let at = 1; at < order.length; at += 1) {
      let common = -1;
      for (const from of into[at] ?? [])
        if ((gate[from] ?? -1) >= 0) common = common < 0 ? from : commonGate(gate, common, from);
      if (common === gate[at]) continue;
      gate[at] = common;
      changed = true;
    }
  }
  const before = new Map<StepId, StepId>();
  for (const [at, id] of order.entries()) {
    const stands = order[gate[at] ?? -1];
    if (at > 0 && stands !== undefined) before.set(id, stands);
  }
  const gates = { order, before };
  GATES.set(procedure, gates);
  return gates;
}

function commonGate(gate: Int32Array, one: number, other: number): number {
  let a = one;
  let b = other;
  while (a !== b) {
    while (a > b) a = gate[a] ?? 0;
    while (b > a) b = gate[b] ?? 0;
  }
  return a;
}

function reversePostorder(procedure: Procedure): readonly StepId[] {
  const seen = new Set<StepId>();
  const done: StepId[] = [];
  const waiting: { readonly id: StepId; readonly next: Iterator<StepId> }[] = [];
  const visit = (id: StepId): void => {
    const step = procedure.steps.get(id);
    if (step === undefined || seen.has(id)) return;
    seen.add(id);
    waiting.push({ id, next: nextSteps(procedure, step)[Symbol.iterator]() });
  };
  visit(procedure.start);
  for (let top = waiting.at(-1); top !== undefined; top = waiting.at(-1)) {
    const next = top.next.next();
    if (next.done === true) {
      waiting.pop();
      done.push(top.id);
    } else visit(next.value);
  }
  return done.reverse();
}
