/** What called procedures say at their top about the steps inside them. */
import type { CallStep, Procedure, Step } from "./model.ts";

/** The calls that a step stands in, the outermost first. */
export function callsAround(procedure: Procedure, step: Step): readonly CallStep[] {
  const calls: CallStep[] = [];
  for (let end = step.scope.indexOf("/"); end >= 0; end = step.scope.indexOf("/", end + 1)) {
    const call = procedure.steps.get(step.scope.slice(0, end));
    if (call?.kind === "call") calls.push(call);
  }
  return calls;
}

/** Whether a step may be taken by choice, and others instead of it: every procedure that it stands in says so. */
export function isOrderFree(procedure: Procedure, step: Step): boolean {
  return procedure.freeOrder && callsAround(procedure, step).every(({ freeOrder }) => freeOrder === true);
}

/** Shares that add up to the certainty but for rounding are proof enough. */
const ROUNDING = 1e-9;

/** Whether a share of 0 to 1 is the proof that a conclusion needs. */
export function isEnough(procedure: Procedure, step: Step, proof: number): boolean {
  return proof >= neededProof(procedure, step) - ROUNDING;
}

/** The proof that a conclusion needs, 0 to 1: the strictest of all procedures that it stands in. */
export function neededProof(procedure: Procedure, step: Step): number {
  return callsAround(procedure, step).reduce(
    (most, { certainty }) => Math.max(most, certainty ?? 0),
    procedure.certainty,
  );
}
