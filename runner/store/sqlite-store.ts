/** The store that a shop keeps: one SQLite file in its data folder. */
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import Database from "better-sqlite3";
import { openSqliteRuns } from "./sqlite-runs.ts";
import { migrate } from "./sqlite-schema.ts";
import { openSqliteTexts } from "./sqlite-texts.ts";
import type { Store } from "./store.ts";

export type OpenedStore =
  | { readonly ok: true; readonly store: Store }
  | {
      readonly ok: false;
      readonly problem: { readonly code: "data-unusable" | "data-newer"; readonly message: string };
    };

/**
 * The store in that folder, made where it is missing; or, in a sentence, why it cannot be used.
 *
 * Written with a full sync at each transaction: what was acknowledged outlives the process and the power.
 * Several processes may have the same folder open.
 */
export function openSqliteStore(folder: string): OpenedStore {
  const file = join(folder, "shop.sqlite");
  let db: Database.Database | undefined;
  try {
    mkdirSync(folder, { recursive: true });
    db = new Database(file, { timeout: 5000 });
    db.pragma("journal_mode = WAL");
    db.pragma("synchronous = FULL");
    db.pragma("foreign_keys = ON");
    if (!migrate(db)) {
      db.close();
      const message = `${file} was written by a later version of this program; use that one.`;
      return { ok: false, problem: { code: "data-newer", message } };
    }
    return { ok: true, store: assembleStore(db) };
  } catch (error) {
    db?.close();
    const reason = error instanceof Error ? error.message : String(error);
    return {
      ok: false,
      problem: { code: "data-unusable", message: `${file} cannot be used: ${reason}.` },
    };
  }
}

function assembleStore(db: Database.Database): Store {
  return {
    ...openSqliteRuns(db),
    ...openSqliteTexts(db),
    async close() {
      db.close();
    },
  };
}
