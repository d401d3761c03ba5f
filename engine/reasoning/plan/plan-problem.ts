/**
 * The test-sequencing problem of a procedure: its steps with evidence, to be made in any order.
 *
 * - Steps without evidence stay in front of what they stand in front of: those before the first test in front of
 *   all, a charge before a test of the charged battery in front of that test, whenever it is made.
 * - A call is one test: what is inside it stays in its order. It ends where it concludes or returns.
 * - Steps that only come after a repair are no tests.
 * - Where the written order gives up (a referral, a dead end), any order may give up with the same answers.
 */

import type { Procedure, StepId } from "../../procedure/model.ts";
import { ASKS, type BulkProcedure, bulkProcedure, CALLS, CONCLUDES, ENDS } from "../bulk-procedure.ts";
import { type FaultModel, faultModel } from "../fault-model.ts";
import { tellingOutcomes } from "../likelihood.ts";
import type { PlanAnswer, PlanOutcome, PlanProblem, PlanSetUps } from "./problem.ts";
import { shareOf, type WrittenWay, writtenWays } from "./written-ways.ts";

/** A test with the steps that it is made of. */
export interface PlannedTest {
  /** The step that is asked, or the call. */
  readonly step: number;
  /** Steps done before it, each time it is made. */
  readonly leadIn: readonly number[];
  /** By outcome: the steps walked, the lead-in included, with what each of them showed. */
  readonly walked: readonly (readonly { readonly step: number; readonly outcome: number }[])[];
}

export interface ProcedurePlan {
  readonly bulk: BulkProcedure;
  readonly problem: PlanProblem;
  readonly planned: readonly PlannedTest[];
  /** Steps that stand in front of all tests. */
  readonly front: ReadonlySet<number>;
  /** Minutes of the front, its set-ups put back; those of ways that end there included. */
  readonly frontMinutes: number;
  /** How often the front leads to a test at all. */
  readonly reached: number;
  readonly written: readonly WrittenWay[];
}

export function procedurePlan(procedure: Procedure): ProcedurePlan {
  const bulk = bulkProcedure(procedure);
  const model = faultModel(bulk);
  const written = writtenWays(bulk);
  const before = beforeRepair(bulk);
  const callOf = outermostCalls(bulk);
  const isTest = (at: number): boolean => before.has(at) && bulk.kind[at] === ASKS && isTelling(bulk, at);
  const first = frontOf(bulk, isTest, callOf);
  const leadIn = leadIns(bulk, before, first.steps);
  const calling = new Set([...before].flatMap((at) => (isTest(at) && callOf(at) !== -1 ? [callOf(at)] : [])));
  const planned = [...bulk.steps.keys()].flatMap((at): PlannedTest[] => {
    if (callOf(at) !== -1) return [];
    if (calling.has(at)) return [calledTest(bulk, model, at, leadIn(at))];
    if (!isTest(at)) return [];
    const before = leadIn(at);
    const lead = before.map((step) => ({ step, outcome: 0 }));
    return [
      {
        step: at,
        leadIn: before,
        walked: tellingNumbers(bulk, at).map((outcome) => [...lead, { step: at, outcome }]),
      },
    ];
  });
  const testOf = new Map(
    planned.flatMap((test, number) => [
      [test.step, number] as const,
      ...test.leadIn.map((step) => [step, number] as const),
    ]),
  );
  const testAt = (at: number): number | undefined => testOf.get(callOf(at) === -1 ? at : callOf(at));
  const tests = planned.map((test, number) => ({
    id: bulk.steps[test.step]?.id ?? "",
    after: afterOf(bulk, test, number, testAt),
    outcomes: outcomesOf(bulk, model, test),
  }));
  return {
    bulk,
    planned,
    front: first.steps,
    ...frontCost(bulk, written, isTest),
    written,
    problem: {
      weights: [...procedure.faults.values()].map((fault) => fault.prior),
      tests,
      setUps: setUpsOf(bulk, planned),
      made: first.made,
      groups: groupsOf(bulk, before),
      certainty: procedure.certainty,
      ended: endedOf(bulk, written, planned),
    },
  };
}

