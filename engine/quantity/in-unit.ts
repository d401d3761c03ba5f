declare const UNIT: unique symbol;

/**
 * A number in one unit, `In<"degC">`: the compiler refuses ohms where degrees are meant. Reckoning with it gives
 * a plain number again, which must say its unit before a formula takes it.
 */
export type In<Unit extends string> = number & { readonly [UNIT]: Unit };

/** The number as one in that unit. Nothing is converted. */
export function inUnit<const Unit extends string>(value: number, _unit: Unit): In<Unit> {
  return value as In<Unit>;
}
