/** Where commands write. Text that comes from files is shown, never obeyed: control characters are escaped. */
import { visible } from "../../engine/procedure/visible.ts";
import { type Line, layLine, visibleLines } from "./lay-lines.ts";
import { oneLine, type UsageError } from "./usage-error.ts";

export interface Output {
  /** A line on standard output. */
  line(text?: string): void;
  /** Lines on standard output, as wide as they are. */
  show(lines: readonly (Line | string)[]): void;
  /** One JSON value on standard output, and nothing else there. */
  json(value: unknown): void;
  /** A line on standard error. */
  warn(text: string): void;
}

/** Standard output and standard error. */
export const processOutput: Output = {
  line: (text = "") => process.stdout.write(`${visibleLines(text)}\n`),
  show: (lines) => {
    for (const line of lines)
      for (const row of layLine(line, Number.POSITIVE_INFINITY, false)) process.stdout.write(`${row}\n`);
  },
  json: (value) => process.stdout.write(`${JSON.stringify(value, null, 2)}\n`),
  warn: (text) => process.stderr.write(`${visibleLines(text)}\n`),
};

/** Says why the command could not do its work, and gives exit code 2. */
export function failUsage(output: Output, error: UsageError, asJson: boolean): number {
  output.warn(visible(oneLine(error)));
  if (asJson) output.json({ error });
  return 2;
}
