/** The built program, run as a user runs it. */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const BIN = fileURLToPath(new URL("../../../runner/terminal/bin.js", import.meta.url));

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
  /** Seconds. */
  readonly took: number;
}

export function probewright(...args: readonly string[]): Ran {
  const began = performance.now();
  const { status, stdout, stderr } = spawnSync(process.execPath, [BIN, ...args], {
    encoding: "utf8",
    input: "",
    timeout: 60_000,
  });
  return { code: status, out: stdout, err: stderr, took: (performance.now() - began) / 1000 };
}

/** A folder for one test file's own files. */
export function scratch(): { path(name: string, content?: string | Uint8Array): string; remove(): void } {
  const folder = mkdtempSync(join(tmpdir(), "probewright-"));
  return {
    path: (name, content) => {
      const file = join(folder, name);
      if (content !== undefined) writeFileSync(file, content);
      return file;
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** No stack trace and no raw control character reached the user. */
export function isPresentable({ out, err }: Ran): boolean {
  const text = out + err;
  // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are what is looked for
  return !/\n\s+at .+:\d+:\d+/.test(text) && !/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/.test(text);
}
