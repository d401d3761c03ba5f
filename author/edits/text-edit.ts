/** One replacement in a text: half-open offsets and what stands there afterwards. */
export interface TextEdit {
  readonly from: number;
  readonly to: number;
  readonly insert: string;
}

/**
 * Returns the text with all edits made at once; every byte outside them stays.
 *
 * Offsets are those of the text given. Edits may come in any order; throws where two overlap, since the
 * form that made them is then wrong.
 */
export function applyEdits(text: string, edits: readonly TextEdit[]): string {
  const ordered = [...edits].sort((a, b) => a.from - b.from || a.to - b.to);
  let result = "";
  let at = 0;
  for (const edit of ordered) {
    if (edit.from < at || edit.to < edit.from || edit.to > text.length) {
      throw new RangeError(`edit ${edit.from} to ${edit.to} overlaps another or leaves the text`);
    }
    result += text.slice(at, edit.from) + edit.insert;
    at = edit.to;
  }
  return result + text.slice(at);
}
