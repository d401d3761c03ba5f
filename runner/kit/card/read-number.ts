/** The number in a typed text with an optional prefix, `0.4k` is 400; nothing for `OL` or no number. */
export function readNumber(text: string): number | undefined {
  const match = /^(-?\d+(?:[.,]\d*)?|-?[.,]\d+)([km])?$/.exec(text.trim());
  if (match === null) return undefined;
  const factor = match[2] === "k" ? 1000 : match[2] === "m" ? 0.001 : 1;
  return Number((match[1] ?? "").replace(",", ".")) * factor;
}
