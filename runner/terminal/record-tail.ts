/** The end of a record that a crash cut off: dropped, its bytes kept beside the record. */
import { appendFileSync, fsyncSync, ftruncateSync, writeSync } from "node:fs";
import { parseRecordLine } from "../../engine/machine/record.ts";

/** A record's bytes as lines, and what is not right at its end. */
export interface RecordTail {
  /** Every line but a cut-off last one. */
  readonly texts: readonly string[];
  /** How many bytes those lines take; what follows was cut off. */
  readonly whole: number;
  /** The last line is whole but for its line end. */
  readonly lacksEnd: boolean;
}

const LINE_END = 0x0a;

/** Only a last line that is no JSON counts as cut off; everything else is for the chain to judge. */
export function readTail(bytes: Buffer): RecordTail {
  const start = lastLineStart(bytes);
  const isWhole = isJson(bytes.subarray(start).toString("utf8"));
  const kept = isWhole ? bytes : bytes.subarray(0, start);
  const texts = kept.toString("utf8").split("\n");
  if (texts.at(-1) === "") texts.pop();
  return { texts, whole: kept.length, lacksEnd: kept.length > 0 && kept.at(-1) !== LINE_END };
}

/**
 * Makes the end of a record right, first keeping the bytes that are dropped; where they are kept, if there were any.
 */
export function mendTail(handle: number, file: string, bytes: Buffer, tail: RecordTail): string | undefined {
  if (tail.lacksEnd) writeSync(handle, "\n", tail.whole);
  if (tail.whole < bytes.length) {
    appendFileSync(`${file}.cut`, bytes.subarray(tail.whole), { flush: true });
    ftruncateSync(handle, tail.whole);
  }
  fsyncSync(handle);
  return tail.whole < bytes.length ? `${file}.cut` : undefined;
}

/** Whether a file holds nothing but the beginning of an opening line: a run that never began. */
export function isUnbegun(bytes: Buffer): boolean {
  if (bytes.length === 0) return true;
  const text = bytes.toString("utf8");
  if (text.includes("\n") || parseRecordLine(text).ok) return false;
  return text.startsWith(OPENING) || OPENING.startsWith(text);
}

/** How every line of a record begins. */
const OPENING = '{"at":"';

function lastLineStart(bytes: Buffer): number {
  const end = bytes.at(-1) === LINE_END ? bytes.length - 1 : bytes.length;
  return end <= 0 ? 0 : bytes.lastIndexOf(LINE_END, end - 1) + 1;
}

function isJson(text: string): boolean {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
}
