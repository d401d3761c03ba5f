/** A run as it stands after some events: plain data that can be stored, compared and replayed. */
import type { EndWord, FactValue, FaultId, LimitWord, Outcome, StepId } from "../procedure/model.ts";
import type { FunctionProblem } from "../quantity/functions.ts";
import type { JudgedReading } from "../quantity/judge.ts";
import type { Quantity } from "../quantity/quantity.ts";
import type { Opening, RunEvent } from "./event.ts";

export interface Run {
  readonly opening: Opening;
  /** Every accepted event by sequence number, amended ones included; number 0 is the opening. */
  readonly events: readonly RunEvent[];
  /** Sequence numbers of the events that count, in the order walked: amended and left-behind ones are out. */
  readonly counted: readonly number[];
  readonly step: StepId;
  /** `ready`: something is to be known, made, put back or acknowledged first; `open`: the step's own prompt. */
  readonly phase: "ready" | "open" | "ended";
  readonly facts: Readonly<Record<string, FactValue>>;
  readonly specifications: Readonly<
    Record<
      string,
      { readonly limits: Readonly<Partial<Record<LimitWord, Quantity>>>; readonly source: string }
    >
  >;
  /** The latest judged reading of each measure step. */
  readonly readings: Readonly<Record<StepId, JudgedReading>>;
  /** The latest result of each step. */
  readonly results: Readonly<Record<StepId, StepResult>>;
  /** All that the fault probabilities look at: see `told.ts`. */
  readonly told: Readonly<Record<StepId, Told>>;
  /** How often each branch with `at-most` was taken, by `<step>:<outcome>`. */
  readonly taken: Readonly<Record<string, number>>;
  /** Visits of each step. */
  readonly visits: Readonly<Record<StepId, number>>;
  /** When each step was last entered, ms. */
  readonly entered: Readonly<Record<StepId, number>>;
  /** Set-ups made now, in the order made. */
  readonly made: readonly string[];
  /** Every set-up ever made in this run, in the order first made. */
  readonly everMade: readonly string[];
  /** The step being prepared begins a verification: whatever it does not need is put back first. */
  readonly clearing: boolean;
  /** Cautions acknowledged for the step being prepared: ids of what they stood before. */
  readonly acknowledged: readonly string[];
  /** Cautions acknowledged in this run, in the order first shown. */
  readonly warned?: readonly string[];
  /** Faults found not to be the one by a failed verification. */
  readonly struck: readonly FaultId[];
  /**
   * The conclusion being verified; without faults where a called procedure has verified it, and its caller goes on
   * from there. `told` is held back until it has failed.
   */
  readonly verifying?: {
    readonly step: StepId;
    readonly faults: readonly FaultId[];
    readonly told: Readonly<Record<StepId, Told>>;
  };
  /** The last conclusion acted on. */
  readonly concluded?: readonly FaultId[];
  /** The written step that waits while one that the technician chose is answered. */
  readonly waiting?: StepId;
  /** Steps answered by choice that the written order has not come to: it takes their answers when it does. */
  readonly ahead?: readonly StepId[];
  /** Steps answered by choice that the written order had not come to when a repair was made. */
  readonly aside?: readonly StepId[];
  /** A conclusion of the written way that answers given by choice took the proof from: the run ended there. */
  readonly unproven?: StepId;
  readonly path: readonly PathRow[];
  /** Nominal, everything walked. */
  readonly minutes: number;
  readonly end?: EndWord;
  /** The branches that the last event took, calls and returns included, in order. */
  readonly hops: readonly Hop[];
}

/** A branch as it was taken: which arm of it, or its `else`. */
export interface Hop {
  readonly step: StepId;
  readonly outcome: Outcome;
  readonly arm: number | "else";
  readonly goto: StepId;
  /** Taken without asking, on an answer given by choice before. */
  readonly ahead?: true;
}

/** What a step's latest visit gave. */
export interface StepResult {
  readonly outcome: Outcome;
  /** For a reading: P(true value in band) by band or `below|within|above`; used when it was too close. */
  readonly shares?: Readonly<Record<Outcome, number>>;
  /** The outcome that the value alone picks, when `outcome` is `borderline`. */
  readonly picked?: Outcome;
  /** Why nothing could be worked out of a reading, where a formula does not hold for it. */
  readonly problem?: FunctionProblem;
}

/** A step's result as it counts for the fault probabilities. */
export interface Told {
  readonly result: StepResult;
  readonly judged?: JudgedReading;
  /** Its row of the path. */
  readonly row: number;
}

/** One row of the path: the JSON of `run` and the trail on the screen. */
export interface PathRow {
  readonly step: string;
  readonly outcome: string;
  /** As typed, with unit. */
  readonly reading?: string;
  readonly corrected?: number;
  readonly unit?: string;
  readonly verdict?: "within" | "below" | "above" | "too-close";
  readonly conformance?: number | null;
  /** Answered by the technician's choice, before the written order came to it. */
  readonly chosen?: true;
  /** The event that gave it. */
  readonly seq: number;
}
