/**
 * The tests of a written order, from the ways that lead through it to a conclusion or an end. A step that is asked is
 * a test, and so are acts and questions that tell nothing of the faults: they have to be made where they stand. A
 * call is one test, what is inside stays in its order. A fact or a condition that turns a branch is one, too.
 */
import type { Outcome } from "../../procedure/model.ts";
import { type BulkProcedure, CONCLUDES } from "../bulk-procedure.ts";
import { type FaultModel, faultModel } from "../fault-model.ts";
import { tellingOutcomes } from "../likelihood.ts";
import type { PlanAnswer, PlanOutcome } from "./problem.ts";
import { type Passed, shareOf, type WrittenWay } from "./written-ways.ts";

export interface PlannedTest {
  readonly kind: "step" | "call" | "draw";
  readonly id: string;
  /** The step that is asked, the call, or the step whose branch turns. */
  readonly step: number;
  /** By outcome: what is walked. */
  readonly walked: readonly (readonly Passed[])[];
  /** By outcome: the conclusion inside a call that it ends with, -1 where it goes on. */
  readonly inside: readonly number[];
}

export interface TestsOfWays {
  readonly planned: readonly PlannedTest[];
  /** What each way showed, in tests, in the order given. */
  readonly answers: readonly (readonly PlanAnswer[])[];
}

export function testsOfWays(bulk: BulkProcedure, written: readonly WrittenWay[]): TestsOfWays {
  const callOf = outermostCalls(bulk);
  const found = new Map<string, Found>();
  const pieces = written.map((way) =>
    piecesOf(bulk, way, callOf).map((piece) => {
      const one = found.get(piece.key) ?? foundAt(bulk, piece);
      found.set(piece.key, one);
      const shape = shapeOf(piece.walked);
      if (!one.outcomes.has(shape)) one.outcomes.set(shape, piece);
      return { one, shape };
    }),
  );
  // In the order of the file; what turns a branch stands behind its step.
  const all = [...found.values()].sort((a, b) => a.step - b.step || (a.kind === "draw" ? 1 : -1));
  for (const one of all) inFileOrder(bulk, one);
  const numbers = new Map(all.map((one, number) => [one, number]));
  return {
    planned: all.map(({ kind, id, step, outcomes }) => ({
      kind,
      id,
      step,
      walked: [...outcomes.values()].map(({ walked }) => walked),
      inside: [...outcomes.values()].map(({ inside }) => inside),
    })),
    answers: pieces.map((way) =>
      way.map(({ one, shape }) => ({
        test: numbers.get(one) ?? -1,
        outcome: [...one.outcomes.keys()].indexOf(shape),
      })),
    ),
  };
}

/** Whether a step's answers tell faults apart. */
export function isTelling(bulk: BulkProcedure, at: number): boolean {
  const step = bulk.steps[at];
  return step?.evidence !== undefined && tellingOutcomes(step).length > 1;
}

function tellingNumbers(bulk: BulkProcedure, at: number): readonly number[] {
  const step = bulk.steps[at];
  if (step === undefined) return [];
  return tellingOutcomes(step).flatMap((outcome) => {
    const number = bulk.outcomes[at]?.indexOf(outcome) ?? -1;
    return number < 0 ? [] : [number];
  });
}

/** The outcomes as the planner counts them. */
export function outcomesOf(bulk: BulkProcedure, test: PlannedTest): readonly PlanOutcome[] {
  const model = faultModel(bulk);
  const chances = test.walked.map((walked) =>
    model.rows.map((_, fault) => walked.reduce((p, passed) => p * chanceOf(model, fault, passed), 1)),
  );
  const sums = model.rows.map((_, fault) => chances.reduce((sum, row) => sum + (row[fault] ?? 0), 0));
  return test.walked.map((walked, number) => {
    const inside = test.inside[number] ?? -1;
    return {
      id: walked.map((passed) => wordOf(bulk, passed)).join("/"),
      minutes: walked.reduce((sum, one) => sum + ("step" in one ? (bulk.minutes[one.step] ?? 0) : 0), 0),
      // A fault that allows none of them is never there: any share will do, as long as they sum to 1.
      chances: (chances[number] ?? []).map((p, fault) =>
        (sums[fault] ?? 0) > 0 ? p / (sums[fault] ?? 1) : 1 / test.walked.length,
      ),
      ends: inside >= 0,
      ...(inside < 0 ? {} : { concludes: [...(bulk.concluded[inside] ?? [])] }),
    };
  });
}

interface Piece {
  readonly key: string;
  readonly walked: readonly Passed[];
  readonly call: number;
  readonly inside: number;
}

