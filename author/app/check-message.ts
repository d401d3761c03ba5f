/** What the page and its checking worker say to each other. Plain data, so that it crosses as it is. */
import type { Finding, PlacedFinding } from "../../engine/procedure/finding.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import type { Mend } from "../edits/mend.ts";
import type { Outline } from "../edits/outline.ts";

export interface CheckRequest {
  /** Rises with every request: an answer to an older one is dropped. */
  readonly version: number;
  readonly id: string;
  readonly text: string;
  readonly called: ReadonlyMap<string, string>;
  readonly equipment: ReadonlyMap<string, string>;
}

/** A finding with all that the list shows. */
export interface ListedFinding {
  /** Stays the same while the same thing stands at the same step, so that a selection survives typing. */
  readonly key: string;
  readonly finding: Finding;
  readonly placed: PlacedFinding;
  /** It stands in the text being written, not in a called procedure or a sheet. */
  readonly here: boolean;
  /** It was found on a text whose words or names are wrong, and may go once those are mended. */
  readonly follows: boolean;
  readonly mend?: Mend;
}

export interface Report {
  readonly version: number;
  /** The text that was checked: edits are made on this and on no other. */
  readonly text: string;
  readonly findings: readonly ListedFinding[];
  /** Absent where the text is too broken to be linked. */
  readonly procedure?: Procedure;
  readonly outline?: Outline;
  /** The text has mistakes of writing: what could be linked is only a part of what is meant. */
  readonly broken: boolean;
  /** No error of text, shape or names keeps it from being walked. */
  readonly walkable: boolean;
  /** Titles of the equipment sheets it is written for. */
  readonly equipment: readonly string[];
  /** How the procedure comes out, in a few words: `14 steps, 31 min on average`. */
  readonly figures?: string;
}

export type CheckAnswer =
  | { readonly kind: "report"; readonly report: Report }
  /** The check itself failed: a fault of this program, told as such. */
  | { readonly kind: "broken"; readonly version: number };
