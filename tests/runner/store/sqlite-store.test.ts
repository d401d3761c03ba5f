import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Database from "better-sqlite3";
import { afterAll, describe, expect, it } from "vitest";
import { DamagedStore } from "../../../runner/store/damaged-store.ts";
import { openSqliteStore } from "../../../runner/store/sqlite-store.ts";
import { describeStore } from "./store-contract.ts";

const root = mkdtempSync(join(tmpdir(), "probewright-store-"));
afterAll(() => rmSync(root, { recursive: true, force: true }));
let folders = 0;
const freshFolder = () => join(root, `${folders++}`, "data");

function open(folder = freshFolder()) {
  const opened = openSqliteStore(folder);
  if (!opened.ok) throw new Error(opened.problem.message);
  return opened.store;
}

const digest = { opened: 1, latest: 2 };

describeStore("SQLite", open);

describe("a SQLite store's file", () => {
  it("holds everything when it is opened again", async () => {
    const folder = freshFolder();
    const before = open(folder);
    await before.append({ run: "r1", after: 0, lines: ["a"], digest });
    await before.keepDraft({ procedure: "slow-crank", text: "one", at: 1 });
    await before.close();
    const after = open(folder);
    expect(await after.readLines("r1")).toEqual(["a"]);
    expect((await after.readDraft("slow-crank"))?.text).toBe("one");
    await after.close();
  });

  it("keeps a write-ahead log", async () => {
    const folder = freshFolder();
    await open(folder).close();
    const db = new Database(join(folder, "shop.sqlite"));
    expect(db.pragma("journal_mode", { simple: true })).toBe("wal");
    db.close();
  });

  it("may be open twice, and only one of two writers at the same place gets in", async () => {
    const folder = freshFolder();
    const one = open(folder);
    const two = open(folder);
    const batch = { run: "r1", after: 0, digest };
    const both = await Promise.all([
      one.append({ ...batch, lines: ["one"] }),
      two.append({ ...batch, lines: ["two"] }),
    ]);
    expect(both).toEqual([true, false]);
    expect(await two.readLines("r1")).toEqual(["one"]);
    await one.close();
    await two.close();
  });

  it.each([
    ["no JSON", "UPDATE bundles SET manifest = 'nope'", "bundles, hash h1"],
    ["another shape", "UPDATE bundles SET manifest = '{\"procedure\":1}'", "bundles, hash h1"],
    ["a text that is gone", "DELETE FROM texts", "texts, hash "],
  ])("says where it is damaged: %s", async (_, change, place) => {
    const folder = freshFolder();
    const store = open(folder);
    const bundle = { hash: "h1", procedure: "p", text: "one", called: new Map(), equipment: new Map() };
    await store.keepBundle(bundle, 1);
    const db = new Database(join(folder, "shop.sqlite"));
    db.exec(change);
    db.close();
    const damaged = store.readBundle("h1", 1);
    await expect(damaged).rejects.toThrow(DamagedStore);
    await expect(damaged).rejects.toThrow(`damaged at ${place}`);
    await store.close();
  });

  it("is refused in a sentence when a later version of the program wrote it", async () => {
    const folder = freshFolder();
    await open(folder).close();
    const db = new Database(join(folder, "shop.sqlite"));
    db.pragma("user_version = 999");
    db.close();
    expect(openSqliteStore(folder)).toMatchObject({ ok: false, problem: { code: "data-newer" } });
  });

  it("is refused in a sentence when it is no database, or its folder is none", async () => {
    const folder = freshFolder();
    await open(folder).close();
    writeFileSync(join(folder, "shop.sqlite"), "not a database, only a file of that name ".repeat(50));
    expect(openSqliteStore(folder)).toMatchObject({ ok: false, problem: { code: "data-unusable" } });
    const file = join(folder, "file");
    writeFileSync(file, "");
    expect(openSqliteStore(join(file, "data"))).toMatchObject({
      ok: false,
      problem: { code: "data-unusable" },
    });
  });
});
