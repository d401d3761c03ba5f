import type { Prompt } from "../../engine/machine/prompt.ts";
import type { Run } from "../../engine/machine/run.ts";
import { neededProof } from "../../engine/procedure/called-rules.ts";
import type { ConcludeStep, FaultId, Procedure } from "../../engine/procedure/model.ts";
import { isProven } from "../../engine/reasoning/newly-proven.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { shareText } from "./share-text.ts";

/** How far a run's answers prove a conclusion. */
export interface ConclusionProof {
  readonly isProven: boolean;
  /** Summed probability of the faults concluded, 0 to 1. */
  readonly probability: number;
  /** What the procedure asks for, 0 to 1. */
  readonly needed: number;
}

export function conclusionProof(procedure: Procedure, run: Run, step: ConcludeStep): ConclusionProof {
  const shares = new Map(
    posterior(procedure, run).faults.map(({ fault, probability }) => [fault, probability]),
  );
  const share = (fault: FaultId) => shares.get(fault) ?? 0;
  return {
    isProven: isProven(procedure, step, share),
    probability: step.faults.reduce((sum, fault) => sum + share(fault), 0),
    needed: neededProof(procedure, step),
  };
}

/** The proof of the conclusion that a prompt shows; none where it shows none. */
export function promptProof(procedure: Procedure, run: Run, prompt: Prompt): ConclusionProof | undefined {
  if (prompt.kind !== "repair" && prompt.kind !== "concluded") return undefined;
  const step = procedure.steps.get(prompt.step);
  return step?.kind === "conclude" ? conclusionProof(procedure, run, step) : undefined;
}

/** What a conclusion of so many faults claims: never more than the answers prove. */
export function concludedText(faults: number, proof: ConclusionProof | undefined): string {
  if (proof?.isProven === false)
    return `${faults > 1 ? "That it is one of these" : "This fault"} is not proven: ${shareText(proof.probability)} by your answers, where ${shareText(proof.needed)} are needed.`;
  return faults > 1 ? "One of these is the fault." : "This is the fault.";
}
