/** `probewright run`: walks a procedure in the terminal, or with an answers file and without asking. */
import { loadForRun } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";
import { runWithAnswers } from "./run-with-answers.ts";

export interface RunOptions {
  readonly equipment?: string;
  readonly answers?: string;
  readonly record?: string;
  readonly data: string;
  /** Somebody said where the store is: a run with answers goes there only then. */
  readonly dataSaid: boolean;
  readonly json?: boolean;
}

/** The exit code: 0 at every end but `unresolved`, 1 there, 2 where the run could not be walked to an end. */
export async function runCommand(file: string, options: RunOptions, output: Output): Promise<number> {
  const asJson = options.json === true;
  if (options.answers !== undefined) {
    const loaded = loadForRun(file, options.equipment, output);
    if (!loaded.ok) return failUsage(output, loaded.error, asJson);
    return runWithAnswers(loaded.value, file, options.answers, options, output);
  }
  if (!asJson && process.stdin.isTTY && process.stdout.isTTY) {
    const { runInTerminal } = await import("./run-in-terminal.ts");
    return runInTerminal(file, options, output);
  }
  // What is wrong with the file matters more than that nobody is there.
  const loaded = loadForRun(file, options.equipment, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const message = asJson
    ? "--json goes with --answers FILE: in a terminal there is nobody to read JSON."
    : "There is nobody to ask here: give the answers with --answers FILE, or run it in a terminal.";
  return failUsage(output, { code: "no-terminal", message }, asJson);
}
