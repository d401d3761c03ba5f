/** The walk from a step to the next one that asks something. */
import { IMPLIED_ENDS, type Outcome, type Procedure, type Step, type StepId } from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import { branchKey, decideBranch } from "./decide.ts";
import { answerAhead, losesProof, provenConclusion, withAhead, withoutAhead } from "./free-order.ts";
import { heardAtOnce } from "./heard-at-once.ts";
import { own, withEntry } from "./own.ts";
import type { Hop, PathRow, Run, StepResult } from "./run.ts";
import { settle } from "./settle.ts";
import { withoutVerifying, withTold } from "./told.ts";

/** The run after the branch of a step's outcome was taken, at the next step that asks something. */
export function leave(
  procedure: Procedure,
  run: Run,
  step: Step,
  result: StepResult,
  at: number,
  seq: number,
  reading?: Partial<PathRow>,
): Run {
  if (run.waiting !== undefined && result.outcome !== "stop")
    return noteChosen(procedure, run, run.waiting, step, result, at, seq, reading);
  const hop = decideBranch(procedure, run, step, result.outcome, at);
  // A condition that can't be evaluated turns the outcome into `cannot`: the result says nothing then.
  const taken: StepResult = hop.outcome === result.outcome ? result : { outcome: hop.outcome };
  const row: PathRow = { step: step.id, outcome: hop.outcome, ...reading, seq };
  const walked: Run = {
    ...withoutAhead(take(procedure, withTold(withoutWaiting(run), step.id, taken), hop), step.id),
    results: withEntry(run.results, step.id, taken),
    path: [...run.path, row],
  };
  return enter(procedure, walked, hop.goto, at, seq);
}

/** The run at a step that the technician chose; the written one waits. */
export function turnTo(procedure: Procedure, run: Run, target: StepId, at: number, seq: number): Run {
  if (run.waiting === target) return standAgain(procedure, run, target);
  return enter(procedure, { ...run, waiting: run.waiting ?? run.step }, target, at, seq);
}

/**
 * A chosen step's answer: noted, its branch not taken. On to what is proven now, or back to what waits. Only where
 * its branch leads straight out of the job is it taken.
 */
function noteChosen(
  procedure: Procedure,
  run: Run,
  waiting: StepId,
  step: Step,
  result: StepResult,
  at: number,
  seq: number,
  reading?: Partial<PathRow>,
): Run {
  const says = result.outcome !== "cannot" && result.outcome !== "borderline";
  const out = heardAtOnce(procedure, run, step, result.outcome, at);
  const noted: Run = {
    ...withAhead(
      withTold(withoutWaiting(run), step.id, result),
      says && out === undefined ? [...(run.ahead ?? []), step.id] : (run.ahead ?? []),
    ),
    results: withEntry(run.results, step.id, result),
    path: [...run.path, { step: step.id, outcome: result.outcome, ...reading, chosen: true, seq }],
  };
  // Whether other chosen answers speak against it does not matter there: the job ends, and the end is heard.
  if (out !== undefined) {
    const leaving: Run = { ...withAhead(noted, []), aside: [] };
    return enter(procedure, take(procedure, leaving, out), out.goto, at, seq);
  }
  const proven = says ? provenConclusion(procedure, { ...noted, step: waiting }) : undefined;
  return proven === undefined
    ? standAgain(procedure, noted, waiting)
    : enter(procedure, noted, proven, at, seq);
}

/** The run back at the step that waited: the same visit, its cautions to be acknowledged anew. */
function standAgain(procedure: Procedure, run: Run, step: StepId): Run {
  return settle(procedure, { ...withoutWaiting(run), step, acknowledged: [] });
}

function withoutWaiting({ waiting: _, ...run }: Run): Run {
  return run;
}

