/**
 * Entity codes in labels, taken out before mermaid sees them and put back into its picture. Mermaid decodes
 * them only in HTML labels, and would measure the code instead of the character.
 */

/** First of the private characters that stand in for codes while mermaid works; no label holds any. */
const FIRST = 0xe000;
const LAST = 0xf8ff;

export interface PlainLabels {
  readonly text: string;
  /** Returns the picture with each character written as a numeric reference: text, never markup. */
  readonly restore: (svg: string) => string;
}

/** Returns a mermaid text whose labels are as long as they are read. */
export function plainLabels(text: string): PlainLabels {
  const standIns = new Map<string, string>();
  const codes = new Map<string, string>();
  const plain = text.replace(/#(\d{1,7});/g, (whole, code: string) => {
    const known = standIns.get(code);
    if (known !== undefined) return known;
    if (FIRST + standIns.size > LAST) return whole;
    const standIn = String.fromCodePoint(FIRST + standIns.size);
    standIns.set(code, standIn);
    codes.set(standIn, code);
    return standIn;
  });
  return {
    text: plain,
    restore: (svg) =>
      svg.replace(/[\uE000-\uF8FF]/g, (standIn) => {
        const code = codes.get(standIn);
        return code === undefined ? standIn : `&#${code};`;
      }),
  };
}
