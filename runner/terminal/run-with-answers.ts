/** A run with its answers in a file: nothing is asked. */
import { randomUUID } from "node:crypto";
import { type Answers, readAnswers } from "../../engine/machine/answers.ts";
import type { Opening } from "../../engine/machine/event.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import { eventLine, openingLine, type RecordLine, writeLine } from "../../engine/machine/record.ts";
import { promptName, type Walked, walkAnswers } from "../../engine/machine/walk.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { placeFinding } from "../../engine/procedure/wording.ts";
import { refusalText } from "../kit/refusal-text.ts";
import { APP } from "../wire/app-name.ts";
import { failUsage, type Output } from "./output.ts";
import { readText } from "./read-file.ts";
import { createRecord } from "./record-file.ts";
import { runResult } from "./result.ts";
import type { RunOptions } from "./run-command.ts";
import { resultLines } from "./show-result.ts";
import { type Outcome, oneLine, unusable } from "./usage-error.ts";

/** The exit code of `run`. The store gets the run only where it was said which one. */
export async function runWithAnswers(
  procedure: Procedure,
  file: string,
  answersFile: string,
  options: RunOptions,
  output: Output,
): Promise<number> {
  const asJson = options.json === true;
  const answers = answersOf(procedure, answersFile);
  if (!answers.ok) return failUsage(output, answers.error, asJson);
  const opening = { run: randomUUID(), at: Date.now() };
  const walked = walkRecorded(procedure, opening, answers.value, options.record);
  if (!walked.ok) return failUsage(output, walked.error, asJson);
  const { run, refusal, lines } = walked.value;
  if (asJson) output.json(runResult(procedure, run));
  else output.show(resultLines(procedure, run));
  if (options.dataSaid) {
    const { keepInStore } = await import("./keep-in-store.ts");
    await keepInStore(opening.run, lines.map(writeLine), file, options.data, output);
  }
  if (run.end !== undefined) return run.end === "unresolved" ? 1 : 0;
  const at = promptName(promptOf(procedure, run));
  const message = refusal
    ? `${at}: ${refusalText(refusal)}`
    : `no answer is left for ${at}; the run stands there.`;
  output.warn(oneLine({ code: "incomplete", message, file: answersFile }));
  return 2;
}

function answersOf(procedure: Procedure, file: string): Outcome<Answers> {
  const text = readText(file);
  if (!text.ok) return text;
  if ("finding" in text.value) {
    const { code, message, line, column } = placeFinding(text.value.finding, new Map());
    return unusable({ code, message, file, line, column });
  }
  const read = readAnswers(text.value.text, file, procedure);
  if (read.ok) return { ok: true, value: read.answers };
  const [finding] = read.findings;
  if (finding === undefined)
    return unusable({ code: "not-answers", message: "This is no answers file.", file });
  const { code, message, mend, line, column } = placeFinding(finding, new Map([[file, read.source]]));
  return unusable({ code, message: `${message} ${mend}`.trim(), file, line, column });
}

function walkRecorded(
  procedure: Procedure,
  opening: Opening,
  answers: Answers,
  recordFile: string | undefined,
): Outcome<Walked & { readonly lines: readonly RecordLine[] }> {
  const record = recordFile === undefined ? undefined : createRecord(recordFile, procedure, opening);
  if (record && !record.ok) return record;
  let last = openingLine(procedure, opening, APP);
  const lines = [last];
  let written = true;
  const walked = walkAnswers(procedure, opening, answers, (event, step) => {
    written &&= record?.value.append(event, step) ?? true;
    last = eventLine(last, event, step);
    lines.push(last);
  });
  record?.value.close();
  if (!written && recordFile !== undefined)
    return unusable({
      code: "not-writable",
      message: "The disk did not take the whole record.",
      file: recordFile,
    });
  return { ok: true, value: { ...walked, lines } };
}
