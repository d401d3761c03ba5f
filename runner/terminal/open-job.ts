/** A run to be talked through: a new one, or one gone on with from its record. */
import { randomUUID } from "node:crypto";
import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { openRun } from "../../engine/machine/apply.ts";
import { openingOf, parseRecordLine, replayRecord } from "../../engine/machine/record.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { createRecord, type RecordFile, reopenRecord } from "./record-file.ts";
import { isUnbegun } from "./record-tail.ts";
import { type Outcome, unusable } from "./usage-error.ts";

export interface Job {
  readonly run: Run;
  readonly record: RecordFile;
  readonly resumed: boolean;
  /** Where a last line that a crash cut off is kept. */
  readonly cut?: string;
}

/** The equipment a record was made with, `undefined` for none; nothing where there is no record to go on with. */
export function recordedEquipment(record: string): { readonly equipment: string | undefined } | undefined {
  if (!holdsRun(record)) return undefined;
  const [text = ""] = readFileSync(record, "utf8").split("\n", 1);
  const first = parseRecordLine(text);
  return first.ok ? { equipment: openingOf(first.line).equipment } : undefined;
}

/** A run with its record open for writing. */
export function openJob(procedure: Procedure, record: string | undefined, data: string): Outcome<Job> {
  if (record !== undefined && holdsRun(record)) return resumeJob(procedure, record);
  const opening = { run: randomUUID(), at: Date.now() };
  const usual = join(data, "records", `${procedure.id}-${opening.run.slice(0, 8)}.jsonl`);
  const created = createRecord(record ?? usual, procedure, opening);
  if (!created.ok) return created;
  return { ok: true, value: { run: openRun(procedure, opening), record: created.value, resumed: false } };
}

function holdsRun(record: string): boolean {
  try {
    return existsSync(record) && !isUnbegun(readFileSync(record));
  } catch {
    return true;
  }
}

function resumeJob(procedure: Procedure, file: string): Outcome<Job> {
  const reopened = reopenRecord(file);
  if (!reopened.ok) return reopened;
  const { record, lines, cut } = reopened.value;
  const refuse = (message: string, line: number): Outcome<Job> => {
    record.close();
    return unusable({ code: "other-procedure", message, file, line });
  };
  const [first] = lines;
  if (first !== undefined && openingOf(first).hash !== procedure.hash) {
    const { procedure: id, revision } = openingOf(first);
    const message =
      id === procedure.id
        ? `This run began with another text of ${id} (revision ${revision}): go on with that one.`
        : `This run is one of ${id}, not of ${procedure.id}.`;
    return refuse(message, 1);
  }
  const replayed = replayRecord(procedure, lines);
  if (!replayed.ok) return refuse("The procedure does not take what this line says.", replayed.line);
  return {
    ok: true,
    value: { run: replayed.run, record, resumed: true, ...(cut === undefined ? {} : { cut }) },
  };
}
