/** A trouble code: system letter, then one digit 0 to 3 and three hexadecimal ones (SAE J2012). */
const CODE = /^[PCBU][0-3][0-9A-F]{3}$/;

/** The codes in a typed text, in capitals and once each, and the words that are none. */
export function readCodes(text: string): {
  readonly codes: readonly string[];
  readonly wrong: readonly string[];
} {
  const words = [
    ...new Set(
      text
        .toUpperCase()
        .split(/[\s,;]+/)
        .filter((word) => word !== ""),
    ),
  ];
  return { codes: words.filter((word) => CODE.test(word)), wrong: words.filter((word) => !CODE.test(word)) };
}