function isTelling(bulk: BulkProcedure, at: number): boolean {
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

/** Where a branch can lead, its `else` left out. */
function targetsOf(bulk: BulkProcedure, branch: number): readonly number[] {
  return [...bulk.armTo.slice(bulk.firstArm[branch], bulk.firstArm[branch + 1])];
}

/** Where a step can lead before any repair; through a call and back as well. */
function nextOf(bulk: BulkProcedure, at: number): readonly number[] {
  const kind = bulk.kind[at];
  if (kind === CALLS) return [bulk.next[at] ?? -1];
  if (kind === CONCLUDES) return [];
  if (kind === ENDS) {
    const back = bulk.returnBranch[at] ?? -1;
    return back < 0 ? [] : targetsOf(bulk, back);
  }
  const next: number[] = [];
  for (let branch = bulk.firstBranch[at] ?? 0; branch < (bulk.firstBranch[at + 1] ?? 0); branch += 1)
    next.push(...targetsOf(bulk, branch));
  return next;
}

/** Steps that can be come to without a conclusion on the way; conclusions themselves included. */
function beforeRepair(bulk: BulkProcedure): ReadonlySet<number> {
  const seen = new Set<number>();
  const waiting = [bulk.start];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (at < 0 || seen.has(at)) continue;
    seen.add(at);
    waiting.push(...nextOf(bulk, at));
  }
  return seen;
}

/** For each step the outermost call it stands in, -1 at the top. */
function outermostCalls(bulk: BulkProcedure): (at: number) => number {
  const calls = bulk.steps.map((step) =>
    step.scope === "" ? -1 : (bulk.indexOf.get(step.scope.slice(0, step.scope.indexOf("/"))) ?? -1),
  );
  return (at) => calls[at] ?? -1;
}

/** What stands before the first test, and what is made when it is come to. */
function frontOf(
  bulk: BulkProcedure,
  isTest: (at: number) => boolean,
  callOf: (at: number) => number,
): { readonly steps: ReadonlySet<number>; readonly made: number } {
  const steps = new Set<number>();
  const made = new Map<number, number>();
  const waiting: (readonly [number, number])[] = [[bulk.start, 0]];
  const seen = new Set<string>();
  for (let one = waiting.pop(); one !== undefined; one = waiting.pop()) {
    const [at, there] = one;
    const key = `${at} ${there}`;
    if (at < 0 || seen.has(key) || bulk.kind[at] === CONCLUDES) continue;
    seen.add(key);
    if (isTest(at)) {
      made.set(there, (made.get(there) ?? 0) + 1);
      continue;
    }
    if (callOf(at) === -1 && bulk.kind[at] === ASKS) steps.add(at);
    const after = bulk.kind[at] === ASKS ? bulk.setUps.after(at, there, false) : there;
    for (const next of nextOf(bulk, at)) waiting.push([next, after]);
  }
  // Where the front leads to tests in different states, the plan begins with what all of them have: nothing more.
  return { steps, made: made.size === 1 ? ([...made.keys()][0] ?? 0) : 0 };
}

/** Minutes until the first test, and how often one is come to. */
function frontCost(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  isTest: (at: number) => boolean,
): { readonly frontMinutes: number; readonly reached: number } {
  let reached = 0;
  for (const way of written)
    if ([...way.shown.keys()].some(isTest)) reached += way.weights.reduce((sum, weight) => sum + weight, 0);
  const ways = writtenWays(bulk, {
    before: (walk, shown, weights) =>
      isTest(walk.step) ? [{ walk: { ...walk }, weights, shown, done: true }] : undefined,
  });
  let minutes = 0;
  for (const way of ways) minutes += way.minutes * way.weights.reduce((sum, weight) => sum + weight, 0);
  return { frontMinutes: minutes, reached };
}

