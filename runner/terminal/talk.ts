/** A run in the terminal, prompt by prompt. Every accepted event is on the disk before the next prompt. */

import { randomUUID } from "node:crypto";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { select } from "@inquirer/prompts";
import { advance } from "../../engine/machine/advance.ts";
import { runBefore } from "../../engine/machine/amend.ts";
import { openRun } from "../../engine/machine/apply.ts";
import type { RunEvent } from "../../engine/machine/event.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import { replayRecord } from "../../engine/machine/record.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { refusalText } from "../kit/refusal-text.ts";
import { askPrompt } from "./ask-prompt.ts";
import { keepInStore } from "./keep-in-store.ts";
import { failUsage, type Output } from "./output.ts";
import { createRecord, type RecordFile, reopenRecord } from "./record-file.ts";
import type { RunOptions } from "./run-command.ts";
import { promptLines } from "./show-prompt.ts";
import { readingLines } from "./show-reading.ts";
import { pathLine, possibleLines, resultLines } from "./show-result.ts";
import { type Outcome, unusable } from "./usage-error.ts";

/** Walks the technician to an end; the exit code is that of `run`. */
export async function talk(
  procedure: Procedure,
  file: string,
  options: RunOptions,
  output: Output,
): Promise<number> {
  const started = startOrResume(procedure, options);
  if (!started.ok) return failUsage(output, started.error, false);
  const { record, recordFile, resumed } = started.value;
  let run = started.value.run;
  output.line(procedure.title);
  output.line(procedure.complaint);
  if (resumed) for (const row of run.path) output.line(pathLine(row));
  try {
    for (;;) {
      output.line();
      const prompt = promptOf(procedure, run);
      for (const line of promptLines(prompt)) output.line(line);
      const told = await askPrompt(prompt);
      if (told.kind === "close") break;
      if (told.kind === "why") {
        for (const line of possibleLines(procedure, run)) output.line(line);
        continue;
      }
      const event =
        told.kind === "event"
          ? ({ ...told.event, at: Date.now() } as RunEvent)
          : await amendment(procedure, run, output);
      if (event === undefined) continue;
      const next = advance(procedure, run, event);
      if (!next.ok) {
        output.line(refusalText(next.refusal));
        continue;
      }
      record.append(event, run.step);
      for (const line of readingLines(procedure, run, next.run)) output.line(line);
      run = next.run;
    }
  } catch (thrown) {
    if (!(thrown instanceof Error && thrown.name === "ExitPromptError")) throw thrown;
    record.close();
    await keepInStore(recordFile, options.data, output);
    output.line();
    output.line("Nothing is lost. Go on later with:");
    output.line(`  probewright run ${file} --record ${recordFile}`);
    return 2;
  }
  record.close();
  await keepInStore(recordFile, options.data, output);
  output.line();
  for (const line of resultLines(procedure, run)) output.line(line);
  output.line(`Record: ${recordFile}`);
  return run.end === "unresolved" ? 1 : 0;
}

function startOrResume(
  procedure: Procedure,
  options: RunOptions,
): Outcome<{ run: Run; record: RecordFile; recordFile: string; resumed: boolean }> {
  const id = randomUUID();
  const recordFile =
    options.record ?? join(options.data, "records", `${procedure.id}-${id.slice(0, 8)}.jsonl`);
  if (!existsSync(recordFile)) {
    const opening = { run: id, at: Date.now() };
    const created = createRecord(recordFile, procedure, opening);
    if (!created.ok) return created;
    return {
      ok: true,
      value: { run: openRun(procedure, opening), record: created.value, recordFile, resumed: false },
    };
  }
  const reopened = reopenRecord(recordFile);
  if (!reopened.ok) return reopened;
  const replayed = replayRecord(procedure, reopened.value.lines);
  if (replayed.ok)
    return { ok: true, value: { run: replayed.run, record: reopened.value, recordFile, resumed: true } };
  return unusable({
    code: "other-procedure",
    message: "This record was made with another text of the procedure: it can't be gone on with.",
    file: recordFile,
    line: replayed.line,
  });
}

/** Asks which earlier answer is wrong, walks back to it, and asks it again. */
async function amendment(procedure: Procedure, run: Run, output: Output): Promise<RunEvent | undefined> {
  const rows = run.path.filter((row) => row.seq > 0 && row.step !== run.step);
  if (rows.length === 0) {
    output.line("There is no earlier answer yet.");
    return undefined;
  }
  const seq = await select({
    message: "Which answer is to be changed?",
    choices: [
      ...rows.map((row) => ({ name: pathLine(row).trim(), value: row.seq })),
      { name: "None: go on", value: 0 },
    ],
  });
  const before = seq === 0 ? undefined : runBefore(procedure, run, seq);
  if (before === undefined) return undefined;
  const prompt = promptOf(procedure, before);
  for (const line of promptLines(prompt)) output.line(line);
  const told = await askPrompt(prompt);
  if (told.kind !== "event") return undefined;
  return { type: "amend", at: Date.now(), seq, event: { ...told.event, at: Date.now() } as RunEvent };
}
