/**
 * What a text looks like with nothing hidden in it: control characters, direction marks and invisible ones
 * as escapes (`\x1b`, `\u202e`), so that a terminal obeys none of them. Everything else stays as it is.
 */
export function visible(text: string): string {
  return text.replace(HIDDEN, (character) => {
    const code = character.codePointAt(0) ?? 0;
    const hex = code.toString(16);
    if (code < 0x100) return `\\x${hex.padStart(2, "0")}`;
    return code < 0x10000 ? `\\u${hex.padStart(4, "0")}` : `\\u{${hex}}`;
  });
}

/** Controls, halves of pairs, formats (direction, joiners, byte order mark), line and paragraph separators. */
const HIDDEN = /[\p{Cc}\p{Cs}\p{Cf}\p{Zl}\p{Zp}]/gu;
