/**
 * The run record: JSON lines, each with the SHA-256 of itself and the hash of the line before, so that a line
 * changed, lost or put in afterwards is seen. Hashing is over the line's JSON with sorted keys and without
 * `hash` (RFC 8785 canonical form for the strings, finite numbers and plain objects a record holds).
 */
import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex, utf8ToBytes } from "@noble/hashes/utils.js";
import { validateRunRecord } from "../../schemas/generated/validators.js";
import type { Procedure } from "../procedure/model.ts";
import { advance } from "./advance.ts";
import { openRun } from "./apply.ts";
import type { Opening, RunEvent } from "./event.ts";
import type { Refusal } from "./refusal.ts";
import type { Run } from "./run.ts";

/** What the opening line says of the procedure. */
export interface OpenedPayload extends Omit<Opening, "run" | "at"> {
  readonly procedure: string;
  readonly revision: number;
  /** Hash of the procedure's texts. */
  readonly hash: string;
  readonly title: string;
  readonly equipment?: string;
  /** What wrote the record, with its version. */
  readonly app: string;
}

export interface RecordLine {
  /** 0 for the opening, then the sequence number of the event. */
  readonly seq: number;
  /** ISO 8601, UTC. */
  readonly at: string;
  readonly run: string;
  readonly step: string | null;
  readonly type: "opened" | RunEvent["type"];
  readonly payload: Readonly<Record<string, unknown>>;
  /** Hash of the line before; 64 zeros for the opening. */
  readonly previous: string;
  readonly hash: string;
}

export interface RecordProblem {
  readonly code:
    | "not-json"
    | "not-record"
    | "wrong-sequence"
    | "broken-chain"
    | "wrong-hash"
    | "other-run"
    | "empty";
  /** 1-based. */
  readonly line: number;
  readonly message: string;
}

const FIRST = "0".repeat(64);

/** The opening line of a run's record, written by `app`. */
export function openingLine(procedure: Procedure, opening: Opening, app: string): RecordLine {
  const { run, at, ...rest } = opening;
  const payload: OpenedPayload = {
    procedure: procedure.id,
    revision: procedure.revision,
    hash: procedure.hash,
    title: procedure.title,
    app,
    ...(procedure.sheet ? { equipment: procedure.sheet.id } : {}),
    ...rest,
  };
  return sealed({
    seq: 0,
    at: isoTime(at),
    run,
    step: null,
    type: "opened",
    payload: { ...payload },
    previous: FIRST,
  });
}

/** The line of an event that came next after `before`, at the step the run then stood at. */
export function eventLine(before: RecordLine, event: RunEvent, step: string): RecordLine {
  const { at, type, ...payload } = event;
  return sealed({
    seq: before.seq + 1,
    at: isoTime(at),
    run: before.run,
    step,
    type,
    payload,
    previous: before.hash,
  });
}

/** A line as it is written, without the line end. */
export function writeLine(line: RecordLine): string {
  return canonical(line);
}

/** The lines of a record whose chain holds, or the first thing that is wrong with it. */
export function verifyRecord(
  texts: readonly string[],
): { ok: true; lines: readonly RecordLine[] } | { ok: false; problem: RecordProblem } {
  const lines: RecordLine[] = [];
  for (const [index, text] of texts.entries()) {
    const parsed = parseRecordLine(text, index + 1);
    if (!parsed.ok) return parsed;
    const problem = linkProblem(lines.at(-1), parsed.line, index + 1);
    if (problem) return { ok: false, problem };
    lines.push(parsed.line);
  }
  if (lines.length === 0)
    return { ok: false, problem: { code: "empty", line: 1, message: "The record holds no line." } };
  return { ok: true, lines };
}

