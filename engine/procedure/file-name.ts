/** Names of files: a procedure's or sheet's file is called as it is. */
import type { Finding } from "./finding.ts";

/** The file's name without folder and `.yaml`. */
export function baseName(file: string): string {
  return nameOf(file).replace(/\.ya?ml$/, "");
}

/** A file beside another one. */
export function inFolder(beside: string, name: string): string {
  return beside.slice(0, beside.length - nameOf(beside).length) + name;
}

/** A `wrong-shape` where the name in the text is not the file's. */
export function checkFileName(name: string | undefined, key: string, file: string): readonly Finding[] {
  const base = baseName(file);
  if (name === undefined || name === base || base === nameOf(file)) return [];
  const params = { reason: "file-name", name, file: nameOf(file) };
  return [{ code: "wrong-shape", severity: "error", params, node: { file, path: [key] } }];
}

function nameOf(file: string): string {
  return file.slice(Math.max(file.lastIndexOf("/"), file.lastIndexOf("\\")) + 1);
}
