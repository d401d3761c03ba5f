/** An exact fraction; the lower part is positive. */
export interface Rational {
  readonly over: bigint;
  readonly under: bigint;
}

export const ZERO: Rational = { over: 0n, under: 1n };
export const ONE: Rational = { over: 1n, under: 1n };

/** The number that a person wrote: its shortest decimal form, not the binary one nearest to it. Finite only. */
export function rational(value: number): Rational {
  const [, sign = "", whole = "0", part = "", power = "0"] =
    /^(-?)(\d+)(?:\.(\d+))?(?:e([+-]\d+))?$/.exec(String(value)) ?? [];
  const digits = BigInt(`${whole}${part}`) * (sign === "-" ? -1n : 1n);
  const exponent = Number(power) - part.length;
  return exponent >= 0
    ? { over: digits * 10n ** BigInt(exponent), under: 1n }
    : reduced(digits, 10n ** BigInt(-exponent));
}

export function plus(a: Rational, b: Rational): Rational {
  return a.under === b.under
    ? reduced(a.over + b.over, a.under)
    : reduced(a.over * b.under + b.over * a.under, a.under * b.under);
}

export function times(a: Rational, b: Rational): Rational {
  return reduced(a.over * b.over, a.under * b.under);
}

export function negated({ over, under }: Rational): Rational {
  return { over: -over, under };
}

/** One over a number that is not 0. */
export function inverse({ over, under }: Rational): Rational {
  return over < 0n ? { over: -under, under: -over } : { over: under, under: over };
}

/** -1, 0 or 1. */
export function signOf({ over }: Rational): -1 | 0 | 1 {
  return over < 0n ? -1 : over > 0n ? 1 : 0;
}

function reduced(over: bigint, under: bigint): Rational {
  let [a, b] = [over < 0n ? -over : over, under];
  while (b !== 0n) [a, b] = [b, a % b];
  return a <= 1n ? { over, under } : { over: over / a, under: under / a };
}
