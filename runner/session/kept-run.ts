import type { EndWord } from "../../engine/procedure/model.ts";
import type { CardDraft } from "../kit/card-draft.ts";
import type { ProcedureTexts } from "../wire/procedures.ts";

/** What is known of a kept run without walking it. */
export interface RunHead {
  readonly run: string;
  readonly procedure: string;
  readonly title: string;
  readonly complaint: string;
  /** Id of the equipment sheet that was chosen. */
  readonly equipment?: string;
  readonly equipmentTitle?: string;
  /** A role such as `tech-1`. */
  readonly technician?: string;
  /** The vehicle as the shop numbers it. */
  readonly unit?: string;
  /** ms since 1970. */
  readonly openedAt: number;
  readonly touchedAt: number;
  readonly end?: EndWord;
  /** Sequence number of the last line kept here. */
  readonly lastSeq: number;
  /** The last line that the shop's server has; -1 for none. */
  readonly sentSeq: number;
  /** Why the server will not take the record: nothing more is sent until it is looked into. */
  readonly refused?: string;
}

/** What is half done and belongs to no event yet. */
export interface KeptDraft {
  /** Grows with every change, so that of two copies the later is known. */
  readonly change: number;
  /** The run's number of events when it was typed: it belongs to no other prompt. */
  readonly events: number;
  readonly card: CardDraft;
  /** The verdict of this event was read and left. */
  readonly seen: number;
  /** An earlier answer that is being changed, with what is typed for it. */
  readonly amending?: { readonly seq: number; readonly card: CardDraft };
}

/** A run as it is kept: enough to walk it again without the network. */
export interface KeptRun {
  readonly head: RunHead;
  readonly texts: ProcedureTexts;
  /** The record, a line an event, number 0 first. */
  readonly lines: readonly string[];
  readonly draft?: KeptDraft;
}