/** Steps without a choice that are always done right before a step, outside the front. */
function leadIns(
  bulk: BulkProcedure,
  before: ReadonlySet<number>,
  front: ReadonlySet<number>,
): (at: number) => readonly number[] {
  const from = new Map<number, Set<number>>();
  for (const step of before)
    for (const next of nextOf(bulk, step)) {
      if (next === step) continue;
      const known = from.get(next);
      if (known === undefined) from.set(next, new Set([step]));
      else known.add(step);
    }
  const plain = (at: number): boolean => {
    const step = bulk.steps[at];
    return step?.kind === "do" || (step?.kind === "measure" && step.judged.by === "nothing");
  };
  return (at) => {
    const lead: number[] = [];
    for (let here = at; ; ) {
      const [only, other] = from.get(here) ?? [];
      if (only === undefined || other !== undefined || front.has(only) || lead.includes(only)) return lead;
      if (!plain(only)) return lead;
      lead.unshift(only);
      here = only;
    }
  };
}

/** A call as one test: its leaves are where it concludes, ends or returns. */
function calledTest(
  bulk: BulkProcedure,
  model: FaultModel,
  call: number,
  leadIn: readonly number[],
): PlannedTest {
  const lead = leadIn.map((step) => ({ step, outcome: 0 }));
  const leaves: { step: number; outcome: number }[][] = [];
  const possible = (at: number, outcome: number) =>
    model.rows.some((_, fault) => shareOf(model, fault, at, outcome) > 0);
  const on = (at: number, path: readonly { step: number; outcome: number }[]): void => {
    const kind = bulk.kind[at];
    if (at < 0 || kind === CONCLUDES || (kind === ENDS && bulk.next[at] === call) || path.length > 40) {
      leaves.push([...path]);
      return;
    }
    if (kind === CALLS || kind === ENDS) {
      const [next] = nextOf(bulk, at);
      on(next ?? -1, path);
      return;
    }
    for (const [outcome] of (bulk.outcomes[at] ?? []).entries()) {
      if (!possible(at, outcome) || path.some((one) => one.step === at && one.outcome !== outcome)) continue;
      const [next] = targetsOf(bulk, (bulk.firstBranch[at] ?? 0) + outcome);
      on(next ?? -1, [...path, { step: at, outcome }]);
    }
  };
  on(bulk.next[call] ?? -1, lead);
  return { step: call, leadIn, walked: leaves };
}

/** Where the last step of a walk through a call leads. */
function leafOf(bulk: BulkProcedure, walked: PlannedTest["walked"][number]): number {
  const last = walked.at(-1);
  if (last === undefined) return -1;
  return targetsOf(bulk, (bulk.firstBranch[last.step] ?? 0) + last.outcome)[0] ?? -1;
}

function outcomesOf(bulk: BulkProcedure, model: FaultModel, test: PlannedTest): readonly PlanOutcome[] {
  const called = bulk.kind[test.step] === CALLS;
  const chances = test.walked.map((walked) =>
    model.rows.map((_, fault) =>
      walked.reduce(
        (p, { step, outcome }) => (test.leadIn.includes(step) ? p : p * shareOf(model, fault, step, outcome)),
        1,
      ),
    ),
  );
  const sums = model.rows.map((_, fault) => chances.reduce((sum, row) => sum + (row[fault] ?? 0), 0));
  return test.walked.map((walked, number) => ({
    id: called
      ? walked
          .flatMap(({ step, outcome }) =>
            test.leadIn.includes(step) ? [] : [bulk.outcomes[step]?.[outcome] ?? ""],
          )
          .join("/")
      : (bulk.outcomes[test.step]?.[walked.at(-1)?.outcome ?? -1] ?? ""),
    minutes: walked.reduce((sum, { step }) => sum + (bulk.minutes[step] ?? 0), 0),
    chances: (chances[number] ?? []).map((p, fault) => ((sums[fault] ?? 0) > 0 ? p / (sums[fault] ?? 1) : 0)),
    ends: called && bulk.kind[leafOf(bulk, walked)] === CONCLUDES,
  }));
}

