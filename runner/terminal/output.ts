/** Where commands write. Text that comes from files is shown, never obeyed: control characters are escaped. */
import { visible } from "../../engine/procedure/visible.ts";
import { oneLine, type UsageError } from "./usage-error.ts";

export interface Output {
  /** A line on standard output. */
  line(text?: string): void;
  /** One JSON value on standard output, and nothing else there. */
  json(value: unknown): void;
  /** A line on standard error. */
  warn(text: string): void;
}

/** Standard output and standard error. */
export const processOutput: Output = {
  line: (text = "") => process.stdout.write(`${visibleLines(text)}\n`),
  json: (value) => process.stdout.write(`${JSON.stringify(value, null, 2)}\n`),
  warn: (text) => process.stderr.write(`${visibleLines(text)}\n`),
};

/** Says why the command could not do its work, and gives exit code 2. */
export function failUsage(output: Output, error: UsageError, asJson: boolean): number {
  output.warn(oneLine(error));
  if (asJson) output.json({ error });
  return 2;
}

/** Every control character but the line end shown as `\x1b`. */
export function visibleLines(text: string): string {
  return text.split("\n").map(visible).join("\n");
}
