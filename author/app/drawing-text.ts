/** The drawing's text with the way of a finding in it, the gap that it ends in included. */
import { toLabel } from "../../engine/drawing/label.ts";
import { drawMermaid } from "../../engine/drawing/mermaid.ts";
import type { Finding } from "../../engine/procedure/finding.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import type { DrawingText } from "./use-picture.ts";
import type { WayRow } from "./way-words.ts";

/** Returns the procedure as mermaid draws it, the rows of a way drawn thick. */
export function drawingText(
  procedure: Procedure,
  way: readonly WayRow[],
  finding: Finding | undefined,
): DrawingText {
  const drawing = drawMermaid(procedure, { highlight: way });
  const last = way.at(-1);
  if (finding?.code !== "reading-gap" || !last) return drawing;
  const from = drawing.nodeOf(last.step);
  if (from === undefined) return drawing;
  const reading = last.reading === undefined ? "" : `|${toLabel(last.reading)}|`;
  const gap = [`  nowhere((${toLabel("?")})):::nowhere`, `  ${from} gap@==>${reading} nowhere`, ""];
  return { ...drawing, text: drawing.text + gap.join("\n") };
}
