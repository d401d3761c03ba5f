/** A run record as a file: each event is on the disk before the screen goes on. */
import {
  appendFileSync,
  closeSync,
  constants,
  fstatSync,
  fsyncSync,
  ftruncateSync,
  mkdirSync,
  openSync,
  readFileSync,
  unlinkSync,
  writeSync,
} from "node:fs";
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
import { APP } from "../wire/app-name.ts";
import { lockRecord } from "./record-lock.ts";
import { isUnbegun, mendTail, readTail } from "./record-tail.ts";
import { type Outcome, unusable } from "./usage-error.ts";

export interface RecordFile {
  readonly file: string;
  /** True once the event is on the disk; false and nothing changed where it could not be written. */
  append(event: RunEvent, step: string): boolean;
  close(): void;
}

/** A new record with its opening line written; refused where the file holds anything. */
export function createRecord(file: string, procedure: Procedure, opening: Opening): Outcome<RecordFile> {
  try {
    mkdirSync(dirname(file), { recursive: true });
  } catch {
    return notWritable(file);
  }
  const lock = lockRecord(file);
  if (!lock.ok) return lock;
  const opened = openNew(file);
  if (!opened.ok) {
    lock.value.release();
    return opened;
  }
  const handle = opened.value;
  const first = openingLine(procedure, opening, APP);
  if (put(handle, first)) {
    syncFolder(file);
    return { ok: true, value: writer(file, handle, first, lock.value.release) };
  }
  closeSync(handle);
  unlinkSync(file);
  lock.value.release();
  return notWritable(file);
}

/** A record that is there, its chain proved, ready for more; `cut` says where a cut-off last line was put. */
export function reopenRecord(
  file: string,
): Outcome<{ readonly record: RecordFile; readonly lines: readonly RecordLine[]; readonly cut?: string }> {
  const lock = lockRecord(file);
  if (!lock.ok) return lock;
  const fail = (outcome: ReturnType<typeof unusable>, handle?: number) => {
    if (handle !== undefined) closeSync(handle);
    lock.value.release();
    return outcome;
  };
  let handle: number;
  try {
    handle = openSync(file, constants.O_RDWR);
  } catch {
    return fail(notWritable(file));
  }
  const bytes = readFileSync(handle);
  const tail = readTail(bytes);
  // A file that holds no proven line is no record of ours: nothing of it is touched.
  const verified = verifyRecord(tail.texts.length > 0 ? tail.texts : [bytes.toString("utf8")]);
  const last = verified.ok ? verified.lines.at(-1) : undefined;
  if (!verified.ok || last === undefined)
    return fail(verified.ok ? notWritable(file) : unusable({ ...verified.problem, file }), handle);
  let cut: string | undefined;
  try {
    cut = mendTail(handle, file, bytes, tail);
  } catch {
    return fail(notWritable(file), handle);
  }
  return {
    ok: true,
    value: {
      record: writer(file, handle, last, lock.value.release),
      lines: verified.lines,
      ...(cut === undefined ? {} : { cut }),
    },
  };
}

/** The lines of a record whose chain holds. */
export function readRecord(file: string): Outcome<readonly RecordLine[]> {
  let text: string;
  try {
    text = readFileSync(file, "utf8");
  } catch {
    return unusable({ code: "not-found", message: "There is no such record, or it can't be read.", file });
  }
  const verified = verifyRecord(text.replace(/\n$/, "").split("\n"));
  return verified.ok ? { ok: true, value: verified.lines } : unusable({ ...verified.problem, file });
}

function notWritable(file: string): ReturnType<typeof unusable> {
  return unusable({
    code: "not-writable",
    message: "This record can't be written. Say where it can: --record FILE.",
    file,
  });
}

/** A file that was opened for a run which never began may be used again; any other is left alone. */
function openNew(file: string): Outcome<number> {
  try {
    return { ok: true, value: openSync(file, "wx") };
  } catch (thrown) {
    if (!(thrown instanceof Error && "code" in thrown && thrown.code === "EEXIST")) return notWritable(file);
  }
  try {
    const bytes = readFileSync(file);
    if (!isUnbegun(bytes))
      return unusable({
        code: "record-exists",
        message: "This record exists already; nothing was written over.",
        file,
      });
    if (bytes.length > 0) appendFileSync(`${file}.cut`, bytes, { flush: true });
    return { ok: true, value: openSync(file, "w") };
  } catch {
    return notWritable(file);
  }
}

function writer(file: string, handle: number, from: RecordLine, release: () => void): RecordFile {
  let last = from;
  return {
    file,
    append: (event, step) => {
      const line = eventLine(last, event, step);
      if (!put(handle, line)) return false;
      last = line;
      return true;
    },
    close: () => {
      closeSync(handle);
      release();
    },
  };
}

/** Writes the whole line at the end and waits for the disk; takes back what a full disk cut short. */
function put(handle: number, line: RecordLine): boolean {
  const before = fstatSync(handle).size;
  const bytes = Buffer.from(`${writeLine(line)}\n`);
  try {
    for (let done = 0; done < bytes.length; )
      done += writeSync(handle, bytes, done, bytes.length - done, before + done);
    fsyncSync(handle);
    return true;
  } catch {
    ftruncateSync(handle, before);
    return false;
  }
}

/** The new file's name is on the disk, too. Not every system can open a folder. */
function syncFolder(file: string): void {
  try {
    const folder = openSync(dirname(file), "r");
    fsyncSync(folder);
    closeSync(folder);
  } catch {
    // The file itself is safe.
  }
}
