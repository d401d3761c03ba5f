/** A text that goes on a sentence: its first letter small, unless the word is written in capitals. */
export function lowerFirst(text: string): string {
  return /^[A-Z][a-z]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
}
