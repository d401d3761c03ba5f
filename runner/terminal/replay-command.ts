/** `probewright replay`: proves a run record's chain, and walks it again to the same end. */

import { openingOf, replayRecord } from "../../engine/machine/record.ts";
import { refusalText } from "../kit/refusal-text.ts";
import { loadForRun } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";
import { readRecord } from "./record-file.ts";
import { runResult } from "./result.ts";
import { resultLines } from "./show-result.ts";

/** The exit code: 0 where the chain holds (and the replay comes through), 1 where it doesn't, 2 for usage. */
export function replayCommand(
  recordFile: string,
  options: { readonly procedure?: string; readonly json?: boolean },
  output: Output,
): number {
  const asJson = options.json === true;
  const record = readRecord(recordFile);
  if (!record.ok) {
    failUsage(output, record.error, asJson);
    return record.error.code === "not-found" ? 2 : 1;
  }
  const [first] = record.value;
  const last = record.value.at(-1);
  if (first === undefined || last === undefined) return 1;
  const opening = openingOf(first);
  if (options.procedure === undefined) {
    if (asJson) output.json({ chain: "holds", lines: record.value.length, last: last.hash });
    else output.line(`${recordFile}: the chain holds, ${record.value.length} lines, last hash ${last.hash}`);
    return 0;
  }
  const loaded = loadForRun(options.procedure, opening.equipment, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const procedure = loaded.value;
  if (procedure.hash !== opening.hash)
    output.warn(
      `warning: ${recordFile} was made with another text of ${opening.procedure} (revision ${opening.revision}).`,
    );
  const replayed = replayRecord(procedure, record.value);
  if (!replayed.ok) {
    const error = {
      code: "replay-differs",
      message: `This text of the procedure does not take what the record says: ${refusalText(replayed.refusal)}`,
      file: recordFile,
      line: replayed.line,
    };
    failUsage(output, error, asJson);
    return 1;
  }
  if (asJson)
    output.json({
      chain: "holds",
      lines: record.value.length,
      last: last.hash,
      ...runResult(procedure, replayed.run),
    });
  else output.show(resultLines(procedure, replayed.run));
  return 0;
}
