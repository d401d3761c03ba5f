/** The end of a record that a crash cut off: dropped, its bytes kept beside the record. */
import { appendFileSync, fsyncSync, ftruncateSync, readFileSync, writeSync } from "node:fs";
import { parseRecordLine } from "../../engine/machine/record.ts";

export interface MendedRecord {
  readonly texts: readonly string[];
  /** Where the dropped bytes are kept, if any were. */
  readonly cut?: string;
}

const LINE_END = 0x0a;

/**
 * The lines of a record open for reading and writing. Only a last line that is no JSON is dropped; one that is
 * whole and lacks its line end gets it. Everything else is for the chain to judge.
 */
export function mendTail(handle: number, file: string): MendedRecord {
  const bytes = readFileSync(handle);
  const start = lastLineStart(bytes);
  const last = bytes.subarray(start);
  const isWhole = last.length === 0 || isJson(last.toString("utf8"));
  const kept = isWhole ? bytes : bytes.subarray(0, start);
  if (!isWhole) {
    appendFileSync(`${file}.cut`, last, { flush: true });
    ftruncateSync(handle, start);
    fsyncSync(handle);
  } else if (last.length > 0 && last.at(-1) !== LINE_END) {
    writeSync(handle, "\n", bytes.length);
    fsyncSync(handle);
  }
  const texts = kept.toString("utf8").split("\n");
  if (texts.at(-1) === "") texts.pop();
  return { texts, ...(isWhole ? {} : { cut: `${file}.cut` }) };
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
