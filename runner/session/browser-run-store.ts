import { type DBSchema, type IDBPDatabase, openDB } from "idb";
import type { ProcedureEntry, ProcedureTexts } from "../wire/procedures.ts";
import type { KeptDraft, RunHead } from "./kept-run.ts";
import { type LastKey, laterDraft, openLastKey } from "./last-key.ts";
import { headAfter, headSent, type RunStore } from "./run-store.ts";

interface KeptLine {
  readonly run: string;
  readonly seq: number;
  readonly text: string;
}

interface Runs extends DBSchema {
  heads: { key: string; value: RunHead };
  lines: { key: [string, number]; value: KeptLine };
  texts: { key: string; value: ProcedureTexts };
  drafts: { key: string; value: KeptDraft };
  /** The list of procedures under `list`. */
  shop: { key: string; value: readonly ProcedureEntry[] };
  /** The texts of each procedure as last seen. */
  latest: { key: string; value: ProcedureTexts };
}

const NAME = "probewright";
const VERSION = 1;
/** On disk before it is told: a dead battery right after the tap loses nothing. */
const STRICT = { durability: "strict" } as const;

/** The runs kept in this browser (IndexedDB); rejects where the browser keeps nothing. */
export async function openBrowserRunStore(name = NAME): Promise<RunStore> {
  const db = await openDB<Runs>(name, VERSION, {
    upgrade(fresh) {
      fresh.createObjectStore("heads", { keyPath: "run" });
      fresh.createObjectStore("lines", { keyPath: ["run", "seq"] });
      fresh.createObjectStore("texts");
      fresh.createObjectStore("drafts");
      fresh.createObjectStore("shop");
      fresh.createObjectStore("latest", { keyPath: "id" });
    },
  });
  const lastKey = openLastKey();
  return {
    async listHeads() {
      return (await db.getAll("heads")).toSorted((a, b) => b.touchedAt - a.touchedAt);
    },
    readRun: (run) => readRun(db, lastKey, run),
    async readLines(run, from) {
      return (await db.getAll("lines", linesFrom(run, from))).map((line) => line.text);
    },
    async open(head, texts, line) {
      const transaction = db.transaction(["heads", "texts", "lines"], "readwrite", STRICT);
      await Promise.all([
        transaction.objectStore("heads").add(head),
        transaction.objectStore("texts").add(texts, head.run),
        transaction.objectStore("lines").add({ run: head.run, seq: 0, text: line }),
        transaction.done,
      ]);
    },
    async append(run, seq, line, change) {
      const transaction = db.transaction(["heads", "lines"], "readwrite", STRICT);
      const head = await transaction.objectStore("heads").get(run);
      if (head === undefined || head.lastSeq + 1 !== seq) {
        await transaction.done;
        return false;
      }
      await Promise.all([
        transaction.objectStore("lines").add({ run, seq, text: line }),
        transaction.objectStore("heads").put(headAfter(head, seq, change)),
        transaction.done,
      ]);
      return true;
    },
    async keepDraft(run, draft) {
      lastKey.write(run, draft);
      await db.put("drafts", draft, run);
      lastKey.clear(run, draft);
    },
    async markSent(run, seq, refused) {
      const transaction = db.transaction("heads", "readwrite");
      const head = await transaction.store.get(run);
      if (head !== undefined) await transaction.store.put(headSent(head, seq, refused));
      await transaction.done;
    },
    async keepShop(entries) {
      await db.put("shop", entries, "list");
    },
    readShop: () => db.get("shop", "list"),
    async keepTexts(texts) {
      await db.put("latest", texts);
    },
    readTexts: (procedure) => db.get("latest", procedure),
  };
}

function linesFrom(run: string, from: number): IDBKeyRange {
  return IDBKeyRange.bound([run, from], [run, Number.MAX_SAFE_INTEGER]);
}

async function readRun(db: IDBPDatabase<Runs>, lastKey: LastKey, run: string) {
  const transaction = db.transaction(["heads", "texts", "lines", "drafts"]);
  const [head, texts, lines, stored] = await Promise.all([
    transaction.objectStore("heads").get(run),
    transaction.objectStore("texts").get(run),
    transaction.objectStore("lines").getAll(linesFrom(run, 0)),
    transaction.objectStore("drafts").get(run),
  ]);
  if (head === undefined || texts === undefined) return undefined;
  const draft = laterDraft(stored, lastKey.read(run));
  return { head, texts, lines: lines.map((line) => line.text), ...(draft ? { draft } : {}) };
}