/** Counts the branch, and strikes the concluded faults where the branch fails their verification. */
function take(procedure: Procedure, run: Run, hop: Hop): Run {
  const branch = procedure.steps.get(hop.step)?.outcomes.get(hop.outcome);
  const counted: Run = {
    ...run,
    hops: [...run.hops, hop],
    ...(branch?.atMost !== undefined && hop.arm !== "else"
      ? { taken: withEntry(run.taken, branchKey(hop), (own(run.taken, branchKey(hop)) ?? 0) + 1) }
      : {}),
  };
  if (counted.verifying === undefined || hop.outcome === "repaired") return counted;
  if (reachesFixed(procedure).has(hop.goto)) return counted;
  // Leaving the job, or not being able to look, does not show that the repair failed.
  if (hop.outcome === "stop" || hop.outcome === "cannot") return withoutVerifying(counted, false);
  const struck = [...new Set([...counted.struck, ...counted.verifying.faults])];
  return withoutVerifying({ ...counted, struck }, true);
}

/** A called procedure that ended fixed has verified its repair: nothing strikes it, and the machine stays repaired. */
function verifiedByCall(run: Run): Run {
  return run.verifying === undefined
    ? run
    : { ...run, verifying: { ...run.verifying, faults: [], told: {} } };
}

/** The run at a step or behind it: calls, and ends that return from one, are walked through. */
export function enter(procedure: Procedure, run: Run, target: StepId, at: number, seq: number): Run {
  let next = run;
  let id = target;
  // Only a procedure that `check` calls endless can pass so many steps without asking anything.
  for (let passed = 0; passed < 10_000; passed += 1) {
    const step = procedure.steps.get(id);
    if (step === undefined) break;
    const given = answerAhead(next, id);
    if (given !== undefined) {
      const hop: Hop = { ...decideBranch(procedure, next, step, given.outcome, at), ahead: true };
      next = {
        ...withoutAhead(take(procedure, next, hop), id),
        ...(hop.outcome === given.outcome ? {} : withoutResult(next, id, hop.outcome)),
      };
      id = hop.goto;
      continue;
    }
    if (step.kind === "conclude" && losesProof(procedure, next, step)) {
      next = { ...withAhead(next, []), unproven: id };
      id = IMPLIED_ENDS.cannot;
      continue;
    }
    next = {
      ...next,
      step: id,
      visits: withEntry(next.visits, id, (own(next.visits, id) ?? 0) + 1),
      entered: withEntry(next.entered, id, at),
    };
    if (step.kind === "call") {
      id = step.entry;
      continue;
    }
    if (step.kind !== "end") return settle(procedure, arrive(next, step, run.step));
    if (step.returnsTo === undefined)
      return settle(procedure, {
        ...next,
        end: step.end,
        acknowledged: [],
        path: [...next.path, { step: id, outcome: step.end, seq }],
      });
    const call = procedure.steps.get(step.returnsTo);
    if (call === undefined) break;
    const outcome: Outcome = step.end === "fixed" ? "fault-found" : step.end;
    const hop = decideBranch(procedure, next, call, outcome, at);
    next = {
      // A called procedure that ends fixed has verified its repair: where the caller goes on can't fail it.
      ...take(procedure, step.end === "fixed" ? verifiedByCall(next) : next, hop),
      path: [...next.path, { step: call.id, outcome: hop.outcome, seq }],
    };
    id = hop.goto;
  }
  return settle(procedure, {
    ...next,
    step: id,
    end: "unresolved",
    acknowledged: [],
    path: [...next.path, { step: id, outcome: "unresolved", seq }],
  });
}

/** A condition that can't be evaluated: the answer says nothing then. */
function withoutResult(run: Run, step: StepId, outcome: Outcome): Pick<Run, "results" | "told"> {
  const result: StepResult = { outcome };
  return {
    results: withEntry(run.results, step, result),
    told: withEntry(run.told, step, { result, row: run.path.length }),
  };
}

/** Forgets acknowledgements of the step before, and whether it was clearing. */
function arrive(run: Run, step: Step, from: StepId): Run {
  const begins = run.verifying?.step === from && run.hops.at(-1)?.step === from;
  return { ...run, acknowledged: [], clearing: begins && step.kind !== "conclude" };
}
