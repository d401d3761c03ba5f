/** Which steps keep their place in every order, and why. */
import { meetsReferredHazard } from "../../machine/can-be-next.ts";
import { comesFirst } from "../../machine/comes-first.ts";
import { foundNothing } from "../../machine/heard-at-once.ts";
import { expressionsOf } from "../../procedure/link-needs.ts";
import { type BulkProcedure, CONCLUDES, ENDS } from "../bulk-procedure.ts";
import { isTelling, outcomesOf, type PlannedTest, type TestsOfWays } from "./planned-tests.ts";
import type { WrittenWay } from "./written-ways.ts";

/**
 * - `act`: it speaks of no fault; it makes safe, or makes sure.
 * - `behind`: on some ways another does something for safety that it does not, or says whether it applies, and no one
 *   test does so on all. It waits for its turn, while others may be asked before it.
 * - `condition`: a fact or an earlier reading decides where it leads.
 * - `leads`: one of its answers ends the job, or asks for an act, at once.
 * - `licensed`: it meets high voltage or an airbag, stands behind a step that does, or leads to one.
 * - `reading`: it is judged by a reading, or the time, of another step that does not stand before it on every way.
 */
export type StayReason = "act" | "behind" | "condition" | "leads" | "licensed" | "reading";

/** By test; undefined where it may be moved. */
export function stayReasons(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  { planned, answers }: TestsOfWays,
): readonly (StayReason | undefined)[] {
  const acts = planned.map((test) => !stepsOf(test).every((at) => isTelling(bulk, at)));
  const leading = leadingElsewhere(bulk, written, { planned, answers }, acts);
  const licensed = licensedTests(bulk, written, { planned, answers });
  return planned.map((test, number) => {
    if (test.kind === "draw") return "condition";
    const steps = stepsOf(test);
    if (licensed.has(number)) return "licensed";
    if (acts[number] === true) return "act";
    if ([test.step, ...steps].some((at) => isConditional(bulk, at))) return "condition";
    if (test.walked.some((walked) => walked.some((passed) => !("step" in passed)))) return "condition";
    if (leading.has(number)) return "leads";
    return needsElsewhere(bulk, test, number, { planned, answers }) ? "reading" : undefined;
  });
}

/** Tests, by number, whose readings another test is judged by. */
export function readingsOf(
  bulk: BulkProcedure,
  test: PlannedTest,
  planned: readonly PlannedTest[],
): readonly number[] {
  const own = new Set(stepsOf(test));
  const used = [...own].flatMap((at) => usedBy(bulk, at).filter((other) => !own.has(other)));
  return [...planned.keys()].filter((number) =>
    stepsOf(planned[number] as PlannedTest).some((at) => used.includes(at)),
  );
}

/** What a test's answers lead to at once, acts on the way to an end passed over. */
interface LeadsTo {
  /** Tests and acts, by number. */
  readonly tests: Set<number>;
  /** A conclusion or an end is come to by some answer without any act. */
  stops: boolean;
  /** Outcomes that lead to a conclusion which only goes on to a referral. */
  readonly referring: Set<number>;
  readonly ends: Set<number>;
  /** Outcomes that lead to an end. */
  readonly ending: Set<number>;
  /** Faults that the others conclude. */
  readonly faults: Set<number>;
}

/**
 * Tests of which an answer ends the job, by way of acts or at once, or asks for an act that another answer, be it one
 * that concludes, does not: what such an answer says has to be done before anything else is looked at. So has what a
 * conclusion without a repair goes on to, unless it is come to by the answer that found nothing, as a free order
 * counts it, too. A last test that finds nothing may move all the same where it leads to the hand-over that failed
 * repairs lead to as well, and where that is what it mostly shows under all faults but its own: what that says can
 * wait until all was looked at.
 */
