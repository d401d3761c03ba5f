/** The witnesses of findings as answers files, each named after its procedure, its number and its code. */
import { mkdirSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { witnessAnswers } from "../../engine/soundness/witness-answers.ts";
import type { CheckedFile } from "./load-file.ts";
import { type Outcome, unusable } from "./usage-error.ts";

/** The files written, `<file id>-<n>-<code>.yaml`, n the finding's number in its file, from 1. */
export function writeWitnesses(checked: readonly CheckedFile[], folder: string): Outcome<readonly string[]> {
  const written: string[] = [];
  let file = folder;
  try {
    mkdirSync(folder, { recursive: true });
    for (const { file: source, procedure, findings } of checked)
      for (const [index, { code, witness, message, equipment }] of findings.entries()) {
        if (procedure === undefined || witness === undefined) continue;
        file = join(folder, `${basename(source, ".yaml")}-${index + 1}-${code}.yaml`);
        const about = message.replaceAll(/\s+/g, " ");
        const sheet = equipment === undefined ? "" : `# Run it with --equipment ${equipment}\n`;
        writeFileSync(file, `# ${about}\n${sheet}${witnessAnswers(procedure, witness)}`);
        written.push(file);
      }
  } catch {
    return unusable({ code: "not-writable", message: "This can't be written here.", file });
  }
  return { ok: true, value: written };
}
