/** A run record as a file: each event is on the disk before the screen goes on. */
import { closeSync, fsyncSync, mkdirSync, openSync, readFileSync, writeSync } from "node:fs";
import { dirname } from "node:path";
import type { Opening, RunEvent } from "../../engine/machine/event.ts";
import {
  eventLine,
  openingLine,
  type RecordLine,
  verifyRecord,
  writeLine,
} from "../../engine/machine/record.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { type Outcome, unusable } from "./usage-error.ts";

export const APP = "probewright 0.1.0";

export interface RecordFile {
  /** On the disk when this returns. */
  append(event: RunEvent, step: string): void;
  close(): void;
}

/** A new record with its opening line written; refused where the file exists. */
export function createRecord(file: string, procedure: Procedure, opening: Opening): Outcome<RecordFile> {
  try {
    mkdirSync(dirname(file), { recursive: true });
    const handle = openSync(file, "wx");
    const first = openingLine(procedure, opening, APP);
    put(handle, first);
    return { ok: true, value: writer(handle, first) };
  } catch (thrown) {
    const exists = thrown instanceof Error && "code" in thrown && thrown.code === "EEXIST";
    return unusable({
      code: exists ? "record-exists" : "not-writable",
      message: exists
        ? "This record exists already; nothing was written over."
        : "This record can't be written.",
      file,
    });
  }
}

/** A record that is there, its chain proved, ready for more; a last line cut off by a crash is dropped. */
export function reopenRecord(file: string): Outcome<RecordFile & { readonly lines: readonly RecordLine[] }> {
  const read = readRecord(file);
  if (!read.ok) return read;
  const last = read.value.at(-1);
  if (last === undefined) return unusable({ code: "empty", message: "The record holds no line.", file });
  try {
    const handle = openSync(file, "a");
    return { ok: true, value: { ...writer(handle, last), lines: read.value } };
  } catch {
    return unusable({ code: "not-writable", message: "This record can't be written.", file });
  }
}

/** The lines of a record whose chain holds. */
export function readRecord(file: string): Outcome<readonly RecordLine[]> {
  let text: string;
  try {
    text = readFileSync(file, "utf8");
  } catch {
    return unusable({ code: "not-found", message: "There is no such record, or it can't be read.", file });
  }
  const verified = verifyRecord(text.split("\n").filter((line) => line !== ""));
  if (verified.ok) return { ok: true, value: verified.lines };
  const { code, message, line } = verified.problem;
  return unusable({ code, message, file, line });
}

function writer(handle: number, from: RecordLine): RecordFile {
  let last = from;
  return {
    append: (event, step) => {
      last = eventLine(last, event, step);
      put(handle, last);
    },
    close: () => closeSync(handle),
  };
}

function put(handle: number, line: RecordLine): void {
  writeSync(handle, `${writeLine(line)}\n`);
  fsyncSync(handle);
}
