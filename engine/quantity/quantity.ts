/** A number with the unit it was written in. Units are the symbols of `units.ts`. */
export interface Quantity {
  readonly value: number;
  readonly unit: string;
}
