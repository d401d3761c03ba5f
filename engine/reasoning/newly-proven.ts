/** Which answers bring a conclusion to its proof: one that the run can still come to and that had none before. */
import { barredSteps, comingBy } from "../machine/can-be-next.ts";
import type { Run } from "../machine/run.ts";
import { isEnough } from "../procedure/called-rules.ts";
import type { ConcludeStep, FaultId, Outcome, Procedure, Step, StepId } from "../procedure/model.ts";
import { speaksFor, spokenFor } from "./spoken-for.ts";

/** Whether the faults of a conclusion, by their shares, are proven as its procedure wants it. */
export function isProven(
  procedure: Procedure,
  step: ConcludeStep,
  share: (fault: FaultId) => number,
): boolean {
  const proof = step.faults.reduce((sum, fault) => sum + share(fault), 0);
  return isEnough(procedure, step, proof);
}

/**
 * Tells of a step's answer, by the shares of the faults that it would leave, whether it proves a conclusion. Only
 * those count that are not proven now and that the answer leaves open: of the written step those behind that answer,
 * of one taken by choice those that no act or first question stands before and that some answer speaks for then.
 */
export function newlyProven(
  procedure: Procedure,
  run: Run,
  now: (fault: FaultId) => number,
): (step: Step, outcome: Outcome, left: (fault: FaultId) => number) => boolean {
  const spoken = spokenFor(procedure, run);
  const speaks = speaksFor(procedure, run);
  const unproven = [...procedure.steps.values()].filter(
    (step): step is ConcludeStep => step.kind === "conclude" && !isProven(procedure, step, now),
  );
  const barred = unproven.length === 0 ? new Set<StepId>() : barredSteps(procedure, run);
  const written = run.waiting ?? run.step;
  return (step, outcome, left) => {
    const proven = unproven.filter((each) => isProven(procedure, each, left));
    if (proven.length === 0) return false;
    if (step.id !== written)
      return proven.some((each) => !barred.has(each.id) && (spoken(each) || speaks(each, step, outcome)));
    const branch = step.outcomes.get(outcome);
    const coming = branch && comingBy(procedure, run, branch);
    return proven.some(({ id }) => coming?.has(id) === true);
  };
}