function leadingElsewhere(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  { planned, answers }: TestsOfWays,
  acts: readonly boolean[],
): ReadonlySet<number> {
  const leads = leadsOf(bulk, written, answers, acts);
  const general = behindRepairs(bulk, written);
  const found = new Set<number>();
  for (const [test, { tests, stops, referring, ends, ending, faults }] of leads.entries()) {
    const [end, other] = ends;
    const one = planned[test];
    if (one !== undefined && (leadsUnseen(bulk, one) || refersAtOnce(bulk, one, referring))) found.add(test);
    else if ((stops || tests.size > 1) && [...tests].some((each) => acts[each] === true)) found.add(test);
    else if (end === undefined || one === undefined) continue;
    else if (other !== undefined || tests.size > 0 || !general.has(end)) found.add(test);
    else if (!showsNothing(bulk, one, ending, faults)) found.add(test);
  }
  return found;
}

function leadsOf(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  answers: TestsOfWays["answers"],
  acts: readonly boolean[],
): readonly LeadsTo[] {
  const leads = acts.map(
    (): LeadsTo => ({
      tests: new Set(),
      stops: false,
      referring: new Set(),
      ends: new Set(),
      ending: new Set(),
      faults: new Set(),
    }),
  );
  for (const [index, way] of written.entries()) {
    const given = answers[index] ?? [];
    for (const [place, { test }] of given.entries()) {
      const behind = given[place + 1];
      const to = leads[test];
      if (to === undefined) continue;
      if (behind === undefined) to.stops = true;
      else to.tests.add(behind.test);
    }
    const last = given.findLast(({ test }) => acts[test] !== true);
    const to = leads[last?.test ?? -1];
    if (last === undefined || to === undefined) continue;
    // A way that was cut off is not known to go on.
    if (way.step >= 0 && bulk.kind[way.step] !== ENDS) {
      const step = bulk.steps[way.step];
      if (step?.kind === "conclude" && step.verify === undefined) to.referring.add(last.outcome);
      for (const fault of bulk.concluded[way.step] ?? []) to.faults.add(fault);
    } else {
      to.ends.add(way.step);
      to.ending.add(last.outcome);
    }
  }
  return leads;
}

/** Whether one of the outcomes that lead to a referral by a conclusion is not the one that found nothing. */
function refersAtOnce(bulk: BulkProcedure, test: PlannedTest, referring: ReadonlySet<number>): boolean {
  return [...referring].some((outcome) => {
    const [only] = test.walked[outcome] ?? [];
    if (test.kind !== "step" || only === undefined || !("step" in only)) return true;
    const step = bulk.steps[only.step];
    const word = bulk.outcomes[only.step]?.[only.outcome];
    return step === undefined || word === undefined || !foundNothing(bulk.procedure, step, word);
  });
}

/** Whether an answer that the evidence says never comes leads to an end or an act: nobody knows that it never does. */
function leadsUnseen(bulk: BulkProcedure, test: PlannedTest): boolean {
  if (test.kind !== "step") return false;
  const counted = outcomesOf(bulk, test);
  return test.walked.some(([first], outcome) => {
    if (first === undefined || !("step" in first) || counted[outcome]?.chances.some((p) => p > 0) === true)
      return false;
    return bulk.branches[(bulk.firstBranch[first.step] ?? 0) + first.outcome]?.arms.some(({ goto }) => {
      const to = bulk.procedure.steps.get(goto);
      return to !== undefined && (to.kind === "end" || comesFirst(to));
    });
  });
}

/** Whether some outcomes are what a test mostly shows under each fault that can be, its own left out. */
function showsNothing(
  bulk: BulkProcedure,
  test: PlannedTest,
  outcomes: ReadonlySet<number>,
  own: ReadonlySet<number>,
): boolean {
  const counted = outcomesOf(bulk, test);
  return [...bulk.procedure.faults.values()].every(
    ({ prior }, fault) =>
      prior <= 0 ||
      own.has(fault) ||
      [...outcomes].reduce((sum, outcome) => sum + (counted[outcome]?.chances[fault] ?? 0), 0) >= 0.5,
  );
}