function afterOf(
  bulk: BulkProcedure,
  test: PlannedTest,
  own: number,
  testAt: (at: number) => number | undefined,
): readonly number[] {
  const ids = [test.step, ...test.leadIn].flatMap((at): readonly StepId[] => bulk.steps[at]?.after ?? []);
  const tests = ids.flatMap((id) => testAt(bulk.indexOf.get(id) ?? -1) ?? []);
  return [...new Set(tests)].filter((one) => one !== own).sort((a, b) => a - b);
}

/** Set-ups as the plan counts them: putting back when making. Sets are the same in whatever order they were made. */
function setUpsOf({ setUps }: BulkProcedure, planned: readonly PlannedTest[]): PlanSetUps {
  const same = new Map<string, number>();
  const whole = (made: number): number => {
    const key = [...setUps.names(made)].sort().join();
    const known = same.get(key);
    if (known === undefined) same.set(key, made);
    return known ?? made;
  };
  const reckon = (test: number, outcome: number, made: number) => {
    let there = made;
    let minutes = 0;
    for (const { step } of planned[test]?.walked[outcome] ?? []) {
      minutes += setUps.minutes(step, there, false);
      there = setUps.after(step, there, false);
    }
    return { minutes: minutes + setUps.putBack(there) - setUps.putBack(made), made: whole(there) };
  };
  const known: { readonly minutes: number; readonly made: number }[][][] = planned.map(() => []);
  const lookUp = (test: number, outcome: number, made: number) => {
    const before = known[test]?.[outcome]?.[made];
    if (before !== undefined) return before;
    const reckoned = reckon(test, outcome, made);
    const row = known[test]?.[outcome];
    if (row !== undefined) row[made] = reckoned;
    else {
      const rows = known[test];
      if (rows === undefined) return reckoned;
      const first: { readonly minutes: number; readonly made: number }[] = [];
      first[made] = reckoned;
      rows[outcome] = first;
    }
    return reckoned;
  };
  return {
    cost: (test, outcome, made) => lookUp(test, outcome, made).minutes,
    next: (test, outcome, made) => lookUp(test, outcome, made).made,
  };
}

/**
 * Sets of faults that a conclusion names, where one repair mends them all. Others are no aim: a plan that may mend
 * several things at once would do so instead of looking.
 */
function groupsOf(bulk: BulkProcedure, before: ReadonlySet<number>): readonly (readonly number[])[] {
  const groups = new Map<string, readonly number[]>();
  for (const at of before) {
    const step = bulk.steps[at];
    if (step?.kind !== "conclude" || step.repairs.length > 1) continue;
    const faults = [...(bulk.concluded[at] ?? [])].sort((a, b) => a - b);
    groups.set(faults.join(), faults);
  }
  return [...groups.values()];
}

const MOST_ENDED = 100;

/** Answers after which the written order gives up, the likeliest first. */
function endedOf(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  planned: readonly PlannedTest[],
): readonly (readonly PlanAnswer[])[] {
  const mass = (way: WrittenWay) => way.weights.reduce((sum, weight) => sum + weight, 0);
  return written
    .filter((way) => way.step >= 0 && bulk.kind[way.step] === ENDS)
    .toSorted((a, b) => mass(b) - mass(a))
    .slice(0, MOST_ENDED)
    .map((way) => answersOf(planned, way))
    .filter((answers) => answers.length > 0);
}

/** What a way showed, in tests; a call that was not walked to a leaf says nothing. */
export function answersOf(
  planned: readonly PlannedTest[],
  { shown }: Pick<WrittenWay, "shown">,
): readonly PlanAnswer[] {
  return planned.flatMap(({ walked, leadIn }, test) => {
    const outcome = walked.findIndex((steps) =>
      steps.every(({ step, outcome: number }) => leadIn.includes(step) || shown.get(step) === number),
    );
    return outcome < 0 ? [] : [{ test, outcome }];
  });
}
