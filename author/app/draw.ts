/** Mermaid, loaded when the first drawing is made, one drawing at a time. */
import {
  DRAWING_TOKENS,
  type DrawingColours,
  type DrawingToken,
  drawingTheme,
  MAX_TEXT,
} from "./drawing-theme.ts";

import { plainLabels } from "./plain-labels.ts";
import { squareEdges } from "./square-edges.ts";

export type Drawn =
  | { readonly ok: true; readonly svg: string; readonly took: number }
  /** `too-large`: beyond what mermaid is let do. `failed`: it could not be drawn. */
  | { readonly ok: false; readonly why: "too-large" | "failed" };

let turn: Promise<unknown> = Promise.resolve();
let count = 0;

/** Returns the picture of a mermaid text as SVG text. */
export function drawPicture(text: string, colours: DrawingColours): Promise<Drawn> {
  const drawn = turn.then(() => draw(text, colours));
  turn = drawn;
  return drawn;
}

async function draw(text: string, colours: DrawingColours): Promise<Drawn> {
  // Beyond this length mermaid would give an error picture without saying so.
  if (text.length > MAX_TEXT) return { ok: false, why: "too-large" };
  const began = performance.now();
  const bench = offStage();
  try {
    // Widths of labels are measured in the page's own type.
    const [{ default: mermaid }] = await Promise.all([import("mermaid"), document.fonts.ready]);
    mermaid.initialize(drawingTheme(colours));
    count += 1;
    const labels = plainLabels(text);
    const { svg } = await mermaid.render(`drawing-${count}`, labels.text, bench);
    return { ok: true, svg: finish(bench, labels.restore(svg)), took: performance.now() - began };
  } catch (thrown) {
    const tooMany = thrown instanceof Error && /edges/i.test(thrown.message);
    return { ok: false, why: tooMany ? "too-large" : "failed" };
  } finally {
    bench.remove();
  }
}

/** Our own last touch on the picture, where it can still be measured. */
function finish(bench: HTMLElement, svg: string): string {
  // Mermaid's strict mode has cleaned it: no script, no handlers, no HTML inside.
  bench.innerHTML = svg;
  const picture = bench.querySelector("svg");
  if (!picture) return svg;
  squareEdges(picture);
  return picture.outerHTML;
}

/** A place to measure in that nobody sees or is read. */
function offStage(): HTMLElement {
  const bench = document.createElement("div");
  bench.className = "drawing-bench";
  bench.setAttribute("aria-hidden", "true");
  document.body.append(bench);
  return bench;
}

/** Returns the tokens as the page shows them now, light or dark. */
export function readColours(): DrawingColours {
  const probe = document.createElement("i");
  document.body.append(probe);
  const entries = DRAWING_TOKENS.map((token): [DrawingToken, string] => {
    probe.style.color = `var(--${token})`;
    return [token, getComputedStyle(probe).color];
  });
  probe.remove();
  return Object.fromEntries(entries) as Record<DrawingToken, string>;
}
