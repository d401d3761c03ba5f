/**
 * What can happen in a run. An event is what the technician did, nothing that can be reckoned from it;
 * its time comes with it, since the engine has no clock.
 */
import type { FactValue, LimitWord, StepId } from "../procedure/model.ts";

export type RunEvent = { readonly at: number } & (
  | { readonly type: "fact"; readonly fact: string; readonly value: FactValue; readonly typed?: string }
  | {
      readonly type: "specification";
      readonly specification: string;
      /** As typed, with unit: `480 A`. */
      readonly limits: Readonly<Partial<Record<LimitWord, string>>>;
      readonly source: string;
    }
  | { readonly type: "set-up"; readonly setUp: string; readonly change: "make" | "put-back" }
  | { readonly type: "acknowledge"; readonly for: string; readonly cautions: readonly string[] }
  | { readonly type: "answer"; readonly step: StepId; readonly answer: string }
  | ({ readonly type: "reading"; readonly step: StepId } & TypedReading)
  /** Takes a step that could be answered now instead of the written one, or goes back to that one. */
  | { readonly type: "choose"; readonly step: StepId }
  /** A `do` done, a repair made, or a conclusion without repair taken on. */
  | { readonly type: "done"; readonly step: StepId }
  | { readonly type: "cannot"; readonly step: StepId; readonly reason: string }
  | { readonly type: "stop"; readonly reason: string }
  /** Replaces the event with that sequence number; what followed is walked again where it still fits. */
  | { readonly type: "amend"; readonly seq: number; readonly event: RunEvent }
  /** A remark for the record; changes nothing. */
  | { readonly type: "remark"; readonly text: string }
);

/** What was typed at a measurement, each as typed, units included where they were. */
export interface TypedReading {
  readonly reading: string;
  /** The reading with the leads held together. */
  readonly leads?: string;
  /** Temperature of the part. */
  readonly temperature?: string;
  /** Minutes really waited, when the step asks for a wait. */
  readonly waited?: number;
}

/** How a run begins. */
export interface Opening {
  readonly run: string;
  readonly at: number;
  /** A role such as `tech-1`, never a name. */
  readonly technician?: string;
  /** The vehicle or machine, as the shop numbers it. */
  readonly unit?: string;
}
