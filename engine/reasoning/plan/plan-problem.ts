/**
 * The test-sequencing problem of a procedure: the written order, and how far its steps may be moved.
 *
 * - Only a step whose evidence tells faults apart may be moved, and only between two steps that stay: an act, a
 *   question without evidence, a condition, a step whose answer ends the job or asks for an act, one that meets high
 *   voltage or an airbag, one that is judged by a reading which does not always stand before it.
 * - A call is one test: what is inside it stays in its order. It ends where it concludes or returns.
 * - Steps that the written order never comes to before a repair are no tests.
 * - The written order is one of the orders: none that is called best takes longer.
 */

import type { Procedure, StepId } from "../../procedure/model.ts";
import { type BulkProcedure, bulkProcedure, CALLS, CONCLUDES } from "../bulk-procedure.ts";
import { isTelling, outcomesOf, outermostCalls, type PlannedTest, testsOfWays } from "./planned-tests.ts";
import type { PlanProblem, PlanSetUps, WrittenPlace } from "./problem.ts";
import { safetyOrder } from "./safety-order.ts";
import { readingsOf, type StayReason, stayReasons } from "./staying.ts";
import { orderOfWays } from "./written-order.ts";
import { type WrittenWay, writtenWays } from "./written-ways.ts";

export interface ProcedurePlan {
  readonly bulk: BulkProcedure;
  readonly problem: PlanProblem & Required<Pick<PlanProblem, "written">>;
  readonly planned: readonly PlannedTest[];
  /** By test: why it keeps its place; undefined where it may be moved. */
  readonly stays: readonly (StayReason | undefined)[];
  /** Tests that stand in front of all that tell faults apart, one behind the other. */
  readonly front: readonly number[];
  readonly written: readonly WrittenWay[];
  /** A step that the written order comes to twice before a repair: no order is compared with it then. */
  readonly twice?: StepId;
  /** It has more ways than were walked. */
  readonly cut: boolean;
  /** Steps with evidence that no answer which the evidence allows leads to: they are in no order. */
  readonly left: readonly StepId[];
}

export function procedurePlan(procedure: Procedure): ProcedurePlan {
  const bulk = bulkProcedure(procedure);
  const written = writtenWays(bulk);
  const tests = testsOfWays(bulk, written);
  const { planned, answers } = tests;
  const reasons = stayReasons(bulk, written, tests);
  const { behind, inTurn } = safetyOrder(bulk, written, tests);
  const { order, groups, gates, gatedApart } = orderOfWays(
    bulk,
    written,
    answers,
    reasons.map((why) => why !== undefined),
    inTurn,
  );
  const stays = reasons.map(
    (why, test) => why ?? (inTurn.has(test) || gatedApart.has(test) ? "behind" : undefined),
  );
  const twice = written.find(({ again }) => again !== undefined)?.again;
  return {
    bulk,
    planned,
    stays,
    front: frontOf(order.start, stays),
    written,
    ...(twice === undefined ? {} : { twice: bulk.steps[twice]?.id ?? "" }),
    cut: written.some(({ step, endless }) => step < 0 && endless !== true),
    left: leftOut(bulk, planned),
    problem: {
      weights: [...procedure.faults.values()].map((fault) => fault.prior),
      tests: planned.map((test, number) => ({
        id: test.id,
        after: afterOf(bulk, planned, number, [...(behind[number] ?? []), ...(gates[number] ?? [])]),
        outcomes: outcomesOf(bulk, test),
      })),
      setUps: setUpsOf(bulk, planned),
      made: 0,
      groups,
      certainty: procedure.certainty,
      written: order,
    },
  };
}

/** Acts and questions in front of the first test, where there is only one way from each to the next; else none. */
function frontOf(start: WrittenPlace, stays: readonly (StayReason | undefined)[]): readonly number[] {
  const front: number[] = [];
  let here = start;
  while (here.kind === "asks" && stays[here.test] === "act") {
    const [only, other] = here.next.filter((place) => place !== undefined && place.kind !== "ends");
    if (only === undefined || other !== undefined) return [];
    front.push(here.test);
    here = only;
  }
  return here.kind === "asks" && stays[here.test] !== "condition" ? front : [];
}

/** Steps with evidence that no way comes to, although no conclusion stands between them and the start. */
function leftOut(bulk: BulkProcedure, planned: readonly PlannedTest[]): readonly StepId[] {
  const asked = new Set(
    planned.flatMap(({ walked }) =>
      walked.flatMap((way) => way.map((one) => ("step" in one ? one.step : -1))),
    ),
  );
  const seen = new Set<number>();
  const waiting = [bulk.start];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (at < 0 || seen.has(at)) continue;
    seen.add(at);
    if (bulk.kind[at] === CALLS) waiting.push(bulk.next[at] ?? -1);
    if (bulk.kind[at] === CONCLUDES) continue;
    for (let branch = bulk.firstBranch[at] ?? 0; branch < (bulk.firstBranch[at + 1] ?? 0); branch += 1)
      waiting.push(...bulk.armTo.slice(bulk.firstArm[branch], bulk.firstArm[branch + 1]));
  }
  const callOf = outermostCalls(bulk);
  return [...seen]
    .filter((at) => !asked.has(at) && callOf(at) === -1 && isTelling(bulk, at))
    .sort((a, b) => a - b)
    .map((at) => bulk.steps[at]?.id ?? "");
}

/** What the author says must come first, what does so otherwise (`behind`), and the readings that it is judged by. */
function afterOf(
  bulk: BulkProcedure,
  planned: readonly PlannedTest[],
  own: number,
  behind: readonly number[],
): readonly number[] {
  const test = planned[own];
  if (test === undefined || test.kind === "draw") return [];
  const callOf = outermostCalls(bulk);
  const stepOf = (at: number) => (callOf(at) === -1 ? at : callOf(at));
  const named = (bulk.steps[test.step]?.after ?? []).map((id) => stepOf(bulk.indexOf.get(id) ?? -1));
  const tests = [...planned.keys()].filter((number) => {
    const other = planned[number];
    return other !== undefined && other.kind !== "draw" && named.includes(other.step);
  });
  return [...new Set([...tests, ...behind, ...readingsOf(bulk, test, planned)])]
    .filter((one) => one !== own)
    .sort((a, b) => a - b);
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
    for (const passed of planned[test]?.walked[outcome] ?? []) {
      if (!("step" in passed)) continue;
      minutes += setUps.minutes(passed.step, there, false);
      there = setUps.after(passed.step, there, false);
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