/** One line of a record: its shape and its own hash checked, its place in the chain not. */
export function parseRecordLine(
  text: string,
  number = 1,
): { ok: true; line: RecordLine } | { ok: false; problem: RecordProblem } {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return {
      ok: false,
      problem: { code: "not-json", line: number, message: `Line ${number} is cut off or is no JSON.` },
    };
  }
  if (!validateRunRecord(value) || !isTold(value as unknown as RecordLine))
    return {
      ok: false,
      problem: { code: "not-record", line: number, message: `Line ${number} is not a line of a run record.` },
    };
  const line = value as unknown as RecordLine;
  const { hash, ...body } = line;
  // The very bytes: another way to write the same JSON is a change, too.
  if (hashOf(body) !== hash || canonical(line) !== text)
    return {
      ok: false,
      problem: {
        code: "wrong-hash",
        line: number,
        message: `Line ${number} was changed after it was written.`,
      },
    };
  return { ok: true, line };
}

/** What is wrong between a line and the one before it, if anything. */
function linkProblem(
  before: RecordLine | undefined,
  line: RecordLine,
  number: number,
): RecordProblem | undefined {
  if (line.seq !== (before ? before.seq + 1 : 0))
    return {
      code: "wrong-sequence",
      line: number,
      message: `Line ${number} has number ${line.seq}; ${before ? before.seq + 1 : 0} comes here.`,
    };
  if (line.previous !== (before ? before.hash : FIRST))
    return {
      code: "broken-chain",
      line: number,
      message: `Line ${number} does not follow the line before it: one was changed, lost or put in.`,
    };
  if (before && before.run !== line.run)
    return { code: "other-run", line: number, message: `Line ${number} belongs to another run.` };
  return undefined;
}

/** The opening that a record's first line tells. */
export function openingOf(first: RecordLine): Opening & OpenedPayload {
  const payload = first.payload as unknown as OpenedPayload;
  return { ...payload, run: first.run, at: Date.parse(first.at) };
}

/** The event that a line tells. */
export function eventOf(line: RecordLine): RunEvent {
  return { ...line.payload, type: line.type, at: Date.parse(line.at) } as RunEvent;
}

/** The run that a verified record tells, walked again on the procedure it was walked on. */
export function replayRecord(
  procedure: Procedure,
  lines: readonly RecordLine[],
): { ok: true; run: Run } | { ok: false; line: number; refusal: Refusal } {
  const [first, ...rest] = lines;
  if (first === undefined)
    return { ok: false, line: 1, refusal: { code: "not-expected", expected: "opened", got: "" } };
  const { run: id, at, technician, unit } = openingOf(first);
  let run = openRun(procedure, {
    run: id,
    at,
    ...(technician === undefined ? {} : { technician }),
    ...(unit === undefined ? {} : { unit }),
  });
  for (const [index, line] of rest.entries()) {
    const next = advance(procedure, run, eventOf(line));
    if (!next.ok) return { ok: false, line: index + 2, refusal: next.refusal };
    run = next.run;
  }
  return { ok: true, run };
}

/** A moment that there is, and an opening only where a run begins. */
function isTold(value: RecordLine): boolean {
  return !Number.isNaN(Date.parse(value.at)) && (value.seq === 0) === (value.type === "opened");
}

function sealed(body: Omit<RecordLine, "hash">): RecordLine {
  return { ...body, hash: hashOf(body) };
}

function hashOf(body: object): string {
  return bytesToHex(sha256(utf8ToBytes(canonical(body))));
}

/** JSON with object keys in UTF-16 order; what is undefined is left out, as JSON does. Throws on NaN, Infinity. */
function canonical(value: unknown): string {
  if (typeof value === "number" && !Number.isFinite(value))
    throw new RangeError(`a record holds no ${value}`);
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (typeof value === "object" && value !== null) {
    const entries = Object.entries(value)
      .filter(([, item]) => item !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0));
    return `{${entries.map(([key, item]) => `${JSON.stringify(key)}:${canonical(item)}`).join(",")}}`;
  }
  return JSON.stringify(value);
}

function isoTime(ms: number): string {
  return new Date(ms).toISOString();
}
