/** One process at a time writes a record: a lock file beside it says which. */
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, unlinkSync, writeSync } from "node:fs";
import { hostname } from "node:os";
import { type Outcome, unusable } from "./usage-error.ts";

interface Holder {
  readonly pid: number;
  readonly host: string;
  /** When the process began, as the system tells it; a number used again is told apart by it. */
  readonly began: string;
}

export interface RecordLock {
  release(): void;
}

/** The lock of a record, or who holds it. One left behind by a process that is gone is taken over. */
export function lockRecord(file: string): Outcome<RecordLock> {
  const lock = `${file}.lock`;
  const me: Holder = { pid: process.pid, host: hostname(), began: beganAt(process.pid) };
  const text = JSON.stringify(me);
  for (let tries = 0; tries < 3; tries++) {
    const made = makeLock(lock, text);
    if (made === "made") return { ok: true, value: { release: () => releaseLock(lock, text) } };
    if (made === "not-writable")
      return unusable({ code: "not-writable", message: "This record can't be written here.", file });
    const there = readLock(lock);
    if (there !== undefined && isAlive(there)) return held(file, lock, there);
    moveAside(lock, there);
  }
  return held(file, lock, readLock(lock));
}

function makeLock(lock: string, text: string): "made" | "exists" | "not-writable" {
  try {
    const handle = openSync(lock, "wx");
    writeSync(handle, text);
    fsyncSync(handle);
    closeSync(handle);
    return "made";
  } catch (thrown) {
    return codeOf(thrown) === "EEXIST" ? "exists" : "not-writable";
  }
}

/** A lock without a readable holder was cut off while it was written. */
function readLock(lock: string): Holder | undefined {
  try {
    const { pid, host, began }: Partial<Record<keyof Holder, unknown>> = JSON.parse(
      readFileSync(lock, "utf8"),
    );
    if (typeof pid !== "number" || typeof host !== "string" || typeof began !== "string") return undefined;
    return { pid, host, began };
  } catch {
    return undefined;
  }
}

/** A process on another machine can't be looked at: it counts as alive. */
function isAlive({ pid, host, began }: Holder): boolean {
  if (host !== hostname()) return true;
  try {
    process.kill(pid, 0);
  } catch (thrown) {
    if (codeOf(thrown) === "ESRCH") return false;
  }
  return beganAt(pid) === began;
}

/** Takes a stale lock away, unless another process was quicker and its fresh one stands there by now. */
function moveAside(lock: string, stale: Holder | undefined): void {
  const aside = `${lock}.${process.pid}`;
  try {
    renameSync(lock, aside);
    const moved = readLock(aside);
    if (moved !== undefined && isAlive(moved) && moved.pid !== stale?.pid) renameSync(aside, lock);
    else unlinkSync(aside);
  } catch {
    // It is gone already.
  }
}

function releaseLock(lock: string, text: string): void {
  try {
    if (readFileSync(lock, "utf8") === text) unlinkSync(lock);
  } catch {
    // Nobody is kept out by a lock that is gone.
  }
}

function held(
  file: string,
  lock: string,
  holder: Holder | undefined,
): { ok: false; error: ReturnType<typeof unusable>["error"] } {
  const by = holder === undefined ? "another process" : `process ${holder.pid} on ${holder.host}`;
  return unusable({
    code: "record-in-use",
    message: `This record is being written by ${by}. End it first; if it is gone, delete ${lock}.`,
    file,
  });
}

/** Start time by proc(5), field 22 of `stat`; empty where the system has no such file. */
function beganAt(pid: number): string {
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
    return stat.slice(stat.lastIndexOf(")") + 2).split(" ")[19] ?? "";
  } catch {
    return "";
  }
}

function codeOf(thrown: unknown): unknown {
  return thrown instanceof Error && "code" in thrown ? thrown.code : undefined;
}
