/** Drafts in this browser: IndexedDB for every change, local storage for the last one as the page goes. */
import { type DBSchema, type IDBPDatabase, openDB } from "idb";
import type { Draft } from "../edits/draft.ts";

/** A draft with all that is needed to check it while the server is away. */
export interface StoredDraft extends Draft {
  readonly id: string;
  readonly at: number;
  readonly called: ReadonlyMap<string, string>;
  readonly equipment: ReadonlyMap<string, string>;
}

/** A text that was taken out of the editor for another: kept until the author throws it away. */
export interface SetAside {
  readonly key: number;
  readonly id: string;
  readonly text: string;
  readonly at: number;
}

interface Schema extends DBSchema {
  drafts: { key: string; value: StoredDraft };
  "set-aside": { key: number; value: Omit<SetAside, "key"> };
}

let opened: Promise<IDBPDatabase<Schema>> | undefined;

function database(): Promise<IDBPDatabase<Schema>> {
  opened ??= openDB<Schema>("probewright-author", 1, {
    upgrade(db) {
      db.createObjectStore("drafts", { keyPath: "id" });
      db.createObjectStore("set-aside", { autoIncrement: true });
    },
    terminated() {
      opened = undefined;
    },
  });
  // A failed opening must not answer for every later one.
  opened.catch(() => {
    opened = undefined;
  });
  return opened;
}

/** Stores the draft for good; rejects where the browser refuses. */
export async function putDraft(draft: StoredDraft): Promise<void> {
  const db = await database();
  await db.put("drafts", draft);
  dropLeaving(draft.id, draft.at);
}

/** Returns the draft typed on last in this browser, or nothing; a store that fails counts as empty. */
export async function readDraft(id: string): Promise<StoredDraft | undefined> {
  const kept = await database()
    .then((db) => db.get("drafts", id))
    .catch(() => undefined);
  const left = readLeaving(id);
  if (!left || (kept && kept.at >= left.at)) return kept;
  return {
    called: new Map(),
    equipment: new Map(),
    ...kept,
    ...left,
    id,
  };
}

/** Returns all drafts in this browser, the latest first. */
export async function listDrafts(): Promise<readonly StoredDraft[]> {
  const all = await database()
    .then((db) => db.getAll("drafts"))
    .catch(() => []);
  return all.sort((a, b) => b.at - a.at);
}

/** Forgets a draft: its text was saved, or another was chosen and this one set aside. */
export async function dropDraft(id: string): Promise<void> {
  dropLeaving(id, Number.POSITIVE_INFINITY);
  await database()
    .then((db) => db.delete("drafts", id))
    .catch(() => undefined);
}

export async function setAside(entry: Omit<SetAside, "key">): Promise<void> {
  const db = await database();
  await db.add("set-aside", entry);
}

/** Returns the texts set aside, the latest first. */
export async function listSetAside(): Promise<readonly SetAside[]> {
  try {
    const db = await database();
    const [keys, values] = await Promise.all([db.getAllKeys("set-aside"), db.getAll("set-aside")]);
    return values
      .flatMap((value, index) => {
        const key = keys[index];
        return key === undefined ? [] : [{ ...value, key }];
      })
      .toReversed();
  } catch {
    return [];
  }
}

const LEAVING = "probewright-author/leaving/";

/** Keeps the text at once, without waiting: for the moment in which the page is being left. */
export function keepLeaving(id: string, draft: Draft & { readonly at: number }): void {
  const { text, base, at } = draft;
  try {
    localStorage.setItem(LEAVING + id, JSON.stringify({ text, base, at }));
  } catch {
    // Full or forbidden: IndexedDB has everything but perhaps the last 150 ms.
  }
}

function readLeaving(id: string): (Draft & { readonly at: number }) | undefined {
  try {
    const value: unknown = JSON.parse(localStorage.getItem(LEAVING + id) ?? "null");
    if (typeof value !== "object" || value === null) return undefined;
    const { text, base, at } = value as Record<string, unknown>;
    if (typeof text !== "string" || typeof at !== "number") return undefined;
    return typeof base === "string" ? { text, base, at } : { text, at };
  } catch {
    return undefined;
  }
}

function dropLeaving(id: string, upTo: number): void {
  const left = readLeaving(id);
  if (!left || left.at > upTo) return;
  try {
    localStorage.removeItem(LEAVING + id);
  } catch {
    // Nothing to do: what could not be removed is older than the draft and loses against it.
  }
}
