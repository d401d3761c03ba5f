/** Files and folders of procedures, read so that a huge, binary or missing file is a value and no exception. */
import { readdirSync, readFileSync, type Stats, statSync } from "node:fs";
import { basename, dirname, extname, join } from "node:path";
import { decodeText, MAX_BYTES, tooLarge } from "../../engine/procedure/decode-text.ts";
import type { Finding } from "../../engine/procedure/finding.ts";
import type { Library } from "../../engine/procedure/load.ts";
import { type Outcome, unusable } from "./usage-error.ts";

/** The text of a file, or the finding that says why it is none; exit 2 matters only where it can't be opened. */
export function readText(file: string): Outcome<{ readonly text: string } | { readonly finding: Finding }> {
  const found = statOf(file);
  if (!found.ok) return found;
  if (!found.value.isFile()) return unusable({ code: "not-a-file", message: "This is not a file.", file });
  if (found.value.size > MAX_BYTES) return { ok: true, value: { finding: tooLarge(file, found.value.size) } };
  try {
    return { ok: true, value: decodeText(readFileSync(file), file) };
  } catch (thrown) {
    return unusable({ code: "not-readable", message: reasonOf(thrown), file });
  }
}

/** The procedure files behind a path: itself, or those of a folder, by name; equipment sheets are not walked. */
export function procedureFiles(path: string): Outcome<readonly string[]> {
  const found = statOf(path);
  if (!found.ok) return found;
  if (!found.value.isDirectory()) return { ok: true, value: [path] };
  try {
    const files = readdirSync(path)
      .filter((name) => extname(name) === ".yaml")
      .toSorted()
      .map((name) => join(path, name));
    if (files.length === 0)
      return unusable({
        code: "no-procedure",
        message: "No procedure (*.yaml) is in this folder.",
        file: path,
      });
    return { ok: true, value: files };
  } catch (thrown) {
    return unusable({ code: "not-readable", message: reasonOf(thrown), file: path });
  }
}

/** The called procedures and equipment sheets that stand beside a procedure's file. */
export function libraryBeside(file: string): Library {
  const folder = dirname(file);
  const textOf = (path: string): string | undefined => {
    const read = readText(path);
    return read.ok && "text" in read.value ? read.value.text : undefined;
  };
  return {
    procedure: (id) => textOf(join(folder, `${basename(id)}.yaml`)),
    equipment: (id) => textOf(join(folder, "equipment", `${basename(id)}.yaml`)),
  };
}

function statOf(path: string): Outcome<Stats> {
  try {
    return { ok: true, value: statSync(path) };
  } catch (thrown) {
    return unusable({ code: "not-found", message: reasonOf(thrown), file: path });
  }
}

function reasonOf(thrown: unknown): string {
  const code = thrown instanceof Error && "code" in thrown ? thrown.code : undefined;
  if (code === "ENOENT") return "There is no such file or folder.";
  if (code === "EACCES" || code === "EPERM") return "This may not be read: look at its permissions.";
  return "This could not be read.";
}
