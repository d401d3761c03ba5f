/** `probewright new`: a sound, commented procedure to start from, in a file of its own. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { starterText } from "../../engine/procedure/starter.ts";
import { failUsage, type Output } from "./output.ts";

const ID = /^[A-Za-z0-9_]+(-[A-Za-z0-9_]+)*$/;

export interface NewOptions {
  /** The folder to write into. */
  readonly into: string;
  readonly json?: boolean;
}

export function newCommand(id: string, options: NewOptions, output: Output): number {
  const asJson = options.json === true;
  if (!ID.test(id))
    return failUsage(
      output,
      {
        code: "bad-id",
        message: `“${id}” can't be a procedure's id: words of letters and digits with hyphens between.`,
      },
      asJson,
    );
  const file = join(options.into, `${id}.yaml`);
  try {
    // "wx": an author's file is never written over.
    writeFileSync(file, starterText(id), { flag: "wx" });
  } catch (thrown) {
    const exists = thrown instanceof Error && "code" in thrown && thrown.code === "EEXIST";
    return failUsage(
      output,
      exists
        ? { code: "exists", message: "This file is there already; nothing was written over.", file }
        : { code: "not-writable", message: "This file can't be written here.", file },
      asJson,
    );
  }
  if (asJson) output.json({ file });
  else output.line(`${file} is written. Prove it with: probewright check ${file}`);
  return 0;
}
