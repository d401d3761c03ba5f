/** Texts by their hash, and the author's drafts made of them, in SQLite. */
import type { Database } from "better-sqlite3";
import { DamagedStore } from "./damaged-store.ts";
import { type Bundle, DRAFT_SPACING, type DraftVersion, type NewDraft, type Store } from "./store.ts";
import { textHash } from "./text-hash.ts";

type TextPart = Pick<
  Store,
  "keepBundle" | "readBundle" | "readDraft" | "draftHistory" | "keepDraft" | "markSaved"
>;

/** A bundle with hashes in the place of texts. */
interface Manifest {
  readonly procedure: string;
  readonly text: string;
  readonly called: readonly (readonly [id: string, hash: string])[];
  readonly equipment: readonly (readonly [id: string, hash: string])[];
}

interface DraftRow {
  readonly version: number;
  readonly hash: string;
  readonly text: string;
  readonly base: string | null;
  readonly at: number;
}

export function openSqliteTexts(db: Database): TextPart {
  const addText = db.prepare<[string, string]>(
    "INSERT INTO texts (hash, text) VALUES (?, ?) ON CONFLICT DO NOTHING",
  );
  const readText = db.prepare<[string], { readonly text: string }>("SELECT text FROM texts WHERE hash = ?");
  const findBundle = db.prepare<[string, number], { readonly manifest: string }>(
    "SELECT manifest FROM bundles WHERE hash = ? AND at <= ? ORDER BY at DESC LIMIT 1",
  );
  const firstBundle = db.prepare<[string], { readonly manifest: string }>(
    "SELECT manifest FROM bundles WHERE hash = ? ORDER BY at LIMIT 1",
  );
  const putBundle = db.prepare<[string, string, number]>(
    "INSERT INTO bundles (hash, manifest, at) VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
  );
  const selectDraft = "SELECT version, hash, text, base, at FROM drafts";
  const currentDraft = db.prepare<[string], DraftRow>(`${selectDraft} WHERE procedure = ? AND current = 1`);
  const allDrafts = db.prepare<[string], DraftRow>(`${selectDraft} WHERE procedure = ? ORDER BY version`);
  const nextVersion = db.prepare<[string], { readonly next: number }>(
    "SELECT coalesce(max(version), 0) + 1 AS next FROM drafts WHERE procedure = ?",
  );
  const addDraft = db.prepare<[Record<string, string | number | null>]>(`
    INSERT INTO drafts (procedure, version, hash, text, base, at, current, aside)
    VALUES (@procedure, @version, @hash, @text, @base, @at, 1 - @aside, @aside)`);
  const beforeDraft = db.prepare<[string, number], { readonly at: number }>(
    "SELECT at FROM drafts WHERE procedure = ? AND version < ? AND aside = 0 ORDER BY version DESC LIMIT 1",
  );
  const dropDraft = db.prepare<[string, number]>("DELETE FROM drafts WHERE procedure = ? AND version = ?");
  const endDraft = db.prepare<[string]>("UPDATE drafts SET current = 0 WHERE procedure = ? AND current = 1");

  const keepText = (text: string): string => {
    const hash = textHash(text);
    addText.run(hash, text);
    return hash;
  };

  const keepBundle = db.transaction((bundle: Bundle, at: number): void => {
    const manifest = JSON.stringify({
      procedure: bundle.procedure,
      text: keepText(bundle.text),
      called: [...bundle.called].map(([id, text]) => [id, keepText(text)]),
      equipment: [...bundle.equipment].map(([id, text]) => [id, keepText(text)]),
    });
    putBundle.run(bundle.hash, manifest, at);
  });

  const textOf = (hash: string): string => {
    const row = readText.get(hash);
    if (row === undefined) throw new DamagedStore(`texts, hash ${hash}`, `This text is not there any more.`);
    return row.text;
  };

  /** What is written over is no draft any more, and no history either where it follows another too closely. */
  const retire = (procedure: string, current: DraftRow): void => {
    const before = beforeDraft.get(procedure, current.version);
    if (before !== undefined && current.at - before.at < DRAFT_SPACING)
      dropDraft.run(procedure, current.version);
    else endDraft.run(procedure);
  };

  const keepDraft = db.transaction((draft: NewDraft): Awaited<ReturnType<Store["keepDraft"]>> => {
    const { procedure, text, at } = draft;
    const hash = textHash(text);
    const current = currentDraft.get(procedure);
    if (current?.hash === hash) return { kept: toDraft(current) };
    const version = nextVersion.get(procedure)?.next ?? 1;
    const clash = current !== undefined && current.hash !== draft.base;
    if (current !== undefined && !clash) retire(procedure, current);
    const row = { version, hash, text, base: draft.base ?? null, at };
    addDraft.run({ procedure, ...row, aside: clash ? 1 : 0 });
    return clash ? { kept: toDraft(row), conflict: toDraft(current) } : { kept: toDraft(row) };
  });

  const markSaved = db.transaction((procedure: string, hash: string): void => {
    if (currentDraft.get(procedure)?.hash === hash) endDraft.run(procedure);
  });

  return {
    async keepBundle(bundle, at) {
      keepBundle.immediate(bundle, at);
    },
    async readBundle(hash, at) {
      const row = findBundle.get(hash, at) ?? firstBundle.get(hash);
      if (row === undefined) return undefined;
      const { procedure, text, called, equipment } = manifestOf(row.manifest, hash);
      const textsOf = (named: Manifest["called"]) => new Map(named.map(([id, of]) => [id, textOf(of)]));
      return {
        hash,
        procedure,
        text: textOf(text),
        called: textsOf(called),
        equipment: textsOf(equipment),
      };
    },
    async readDraft(procedure) {
      const row = currentDraft.get(procedure);
      return row === undefined ? undefined : toDraft(row);
    },
    async draftHistory(procedure) {
      return allDrafts.all(procedure).map(toDraft);
    },
    async keepDraft(draft) {
      return keepDraft.immediate(draft);
    },
    async markSaved(procedure, hash) {
      markSaved.immediate(procedure, hash);
    },
  };
}

/** What a bundle's row says; throws where it is not as it was written. */
function manifestOf(written: string, hash: string): Manifest {
  const damaged = () => new DamagedStore(`bundles, hash ${hash}`, "This row is not as it was written.");
  let read: unknown;
  try {
    read = JSON.parse(written);
  } catch {
    throw damaged();
  }
  if (!isManifest(read)) throw damaged();
  return read;
}

function isManifest(read: unknown): read is Manifest {
  if (typeof read !== "object" || read === null) return false;
  const { procedure, text, called, equipment } = read as Partial<Record<keyof Manifest, unknown>>;
  return typeof procedure === "string" && typeof text === "string" && isNamed(called) && isNamed(equipment);
}

function isNamed(read: unknown): boolean {
  return (
    Array.isArray(read) &&
    read.every(
      (pair) => Array.isArray(pair) && pair.length === 2 && pair.every((part) => typeof part === "string"),
    )
  );
}

function toDraft({ version, hash, text, base, at }: DraftRow): DraftVersion {
  return { version, hash, text, ...(base === null ? {} : { base }), at };
}
