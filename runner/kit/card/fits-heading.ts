const LONGEST = 60;

/** Whether a text is short enough to be read as a card's heading. */
export function fitsHeading(text: string): boolean {
  return text.length <= LONGEST && !text.includes("\n");
}
