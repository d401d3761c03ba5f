/** `probewright draw`: the procedure as mermaid text. */
import { drawMermaid } from "../../engine/drawing/mermaid.ts";
import { loadForRun } from "./load-file.ts";
import { failUsage, type Output } from "./output.ts";

export function drawCommand(file: string, options: { readonly json?: boolean }, output: Output): number {
  const asJson = options.json === true;
  const loaded = loadForRun(file, undefined, output);
  if (!loaded.ok) return failUsage(output, loaded.error, asJson);
  const { text } = drawMermaid(loaded.value);
  if (asJson) output.json({ as: "mermaid", text });
  else output.line(text);
  return 0;
}
