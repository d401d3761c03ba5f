/** What a run's record tells, walked again on the procedure it was walked on. */
import { findTraversals } from "../../engine/audit/traversal.ts";
import { advance } from "../../engine/machine/advance.ts";
import { eventOf, openingOf, type RecordLine, replayRecord } from "../../engine/machine/record.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import type { RunDigest } from "../store/store.ts";

/** A record as far as it goes. */
export interface Walk {
  readonly lines: readonly RecordLine[];
  /** Absent where the procedure is not known, or the record does not fit it. */
  readonly walked?: { readonly procedure: Procedure; readonly run: Run };
}

/** The record with more lines, its run walked on by them; `find` is asked where it was not walked yet. */
export async function walkOn(
  before: Walk,
  more: readonly RecordLine[],
  find: (first: RecordLine) => Promise<Procedure | undefined>,
): Promise<Walk> {
  const lines = [...before.lines, ...more];
  const walked = before.walked === undefined ? await walkAll(lines, find) : walkMore(before.walked, more);
  return { lines, ...(walked === undefined ? {} : { walked }) };
}

async function walkAll(
  lines: readonly RecordLine[],
  find: (first: RecordLine) => Promise<Procedure | undefined>,
): Promise<Walk["walked"]> {
  const [first] = lines;
  const procedure = first && (await find(first));
  if (procedure === undefined) return undefined;
  const replayed = replayRecord(procedure, lines);
  return replayed.ok ? { procedure, run: replayed.run } : undefined;
}

function walkMore(walked: NonNullable<Walk["walked"]>, more: readonly RecordLine[]): Walk["walked"] {
  let { run } = walked;
  for (const line of more) {
    const next = advance(walked.procedure, run, eventOf(line));
    if (!next.ok) return undefined;
    run = next.run;
  }
  return { procedure: walked.procedure, run };
}

/** What the store keeps beside the lines; nothing of an empty record. */
export function toDigest({ lines, walked }: Walk): RunDigest | undefined {
  const [first] = lines;
  const last = lines.at(-1);
  if (first === undefined || last === undefined) return undefined;
  const { procedure, revision, hash, equipment, technician, unit } = openingOf(first);
  const opened = Date.parse(first.at);
  return {
    opened,
    latest: Date.parse(last.at),
    procedure,
    revision,
    hash,
    ...(equipment === undefined ? {} : { equipment }),
    ...(technician === undefined ? {} : { technician }),
    ...(unit === undefined ? {} : { unit }),
    ...(walked === undefined ? {} : toCounts(walked, opened)),
  };
}

function toCounts({ procedure, run }: NonNullable<Walk["walked"]>, opened: number) {
  const endedAt = run.end === undefined ? undefined : run.events[(run.path.at(-1)?.seq ?? 0) - 1]?.at;
  return {
    ...(run.end === undefined ? {} : { end: run.end }),
    ...(endedAt === undefined || endedAt < opened ? {} : { seconds: Math.round((endedAt - opened) / 1000) }),
    traversals: findTraversals(procedure, run),
  };
}
