/** The tables of the SQLite store, as the steps by which a file of any earlier age is brought up to now. */
import type { Database } from "better-sqlite3";

/** One for each version: number 1 makes an empty file into version 1. Never change one that was released. */
const MIGRATIONS: readonly string[] = [
  `
  CREATE TABLE runs (
    id INTEGER PRIMARY KEY,
    run TEXT NOT NULL UNIQUE,
    lines INTEGER NOT NULL,
    opened INTEGER NOT NULL,
    latest INTEGER NOT NULL,
    procedure TEXT,
    revision INTEGER,
    hash TEXT,
    equipment TEXT,
    technician TEXT,
    unit TEXT,
    ended TEXT,
    seconds INTEGER,
    counted INTEGER NOT NULL
  ) STRICT;
  CREATE INDEX runs_latest ON runs (latest DESC, run);
  CREATE INDEX runs_tally ON runs (procedure, revision, ended, seconds);
  CREATE INDEX runs_uncounted ON runs (opened, run) WHERE counted = 0;

  CREATE TABLE lines (
    run INTEGER NOT NULL REFERENCES runs (id),
    seq INTEGER NOT NULL,
    text TEXT NOT NULL,
    PRIMARY KEY (run, seq)
  ) STRICT, WITHOUT ROWID;

  -- The branches a run took: procedure, revision and hash stand in its row of runs.
  CREATE TABLE traversals (
    run INTEGER NOT NULL REFERENCES runs (id),
    place INTEGER NOT NULL,
    seq INTEGER NOT NULL,
    step TEXT NOT NULL,
    outcome TEXT NOT NULL,
    at INTEGER NOT NULL,
    seconds INTEGER,
    PRIMARY KEY (run, place)
  ) STRICT, WITHOUT ROWID;

  -- The traversals rolled up, kept in step by the same transaction. Seconds -1: not known.
  CREATE TABLE branch_tally (
    procedure TEXT NOT NULL,
    step TEXT NOT NULL,
    outcome TEXT NOT NULL,
    seconds INTEGER NOT NULL,
    revision INTEGER NOT NULL,
    count INTEGER NOT NULL,
    PRIMARY KEY (procedure, step, outcome, seconds, revision)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE texts (hash TEXT PRIMARY KEY, text TEXT NOT NULL) STRICT;
  -- Which texts made a procedure of that hash; manifest is JSON, texts by their hash.
  CREATE TABLE bundles (
    hash TEXT NOT NULL,
    manifest TEXT NOT NULL,
    at INTEGER NOT NULL,
    PRIMARY KEY (hash, manifest)
  ) STRICT, WITHOUT ROWID;

  -- Aside: kept because of a conflict, never was the draft.
  CREATE TABLE drafts (
    procedure TEXT NOT NULL,
    version INTEGER NOT NULL,
    hash TEXT NOT NULL,
    text TEXT NOT NULL,
    base TEXT,
    at INTEGER NOT NULL,
    current INTEGER NOT NULL,
    aside INTEGER NOT NULL,
    PRIMARY KEY (procedure, version)
  ) STRICT;
  CREATE UNIQUE INDEX drafts_current ON drafts (procedure) WHERE current = 1;
  `,
];

/** True once the file is of this program's version; false when it is of a later one. */
export function migrate(db: Database): boolean {
  return db
    .transaction(() => {
      const before = Number(db.pragma("user_version", { simple: true }));
      if (before > MIGRATIONS.length) return false;
      for (const step of MIGRATIONS.slice(before)) db.exec(step);
      db.pragma(`user_version = ${MIGRATIONS.length}`);
      return true;
    })
    .immediate();
}
