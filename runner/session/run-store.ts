import type { EndWord } from "../../engine/procedure/model.ts";
import type { ProcedureEntry, ProcedureTexts } from "../wire/procedures.ts";
import type { KeptDraft, KeptRun, RunHead } from "./kept-run.ts";

/**
 * Where a technician's runs are kept. A promise of `open` or `append` resolves only once the line is stored
 * for good; everything shown as accepted was stored before. One suite of tests runs over every store.
 */
export interface RunStore {
  /** Latest touched first. */
  listHeads(): Promise<readonly RunHead[]>;
  readRun(run: string): Promise<KeptRun | undefined>;
  /** Lines from a sequence number on. */
  readLines(run: string, from: number): Promise<readonly string[]>;
  /** Keeps a new run with its opening line. */
  open(head: RunHead, texts: ProcedureTexts, line: string): Promise<void>;
  /** Keeps the next line; false, with nothing changed, where `seq` is not the next: another tab wrote on. */
  append(run: string, seq: number, line: string, change: LineChange): Promise<boolean>;
  keepDraft(run: string, draft: KeptDraft): Promise<void>;
  /** Notes what the server has. A `refused` of null takes an earlier one back. */
  markSent(run: string, seq: number, refused: string | null): Promise<void>;
  /** The shop's list of procedures and their texts as last seen, for a time without network. */
  keepShop(entries: readonly ProcedureEntry[]): Promise<void>;
  readShop(): Promise<readonly ProcedureEntry[] | undefined>;
  keepTexts(texts: ProcedureTexts): Promise<void>;
  readTexts(procedure: string): Promise<ProcedureTexts | undefined>;
}

export interface LineChange {
  /** ms since 1970. */
  readonly touchedAt: number;
  /** The run's end after this line; absent while it goes on. */
  readonly end?: EndWord;
}

/** A head after one more line. An amendment may open an ended run again. */
export function headAfter(head: RunHead, seq: number, change: LineChange): RunHead {
  const { end: _, ...rest } = head;
  return {
    ...rest,
    lastSeq: seq,
    touchedAt: change.touchedAt,
    ...(change.end === undefined ? {} : { end: change.end }),
  };
}

/** A head after news of the server. */
export function headSent(head: RunHead, seq: number, refused: string | null): RunHead {
  const { refused: _, ...rest } = head;
  return {
    ...rest,
    sentSeq: Math.max(head.sentSeq, seq),
    ...(refused === null ? {} : { refused }),
  };
}
