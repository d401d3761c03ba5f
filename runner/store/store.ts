/**
 * What the shop keeps: run records, what was counted from them, the texts they were made with, and the
 * author's drafts. One contract, kept by every implementation and proved by one suite of tests.
 */
import type { BranchTally, RunTally } from "../../engine/audit/count-branches.ts";
import type { Traversal } from "../../engine/audit/traversal.ts";
import type { EndWord } from "../../engine/procedure/model.ts";

export interface Store {
  /**
   * True once the lines are stored for good, together with what was counted from them; false and nothing
   * stored when the run no longer has `after` lines, because somebody else was quicker.
   */
  append(batch: Batch): Promise<boolean>;
  /** The run's lines in order of sequence number; none for an unknown run. */
  readLines(run: string): Promise<readonly string[]>;
  /** Runs, the latest first. */
  listRuns(limit: number): Promise<readonly StoredRun[]>;
  /** Runs that could not be counted when their lines came, oldest first. */
  listUncounted(): Promise<readonly string[]>;
  /** Counts anew: puts these figures in the place of the run's earlier ones; false as in `append`. */
  recount(run: string, after: number, digest: RunDigest): Promise<boolean>;
  /** How often each branch was taken, by the time it took; of every revision, or of one. */
  tallyBranches(procedure: string, revision?: number): Promise<readonly BranchTally[]>;
  tallyRuns(procedure: string, revision?: number): Promise<readonly RunTally[]>;
  /** Keeps the texts a procedure is made of, each text once by its hash. The same bundle again changes nothing. */
  keepBundle(bundle: Bundle, at: number): Promise<void>;
  /**
   * The bundle of that procedure hash that was the newest at that time, or the first one kept after it: sheets
   * may have changed while the procedure did not.
   */
  readBundle(hash: string, at: number): Promise<Bundle | undefined>;
  /** The draft, and nothing when there is none or it has been saved into its file. */
  readDraft(procedure: string): Promise<DraftVersion | undefined>;
  /**
   * The versions kept, oldest first: of a text that is being typed, one for each minute and the newest; every one
   * that was put aside by a conflict or saved into its file.
   */
  draftHistory(procedure: string): Promise<readonly DraftVersion[]>;
  /**
   * The version under which the text is kept: always kept. It becomes the draft when there is none or `base` is
   * the hash of the one there is; else `conflict` is the draft that stays.
   */
  keepDraft(draft: NewDraft): Promise<{ readonly kept: DraftVersion; readonly conflict?: DraftVersion }>;
  /** Says that these texts are in their file now: they are no draft any more. */
  markSaved(procedure: string, hash: string): Promise<void>;
  close(): Promise<void>;
}

export interface Batch {
  readonly run: string;
  /** How many lines the run had when the batch was made up. */
  readonly after: number;
  readonly lines: readonly string[];
  readonly digest: RunDigest;
}

/** What can be told of a run from its record. */
export interface RunDigest {
  /** UTC, ms. */
  readonly opened: number;
  readonly latest: number;
  readonly procedure?: string;
  readonly revision?: number;
  /** Content hash of the procedure. */
  readonly hash?: string;
  readonly equipment?: string;
  readonly technician?: string;
  readonly unit?: string;
  readonly end?: EndWord;
  /** Whole seconds from opening to end. */
  readonly seconds?: number;
  /** Absent where the record could not be walked again: its text is not known here. */
  readonly traversals?: readonly Traversal[];
}

export interface StoredRun extends Omit<RunDigest, "traversals"> {
  readonly run: string;
  readonly lines: number;
  readonly counted: boolean;
}

/** The texts that make one procedure: its own, the called ones', the equipment sheets'. */
export interface Bundle {
  /** Content hash of the procedure, as its records name it. */
  readonly hash: string;
  readonly procedure: string;
  readonly text: string;
  readonly called: ReadonlyMap<string, string>;
  readonly equipment: ReadonlyMap<string, string>;
}

export interface NewDraft {
  readonly procedure: string;
  readonly text: string;
  readonly base?: string;
  /** UTC, ms. */
  readonly at: number;
}

/** Versions of a draft that follow each other closer than this, ms, are thinned out to the newer one. */
export const DRAFT_SPACING = 60_000;

export interface DraftVersion {
  /** From 1, for each procedure. */
  readonly version: number;
  /** SHA-256 of the text, hex. */
  readonly hash: string;
  readonly text: string;
  readonly base?: string;
  readonly at: number;
}
