/** Runs, their lines and what is counted from them, in SQLite. */
import type { Database } from "better-sqlite3";
import type { BranchTally, RunTally } from "../../engine/audit/count-branches.ts";
import type { Traversal } from "../../engine/audit/traversal.ts";
import { END_WORDS } from "../../engine/procedure/model.ts";
import type { Batch, RunDigest, Store, StoredRun } from "./store.ts";

interface RunRow {
  readonly id: number;
  readonly run: string;
  readonly lines: number;
  readonly opened: number;
  readonly latest: number;
  readonly procedure: string | null;
  readonly revision: number | null;
  readonly hash: string | null;
  readonly equipment: string | null;
  readonly technician: string | null;
  readonly unit: string | null;
  readonly ended: string | null;
  readonly seconds: number | null;
  readonly counted: number;
}

interface TraversalRow {
  readonly seq: number;
  readonly step: string;
  readonly outcome: string;
  readonly at: number;
  readonly seconds: number | null;
}

/** What a traversal is counted under. */
type TallyKey = [procedure: string, step: string, outcome: string, seconds: number, revision: number];

type RunPart = Pick<
  Store,
  "append" | "readLines" | "listRuns" | "listUncounted" | "recount" | "tallyBranches" | "tallyRuns"
>;

export function openSqliteRuns(db: Database): RunPart {
  const findRun = db.prepare<[string], RunRow>("SELECT * FROM runs WHERE run = ?");
  const addRun = db.prepare<[string]>(
    "INSERT INTO runs (run, lines, opened, latest, counted) VALUES (?, 0, 0, 0, 0)",
  );
  const addLine = db.prepare<[number, number, string]>("INSERT INTO lines (run, seq, text) VALUES (?, ?, ?)");
  const setRun = db.prepare<[Record<string, string | number | null>]>(`
    UPDATE runs SET lines = @lines, opened = @opened, latest = @latest, procedure = @procedure,
      revision = @revision, hash = @hash, equipment = @equipment, technician = @technician, unit = @unit,
      ended = @ended, seconds = @seconds, counted = @counted WHERE id = @id`);
  const readLines = db.prepare<[string], { readonly text: string }>(
    "SELECT text FROM lines WHERE run = (SELECT id FROM runs WHERE run = ?) ORDER BY seq",
  );
  const listRuns = db.prepare<[number], RunRow>("SELECT * FROM runs ORDER BY latest DESC, run LIMIT ?");
  const listUncounted = db.prepare<[], { readonly run: string }>(
    "SELECT run FROM runs WHERE counted = 0 ORDER BY opened, run",
  );
  const tallyBranches = db.prepare<
    [string, number | null, number | null],
    { readonly step: string; readonly outcome: string; readonly seconds: number; readonly count: number }
  >(`SELECT step, outcome, seconds, SUM(count) AS count FROM branch_tally
     WHERE procedure = ? AND (? IS NULL OR revision = ?) GROUP BY step, outcome, seconds`);
  const tallyRuns = db.prepare<
    [string, number | null, number | null],
    { readonly ended: string | null; readonly seconds: number | null; readonly count: number }
  >(`SELECT ended, seconds, COUNT(*) AS count FROM runs
     WHERE procedure = ? AND (? IS NULL OR revision = ?) GROUP BY ended, seconds`);
  const putTraversals = prepareTraversals(db);

  const store = (row: RunRow, lines: number, digest: RunDigest): void => {
    putTraversals(row, digest);
    setRun.run({
      id: row.id,
      lines,
      opened: digest.opened,
      latest: digest.latest,
      procedure: digest.procedure ?? null,
      revision: digest.revision ?? null,
      hash: digest.hash ?? null,
      equipment: digest.equipment ?? null,
      technician: digest.technician ?? null,
      unit: digest.unit ?? null,
      ended: digest.end ?? null,
      seconds: digest.seconds ?? null,
      counted: digest.traversals === undefined ? 0 : 1,
    });
  };

  const append = db.transaction(({ run, after, lines, digest }: Batch): boolean => {
    if ((findRun.get(run)?.lines ?? 0) !== after) return false;
    if (after === 0) addRun.run(run);
    const row = findRun.get(run);
    if (row === undefined) return false;
    for (const [index, text] of lines.entries()) addLine.run(row.id, after + index, text);
    store(row, after + lines.length, digest);
    return true;
  });

  const recount = db.transaction((run: string, after: number, digest: RunDigest): boolean => {
    const row = findRun.get(run);
    if (row === undefined || row.lines !== after) return false;
    store(row, after, digest);
    return true;
  });

  return {
    async append(batch) {
      return append.immediate(batch);
    },
    async readLines(run) {
      return readLines.all(run).map((row) => row.text);
    },
    async listRuns(limit) {
      return listRuns.all(limit).map(toStoredRun);
    },
    async listUncounted() {
      return listUncounted.all().map((row) => row.run);
    },
    async recount(run, after, digest) {
      return recount.immediate(run, after, digest);
    },
    async tallyBranches(procedure, revision) {
      return tallyBranches.all(procedure, revision ?? null, revision ?? null).map(
        ({ step, outcome, seconds, count }): BranchTally => ({
          step,
          outcome,
          ...(seconds < 0 ? {} : { seconds }),
          count,
        }),
      );
    },
    async tallyRuns(procedure, revision) {
      return tallyRuns.all(procedure, revision ?? null, revision ?? null).map(
        ({ ended, seconds, count }): RunTally => ({
          ...endOf(ended),
          ...(seconds === null ? {} : { seconds }),
          count,
        }),
      );
    },
  };
}

