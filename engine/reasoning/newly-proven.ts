/** Which answers bring a conclusion to its proof: one that the run can still come to and that had none before. */
import { barredSteps, comingBy, openSteps } from "../machine/can-be-next.ts";
import { canBeEntered } from "../machine/free-order.ts";
import { heardAtOnce } from "../machine/heard-at-once.ts";
import { withEntry } from "../machine/own.ts";
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
 * of one taken by choice those that no act or first question stands before, that some answer speaks for then, and that
 * the written order could still come to with it.
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
  const entered = new Map<StepId, boolean>();
  const isOpen = (conclusion: ConcludeStep): boolean => {
    const known = entered.get(conclusion.id);
    if (known !== undefined) return known;
    const open = !barred.has(conclusion.id) && canBeEntered(procedure, run, conclusion);
    entered.set(conclusion.id, open);
    return open;
  };
  return (step, outcome, left) => {
    const proven = unproven.filter((each) => isProven(procedure, each, left));
    if (proven.length === 0) return false;
    if (step.id !== written) {
      const heard = heardAtOnce(procedure, run, step, outcome, 0);
      if (heard !== undefined) return proven.some(({ id }) => id === heard.goto);
      const spokenOf = proven.filter((each) => isOpen(each) && (spoken(each) || speaks(each, step, outcome)));
      if (spokenOf.length === 0) return false;
      // What its own branch leads to it can come to; a large procedure is not looked through for that.
      const next = step.outcomes.get(outcome)?.arms ?? [];
      if (next.length === 1 && spokenOf.some(({ id }) => next[0]?.goto === id)) return true;
      const open = openSteps(procedure, answeredAhead(run, step, outcome));
      return spokenOf.some(({ id }) => open.has(id));
    }
    const branch = step.outcomes.get(outcome);
    const coming = branch && comingBy(procedure, run, branch);
    return proven.some(({ id }) => coming?.has(id) === true);
  };
}

/** The run with a step answered by choice, for what can still come: its own branch is followed then. */
function answeredAhead(run: Run, step: Step, outcome: Outcome): Run {
  return {
    ...run,
    ahead: [...(run.ahead ?? []), step.id],
    results: withEntry(run.results, step.id, { outcome }),
  };
}