interface Found {
  readonly kind: PlannedTest["kind"];
  readonly id: string;
  readonly step: number;
  outcomes: Map<string, Piece>;
}

/** The same for the same outcome, wherever a fact was first asked for. */
function shapeOf(walked: readonly Passed[]): string {
  return walked
    .map((passed) =>
      "step" in passed ? `${passed.step}=${passed.outcome}` : `${passed.drawn}=${passed.value}`,
    )
    .join();
}

/** A way in pieces: a step each, a call's steps together. */
function piecesOf(bulk: BulkProcedure, way: WrittenWay, callOf: (at: number) => number): readonly Piece[] {
  const pieces: Piece[] = [];
  const stepOf = (passed: Passed) =>
    "step" in passed ? passed.step : (bulk.branchStep[passed.branch] ?? -1);
  for (let from = 0; from < way.passed.length; ) {
    const first = way.passed[from];
    if (first === undefined) break;
    const call = callOf(stepOf(first));
    let to = from + 1;
    while (call !== -1 && to < way.passed.length) {
      const next = way.passed[to];
      if (next === undefined || callOf(stepOf(next)) !== call) break;
      to += 1;
    }
    const last = to === way.passed.length;
    const inside =
      last && call !== -1 && callOf(way.step) === call && bulk.kind[way.step] === CONCLUDES ? way.step : -1;
    const key = call !== -1 ? `call ${call}` : "step" in first ? `step ${first.step}` : first.drawn;
    pieces.push({ key, walked: way.passed.slice(from, to), call, inside });
    from = to;
  }
  return pieces;
}

function foundAt(bulk: BulkProcedure, { walked: [first], call }: Piece): Found {
  const outcomes = new Map<string, Piece>();
  if (call !== -1) return { kind: "call", id: bulk.steps[call]?.id ?? "", step: call, outcomes };
  if (first === undefined) return { kind: "step", id: "", step: -1, outcomes };
  if ("step" in first)
    return { kind: "step", id: bulk.steps[first.step]?.id ?? "", step: first.step, outcomes };
  const step = bulk.branchStep[first.branch] ?? -1;
  const fact = factOf(bulk, first.drawn);
  const branch = bulk.branches[first.branch];
  const id = fact === undefined ? `${branch?.step}/${branch?.outcome}` : `facts/${fact.id}`;
  return { kind: "draw", id, step, outcomes };
}

/** Outcomes in the order of the file, so that nothing hangs on which way came first. */
function inFileOrder(bulk: BulkProcedure, one: Found): void {
  // A test's answers that no fault shows have to lead somewhere as well.
  if (one.kind === "step" && isTelling(bulk, one.step))
    for (const number of tellingNumbers(bulk, one.step)) {
      const walked = [{ step: one.step, outcome: number }];
      const shape = shapeOf(walked);
      if (!one.outcomes.has(shape)) one.outcomes.set(shape, { key: "", walked, call: -1, inside: -1 });
    }
  const place = ({ walked }: Piece) =>
    walked.map((passed) => ("step" in passed ? passed.outcome : passed.value));
  one.outcomes = new Map(
    [...one.outcomes].sort(([, a], [, b]) => {
      const [left, right] = [place(a), place(b)];
      for (const [index, number] of left.entries()) {
        const other = right[index] ?? -1;
        if (number !== other) return number - other;
      }
      return left.length - right.length;
    }),
  );
}

function chanceOf(model: FaultModel, fault: number, passed: Passed): number {
  return "step" in passed ? shareOf(model, fault, passed.step, passed.outcome) : 1 / passed.many;
}

function wordOf(bulk: BulkProcedure, passed: Passed): Outcome {
  if ("step" in passed) return bulk.outcomes[passed.step]?.[passed.outcome] ?? "";
  const choice = factOf(bulk, passed.drawn)?.choices[passed.value];
  return choice?.id ?? bulk.branches[passed.branch]?.arms[passed.value]?.goto ?? "";
}

function factOf(bulk: BulkProcedure, drawn: string) {
  const [kind, number] = drawn.split(" ");
  return kind === "fact" ? [...bulk.procedure.facts.values()][Number(number)] : undefined;
}

/** For each step the outermost call it stands in, -1 at the top. */
export function outermostCalls(bulk: BulkProcedure): (at: number) => number {
  const calls = bulk.steps.map((step) =>
    step.scope === "" ? -1 : (bulk.indexOf.get(step.scope.slice(0, step.scope.indexOf("/"))) ?? -1),
  );
  return (at) => calls[at] ?? -1;
}