/** Ends that steps lead to which only come after a repair. */
function behindRepairs(bulk: BulkProcedure, written: readonly WrittenWay[]): ReadonlySet<number> {
  const before = new Set(
    written.flatMap(({ passed }) => passed.map((one) => ("step" in one ? one.step : -1))),
  );
  const seen = new Set<number>();
  const ends = new Set<number>();
  const waiting = [...bulk.steps.keys()].filter((at) => bulk.kind[at] === CONCLUDES);
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (at < 0 || seen.has(at) || before.has(at)) continue;
    seen.add(at);
    if (bulk.kind[at] === ENDS) continue;
    const branches = [...(bulk.steps[at]?.outcomes.values() ?? [])].filter(({ implied }) => !implied);
    const targets = branches.flatMap(({ arms, else: rest }) => [...arms.map(({ goto }) => goto), rest ?? ""]);
    // A conclusion that only goes on to a referral says what that fault needs.
    for (const to of targets.map((id) => bulk.indexOf.get(id) ?? -1))
      if (bulk.kind[to] === ENDS && bulk.kind[at] !== CONCLUDES) ends.add(to);
      else waiting.push(to);
  }
  return ends;
}

/** The steps that are asked in a test. */
function stepsOf(test: PlannedTest): readonly number[] {
  return [
    ...new Set(
      test.walked.flatMap((walked) => walked.flatMap((passed) => ("step" in passed ? [passed.step] : []))),
    ),
  ];
}

/** Once such work is come to, the only way is the written one, to who is licensed for it. */
function licensedTests(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  { planned, answers }: TestsOfWays,
): ReadonlySet<number> {
  const found = new Set<number>();
  const meets = planned.map((test) => stepsOf(test).some((at) => isLicensed(bulk, at)));
  for (const [index, way] of written.entries()) {
    const given = answers[index] ?? [];
    const first = given.findIndex(({ test }) => meets[test] === true);
    const from = first < 0 && isLicensed(bulk, way.step) ? given.length : first;
    // The one in front is what leads there.
    if (from >= 0) for (const { test } of given.slice(Math.max(0, from - 1))) found.add(test);
  }
  return found;
}

function isLicensed({ procedure, steps }: BulkProcedure, at: number): boolean {
  const step = steps[at];
  if (step === undefined) return false;
  const repairs =
    step.kind === "conclude" ? step.repairs.flatMap((id) => procedure.repairs.get(id) ?? []) : [];
  const works = [step, ...repairs, ...repairs.flatMap((repair) => repair.do)];
  return works.some((work) => meetsReferredHazard(procedure, { needs: [], ...work }));
}

function isConditional(bulk: BulkProcedure, at: number): boolean {
  return [...(bulk.steps[at]?.outcomes.values() ?? [])].some(({ arms }) => arms.length > 1);
}

function usedBy({ procedure, steps, indexOf }: BulkProcedure, at: number): readonly number[] {
  const step = steps[at];
  if (step === undefined) return [];
  return [...expressionsOf(procedure, step)].flatMap(({ readings, elapsed }) =>
    [...readings, ...elapsed].map((id) => indexOf.get(id) ?? -1),
  );
}

function needsElsewhere(
  bulk: BulkProcedure,
  test: PlannedTest,
  number: number,
  { planned, answers }: TestsOfWays,
): boolean {
  const own = stepsOf(test);
  const timed = planned.some((each) =>
    stepsOf(each).some((at) =>
      [...(bulk.steps[at] === undefined ? [] : expressionsOf(bulk.procedure, bulk.steps[at]))].some(
        ({ elapsed }) =>
          elapsed.length > 0 &&
          (each === test || elapsed.some((id) => own.includes(bulk.indexOf.get(id) ?? -1))),
      ),
    ),
  );
  if (timed) return true;
  const needed = readingsOf(bulk, test, planned);
  const used = own.flatMap((at) => usedBy(bulk, at).filter((other) => other !== at && !own.includes(other)));
  if (used.length === 0) return false;
  const found = new Set(needed.flatMap((one) => stepsOf(planned[one] as PlannedTest)));
  if (used.some((at) => !found.has(at))) return true;
  return answers.some((way) => {
    const place = way.findIndex((answer) => answer.test === number);
    return place >= 0 && needed.some((one) => !way.slice(0, place).some((answer) => answer.test === one));
  });
}
