/** Something in a store that this program did not write so: changed by hand, or cut off. */
export class DamagedStore extends Error {
  /** What a command or an answer of the server calls it. */
  readonly code = "data-damaged";

  /** `place` is the table and what names the row; `what` a sentence. */
  constructor(place: string, what: string) {
    super(
      `The shop's store is damaged at ${place}: ${what} Put a copy of shop.sqlite in its place; nothing was changed.`,
    );
    this.name = "DamagedStore";
  }
}
