/**
 * A text as a quoted mermaid label that shows exactly its characters: all but letters, digits and spaces are
 * written as entity codes (`#34;`), so that no quote, bracket, tag or markdown in it is obeyed. Control and
 * direction characters are shown as `�`; more than 160 characters are cut with `…`.
 */
export function toLabel(text: string): string {
  const tidy = text.replace(/\s+/gu, " ").trim();
  const characters = [...tidy];
  const shown = characters.length > LONGEST ? [...characters.slice(0, LONGEST - 1), "…"] : characters;
  // A label of nothing is a syntax error.
  return `"${shown.map(toCode).join("") || "#160;"}"`;
}

const LONGEST = 160;

function toCode(character: string): string {
  if (/^[\p{L}\p{M}\p{N} ]$/u.test(character)) return character;
  if (/^[\p{C}\p{Z}]$/u.test(character)) return "#65533;";
  return `#${character.codePointAt(0) ?? 0xfffd};`;
}
