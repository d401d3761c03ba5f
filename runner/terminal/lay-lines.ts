/** Lines of text laid out for a terminal: nothing hidden obeyed, wrapped at its width, painted where it can. */
import { visible } from "../../engine/procedure/visible.ts";

type Look = "strong" | "soft" | "danger" | "warning" | "caution" | "notice";

export interface Line {
  readonly text: string;
  /** Stands before the first row of the text, `rest` before the others; spaces as wide where left out. */
  readonly first?: string;
  readonly rest?: string;
  readonly look?: Look;
}

/** A signal word's colours by ANSI Z535.6: white on red, black on orange, black on yellow, white on blue. */
const CODES: Readonly<Record<Look, string>> = {
  strong: "1",
  soft: "2",
  danger: "1;97;48;5;160",
  warning: "1;30;48;5;208",
  caution: "1;30;48;5;220",
  notice: "1;97;48;5;25",
};

/** The rows of a line, each at most `width` columns wide where its words allow it. */
export function layLine(line: Line | string, width: number, painted: boolean): readonly string[] {
  const { text, first = "", rest = " ".repeat(textWidth(first)), look } = asLine(line);
  return wrapped(visibleLines(text), width - textWidth(first)).map((row, index) => {
    const content = painted && look !== undefined ? paint(row, look) : row;
    return `${index === 0 ? first : rest}${content}`.trimEnd();
  });
}

/** A signal word stands on its colour with a margin at both sides. */
function paint(row: string, look: Look): string {
  const padded = look === "strong" || look === "soft" ? row : ` ${row} `;
  return `\u001b[${CODES[look]}m${padded}\u001b[0m`;
}

/** The line itself, or the text as a plain one. */
function asLine(line: Line | string): Line {
  return typeof line === "string" ? { text: line } : line;
}

/** Every hidden character but the line end as an escape such as `\x1b`. */
export function visibleLines(text: string): string {
  return text.split("\n").map(visible).join("\n");
}

/** Columns that a text takes: wide letters (East Asian, pictures) two, marks on a letter none. */
export function textWidth(text: string): number {
  let width = 0;
  for (const character of text) width += MARK.test(character) ? 0 : WIDE.test(character) ? 2 : 1;
  return width;
}

/** Rows of whole words; a word longer than a row is cut. Spaces that must not break stay. */
function wrapped(text: string, width: number): readonly string[] {
  if (!Number.isFinite(width)) return text.split("\n");
  const most = Math.max(8, width);
  return text.split("\n").flatMap((paragraph) => {
    const rows: string[] = [];
    let row = "";
    for (const word of paragraph.split(/ +/).flatMap((one) => cut(one, most))) {
      if (row !== "" && textWidth(row) + 1 + textWidth(word) > most) {
        rows.push(row);
        row = word;
      } else row = row === "" ? word : `${row} ${word}`;
    }
    return [...rows, row];
  });
}

function cut(word: string, most: number): readonly string[] {
  if (textWidth(word) <= most) return [word];
  const pieces: string[] = [];
  let piece = "";
  let wide = 0;
  for (const character of word) {
    const more = textWidth(character);
    if (wide + more > most) {
      pieces.push(piece);
      piece = "";
      wide = 0;
    }
    piece += character;
    wide += more;
  }
  return [...pieces, piece];
}

const MARK = /[\p{Mn}\p{Me}]/u;
/** Unicode Standard Annex 11, wide: by script, which is near enough for wrapping. */
const WIDE =
  /[\p{Script=Han}\p{Script=Hangul}\p{Script=Hiragana}\p{Script=Katakana}\p{Emoji_Presentation}\uff01-\uff60]/u;
