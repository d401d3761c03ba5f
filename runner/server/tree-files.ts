/** The text files of the trees folder: read when they changed, written so that no half file is ever seen. */
import { randomUUID } from "node:crypto";
import { open, readdir, readFile, rename, rm, stat } from "node:fs/promises";
import { join } from "node:path";
import { MAX_BYTES } from "../../engine/procedure/decode-text.ts";
import { textHash } from "../store/text-hash.ts";

/** Ids that are file names too: kebab-case words and nothing that leads out of the folder. */
const SAFE_ID = /^[a-z0-9]+(?:-[a-z0-9]+)*$/;
const LONGEST_ID = 100;

export interface TextFile {
  readonly text: string;
  /** SHA-256 of `text`, hex. */
  readonly hash: string;
}

export interface TreeFiles {
  /** Ids of the files in the folder, sorted. */
  list(): Promise<readonly string[]>;
  /** Nothing where there is no such file; `too-large` where it is larger than any procedure. */
  read(id: string): Promise<TextFile | "too-large" | undefined>;
  write(id: string, text: string): Promise<void>;
}

export function isSafeId(id: string): boolean {
  return id.length <= LONGEST_ID && SAFE_ID.test(id);
}

/** The YAML files of one folder, by id; those in folders below it are not among them. */
export function openTreeFiles(folder: string): TreeFiles {
  const known = new Map<string, { readonly changed: string; readonly file: TextFile | "too-large" }>();
  return {
    async list() {
      const names = await readdir(folder).catch(() => []);
      return names
        .filter((name) => name.endsWith(".yaml"))
        .map((name) => name.slice(0, -".yaml".length))
        .filter(isSafeId)
        .sort();
    },
    async read(id) {
      if (!isSafeId(id)) return undefined;
      const path = join(folder, `${id}.yaml`);
      const stats = await stat(path, { bigint: true }).catch(() => undefined);
      if (stats === undefined || !stats.isFile()) {
        known.delete(id);
        return undefined;
      }
      const changed = `${stats.mtimeNs} ${stats.ctimeNs} ${stats.ino} ${stats.size}`;
      const held = known.get(id);
      if (held?.changed === changed) return held.file;
      const file = stats.size > MAX_BYTES ? "too-large" : await readText(path);
      known.set(id, { changed, file });
      return file;
    },
    async write(id, text) {
      await replaceFile(folder, `${id}.yaml`, text);
      known.delete(id);
    },
  };
}

async function readText(path: string): Promise<TextFile> {
  const text = (await readFile(path, "utf8")).replace(/^\uFEFF/, "");
  return { text, hash: textHash(text) };
}

/** Either the old file or the whole new one is there, whenever the machine stops. */
async function replaceFile(folder: string, name: string, text: string): Promise<void> {
  const draft = join(folder, `.${name}.${randomUUID()}.tmp`);
  try {
    const file = await open(draft, "wx");
    try {
      await file.writeFile(text, "utf8");
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(draft, join(folder, name));
  } catch (error) {
    await rm(draft, { force: true });
    throw error;
  }
  await syncFolder(folder);
}

/** Not every system lets a folder be synced; there the rename is as safe as it gets. */
async function syncFolder(folder: string): Promise<void> {
  try {
    const handle = await open(folder, "r");
    await handle.sync().finally(() => handle.close());
  } catch {
    return;
  }
}
