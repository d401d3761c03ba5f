/** The terminal that a technician reads: as wide as it is now, painted where it can and may be. */
import { type Line, layLine, textWidth } from "./lay-lines.ts";

export interface Screen {
  /** Prompts that move the cursor work here; `TERM=dumb` has none. */
  readonly moves: boolean;
  show(lines: readonly (Line | string)[]): void;
  gap(): void;
  /** A ruled line with a heading, and something short at its right end. */
  head(title: string, aside?: string): void;
  /** Characters as they are: cursor moves and the bell, never a text of a file. */
  raw(text: string): void;
  width(): number;
}

const WIDEST = 88;

export function openScreen(stream: NodeJS.WriteStream = process.stdout): Screen {
  const moves = process.env.TERM !== "dumb";
  const painted = moves && stream.hasColors(256);
  // One column is left free: some terminals wrap as soon as the last one is written.
  const width = () => Math.min(WIDEST, (stream.columns || 80) - 1);
  const show = (lines: readonly (Line | string)[]) => {
    for (const line of lines) for (const row of layLine(line, width(), painted)) stream.write(`${row}\n`);
  };
  return {
    moves,
    show,
    width,
    gap: () => stream.write("\n"),
    raw: (text) => stream.write(text),
    head: (title, aside = "") => {
      const rule = moves ? "─" : "-";
      const left = `${rule}${rule} ${title} `;
      const right = aside === "" ? "" : ` ${aside} ${rule}${rule}`;
      const room = width() - textWidth(left) - textWidth(right);
      stream.write("\n");
      if (room >= 2) show([{ text: `${left}${rule.repeat(room)}${right}`, look: "strong" }]);
      else
        show([{ text: title, first: `${rule}${rule} `, look: "strong" }, ...(aside === "" ? [] : [aside])]);
    },
  };
}