/** Replaces a run's traversals: only what differs is written, and the rollup follows it. */
function prepareTraversals(db: Database): (run: RunRow, digest: RunDigest) => void {
  const read = db.prepare<[number], TraversalRow>(
    "SELECT seq, step, outcome, at, seconds FROM traversals WHERE run = ? ORDER BY place",
  );
  const add = db.prepare<[number, number, number, string, string, number, number | null]>(
    "INSERT INTO traversals (run, place, seq, step, outcome, at, seconds) VALUES (?, ?, ?, ?, ?, ?, ?)",
  );
  const cut = db.prepare<[number, number]>("DELETE FROM traversals WHERE run = ? AND place >= ?");
  const countUp = db.prepare<TallyKey>(`
    INSERT INTO branch_tally (procedure, step, outcome, seconds, revision, count) VALUES (?, ?, ?, ?, ?, 1)
    ON CONFLICT DO UPDATE SET count = count + 1`);
  const countDown = db.prepare<TallyKey>(`
    UPDATE branch_tally SET count = count - 1
    WHERE procedure = ? AND step = ? AND outcome = ? AND seconds = ? AND revision = ?`);
  const drop = db.prepare<TallyKey>(`
    DELETE FROM branch_tally
    WHERE procedure = ? AND step = ? AND outcome = ? AND seconds = ? AND revision = ? AND count = 0`);

  return (run, digest) => {
    const before = run.counted === 1 ? read.all(run.id) : [];
    const after = digest.traversals ?? [];
    const sameText =
      run.procedure === (digest.procedure ?? null) && run.revision === (digest.revision ?? null);
    const kept = sameText ? countSame(before, after) : 0;
    if (kept < before.length) {
      for (const row of before.slice(kept)) {
        const key = tallyKey(run.procedure, run.revision, row);
        countDown.run(...key);
        drop.run(...key);
      }
      cut.run(run.id, kept);
    }
    for (const [index, row] of after.slice(kept).entries()) {
      add.run(run.id, kept + index, row.seq, row.step, row.outcome, row.at, row.seconds ?? null);
      countUp.run(...tallyKey(digest.procedure, digest.revision, row));
    }
  };
}

function countSame(before: readonly TraversalRow[], after: readonly Traversal[]): number {
  const differs = before.findIndex((row, place) => {
    const other = after[place];
    return (
      other === undefined ||
      row.seq !== other.seq ||
      row.step !== other.step ||
      row.outcome !== other.outcome ||
      row.at !== other.at ||
      row.seconds !== (other.seconds ?? null)
    );
  });
  return differs < 0 ? before.length : differs;
}

function tallyKey(
  procedure: string | null | undefined,
  revision: number | null | undefined,
  row: TraversalRow | Traversal,
): TallyKey {
  return [procedure ?? "", row.step, row.outcome, row.seconds ?? -1, revision ?? 0];
}

function toStoredRun(row: RunRow): StoredRun {
  return {
    run: row.run,
    lines: row.lines,
    counted: row.counted === 1,
    opened: row.opened,
    latest: row.latest,
    ...(row.procedure === null ? {} : { procedure: row.procedure }),
    ...(row.revision === null ? {} : { revision: row.revision }),
    ...(row.hash === null ? {} : { hash: row.hash }),
    ...(row.equipment === null ? {} : { equipment: row.equipment }),
    ...(row.technician === null ? {} : { technician: row.technician }),
    ...(row.unit === null ? {} : { unit: row.unit }),
    ...endOf(row.ended),
    ...(row.seconds === null ? {} : { seconds: row.seconds }),
  };
}

function endOf(ended: string | null): Pick<StoredRun, "end"> {
  const end = END_WORDS.find((word) => word === ended);
  return end === undefined ? {} : { end };
}
