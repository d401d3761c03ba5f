/**
 * How quick the SQLite store is: an accepted line against a bare synced transaction, and counting by branch
 * against counting the rows themselves. Read the ratios, not the figures.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Database from "better-sqlite3";
import { afterAll, bench, describe } from "vitest";
import type { Traversal } from "../../engine/audit/traversal.ts";
import { openSqliteStore } from "../../runner/store/sqlite-store.ts";

const ROWS = 500_000;
const STEPS = 25;
const ROWS_A_RUN = 12;
const PROCEDURE = "radiator-fan-stays-off";
const LINE = JSON.stringify({ seq: 1, payload: { reading: "12.4 V" }, hash: "0".repeat(240) });

const root = mkdtempSync(join(tmpdir(), "probewright-bench-"));
afterAll(() => rmSync(root, { recursive: true, force: true }));

function openStore(name: string) {
  const opened = openSqliteStore(join(root, name));
  if (!opened.ok) throw new Error(opened.problem.message);
  return opened.store;
}

function traversal(place: number, run: number): Traversal {
  return {
    step: `step-${(run + place) % STEPS}`,
    outcome: (run * 7 + place) % 3 === 0 ? "no" : "yes",
    seq: place + 1,
    at: run * 1_000_000 + place * 90_000,
    seconds: 20 + ((run * 31 + place * 17) % 600),
  };
}

describe("an accepted event", async () => {
  const bare = new Database(join(root, "bare.sqlite"));
  bare.pragma("journal_mode = WAL");
  bare.pragma("synchronous = FULL");
  bare.exec("CREATE TABLE lines (run INTEGER, seq INTEGER, text TEXT, PRIMARY KEY (run, seq)) WITHOUT ROWID");
  const insert = bare.prepare("INSERT INTO lines VALUES (1, ?, ?)");
  let seq = 0;
  bench("a bare synced transaction of one line", () => {
    insert.run(seq++, LINE);
  });

  const store = openStore("append");
  let event = 0;
  bench("line, traversals and rollup", async () => {
    const run = Math.floor(event / ROWS_A_RUN);
    const place = event % ROWS_A_RUN;
    event++;
    await store.append({
      run: `run-${run}`,
      after: place,
      lines: [LINE],
      digest: {
        opened: run,
        latest: run + place,
        procedure: PROCEDURE,
        revision: 1,
        traversals: Array.from({ length: place + 1 }, (_, each) => traversal(each, run)),
      },
    });
  });
});

describe(`counts by branch over ${ROWS.toLocaleString("en")} traversals`, async () => {
  const store = openStore("count");
  for (let run = 0; run < ROWS / ROWS_A_RUN; run++) {
    await store.append({
      run: `run-${run}`,
      after: 0,
      lines: [LINE],
      digest: {
        opened: run,
        latest: run,
        procedure: PROCEDURE,
        revision: 1,
        traversals: Array.from({ length: ROWS_A_RUN }, (_, place) => traversal(place, run)),
      },
    });
  }
  const plain = new Database(join(root, "count", "shop.sqlite"), { readonly: true });
  const count = plain.prepare(`
    SELECT step, outcome, COUNT(*) FROM traversals JOIN runs ON runs.id = traversals.run
    WHERE procedure = ? GROUP BY step, outcome`);
  bench("from the rows", () => {
    count.all(PROCEDURE);
  });
  bench("from the rollup, times included", async () => {
    await store.tallyBranches(PROCEDURE);
  });
});
