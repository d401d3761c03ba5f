/** Something in a store that this program did not write so: changed by hand, or cut off. */
export class DamagedStore extends Error {
  /** Where in the store: the table, and what names the row. */
  readonly place: string;

  constructor(place: string, message: string) {
    super(message);
    this.name = "DamagedStore";
    this.place = place;
  }
}
