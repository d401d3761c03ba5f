/** `probewright run`: walks a procedure in the terminal, or with an answers file and without asking. */

import { randomUUID } from "node:crypto";
import { readAnswers } from "../../engine/machine/answers.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import { promptName, type Walked, walkAnswers } from "../../engine/machine/walk.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { placeFinding } from "../../engine/procedure/wording.ts";
import { refusalText } from "../kit/refusal-text.ts";
import { loadForRun } from "./load-file.ts";
import type { Output } from "./output.ts";
import { failUsage } from "./output.ts";
import { readText } from "./read-file.ts";
import { createRecord, type RecordFile } from "./record-file.ts";
import { runResult } from "./result.ts";
import { resultLines } from "./show-result.ts";
import { type Outcome, unusable } from "./usage-error.ts";

export interface RunOptions {
  readonly equipment?: string;
  readonly answers?: string;
  readonly record?: string;
  readonly data: string;
  readonly json?: boolean;
}

/** The exit code: 0 at every end but `unresolved`, 1 there, 2 where the run could not be walked to an end. */
export async function runCommand(file: string, options: RunOptions, output: Output): Promise<number> {
  const asJson = options.json === true;
  const loaded = loadForRun(file, options.equipment, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const procedure = loaded.value;
  if (options.answers !== undefined) return runWithAnswers(procedure, options.answers, options, output);
  if (asJson || !process.stdin.isTTY || !process.stdout.isTTY)
    return failUsage(
      output,
      {
        code: "no-terminal",
        message:
          "There is nobody to ask here: give the answers with --answers FILE, or run it in a terminal.",
      },
      asJson,
    );
  const { talk } = await import("./talk.ts");
  return talk(procedure, file, options, output);
}

function runWithAnswers(procedure: Procedure, file: string, options: RunOptions, output: Output): number {
  const asJson = options.json === true;
  const walked = walkFile(procedure, file, options.record);
  if (!walked.ok) return failUsage(output, walked.error, asJson);
  const { run, refusal } = walked.value;
  if (asJson) output.json(runResult(procedure, run));
  else for (const line of resultLines(procedure, run)) output.line(line);
  if (run.end !== undefined) return run.end === "unresolved" ? 1 : 0;
  const at = promptName(promptOf(procedure, run));
  output.warn(
    refusal
      ? `${file}: ${at}: ${refusalText(refusal)}`
      : `${file}: no answer is left for ${at}; the run stands there.`,
  );
  return 2;
}

function walkFile(procedure: Procedure, file: string, recordFile: string | undefined): Outcome<Walked> {
  const text = readText(file);
  if (!text.ok) return text;
  const read =
    "text" in text.value
      ? readAnswers(text.value.text, file, procedure)
      : { ok: false as const, findings: [text.value.finding] };
  if (!read.ok) {
    const finding = read.findings[0];
    const sources = "source" in read ? new Map([[file, read.source]]) : new Map();
    const placed = finding && placeFinding(finding, sources);
    return unusable(
      placed
        ? {
            code: placed.code,
            message: `${placed.message} ${placed.mend}`,
            file,
            line: placed.line,
            column: placed.column,
          }
        : { code: "not-answers", message: "This is no answers file.", file },
    );
  }
  const opening = { run: randomUUID(), at: Date.now() };
  let record: RecordFile | undefined;
  if (recordFile !== undefined) {
    const created = createRecord(recordFile, procedure, opening);
    if (!created.ok) return created;
    record = created.value;
  }
  const walked = walkAnswers(procedure, opening, read.answers, (event, step) => record?.append(event, step));
  record?.close();
  return { ok: true, value: walked };
}
