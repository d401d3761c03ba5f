/** `probewright draw`: the procedure as mermaid text. */
import { drawMermaid } from "../../engine/drawing/mermaid.ts";
import { loadForRun } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";

export interface DrawOptions {
  readonly as: string;
  readonly json?: boolean;
}

export function drawCommand(file: string, options: DrawOptions, output: Output): number {
  const asJson = options.json === true;
  if (options.as !== "mermaid") {
    const message = `--as ${options.as}: mermaid is what there is now. The author's page shows it drawn.`;
    return failUsage(output, { code: "bad-option", message }, asJson);
  }
  const loaded = loadForRun(file, undefined, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const { text } = drawMermaid(loaded.value);
  if (asJson) output.json({ as: "mermaid", text });
  else output.line(text);
  return 0;
}
