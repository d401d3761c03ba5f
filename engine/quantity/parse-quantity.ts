import type { Quantity } from "./quantity.ts";
import { unitOf } from "./units.ts";

/** Why an author's text is no quantity. `text` is as written, cut when very long. */
export interface QuantityProblem {
  readonly code:
    | "empty"
    | "too-long"
    | "no-number"
    | "decimal-comma"
    | "not-finite"
    | "unknown-unit"
    | "no-spread"
    | "spread-unit"
    | "negative-spread";
  readonly text: string;
  /** What stood where the unit should be. */
  readonly unit?: string;
}

type Parsed<T> = ({ readonly ok: true } & T) | { readonly ok: false; readonly why: QuantityProblem };

const LONGEST = 100;
const QUANTITY = /^([+-]?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d{1,3})?)(?:\s*(\S.*))?$/;
const COMMA = /^[+-]?\d*,\d/;

/**
 * The quantity that an author wrote as number and unit: `12 V`, `0.9 %`, `4.7 kOhm`. A number alone has the
 * unit `1`. The unit comes back as its canonical symbol, the number as written.
 */
export function parseQuantity(text: string): Parsed<{ readonly quantity: Quantity }> {
  const fail = (code: QuantityProblem["code"], unit?: string) => problem(code, text, unit);
  if (text.length > LONGEST) return fail("too-long");
  const tidy = text.replaceAll("−", "-").replaceAll("\u00a0", " ").trim();
  if (tidy === "") return fail("empty");
  const match = QUANTITY.exec(tidy);
  if (match === null) return fail(COMMA.test(tidy) ? "decimal-comma" : "no-number");
  const value = Number(match[1]);
  const written = match[2] ?? "1";
  if (!Number.isFinite(value)) return fail("not-finite");
  const unit = unitOf(written);
  if (unit === undefined) {
    if (written.startsWith(",")) return fail("decimal-comma");
    return /^[.\d]/.test(written) ? fail("no-number") : fail("unknown-unit", written);
  }
  return { ok: true, quantity: { value: value === 0 ? 0 : value, unit: unit.symbol } };
}

/** A value and its ± as an author wrote them (`0.6 Ohm ± 0.1 Ohm`); both in the unit they were written in. */
export function parseSpread(text: string): Parsed<{ readonly mean: Quantity; readonly spread: Quantity }> {
  if (text.length > LONGEST) return problem("too-long", text);
  const parts = text.split(/±|\+\/-|\+-/);
  if (parts.length !== 2) return problem("no-spread", text);
  const mean = parseQuantity(parts[0] ?? "");
  if (!mean.ok) return mean;
  const spread = parseQuantity(parts[1] ?? "");
  if (!spread.ok) return spread;
  if (unitOf(mean.quantity.unit)?.dimension !== unitOf(spread.quantity.unit)?.dimension)
    return problem("spread-unit", text, spread.quantity.unit);
  if (spread.quantity.value < 0) return problem("negative-spread", text);
  return { ok: true, mean: mean.quantity, spread: spread.quantity };
}

function problem(
  code: QuantityProblem["code"],
  text: string,
  unit?: string,
): { readonly ok: false; readonly why: QuantityProblem } {
  const shown = text.length > LONGEST ? `${text.slice(0, 40)}…` : text;
  return { ok: false, why: { code, text: shown, ...(unit === undefined ? {} : { unit }) } };
}

/** One sentence that says what is wrong with an author's quantity. */
export function quantityProblemSentence(why: QuantityProblem): string {
  switch (why.code) {
    case "empty":
      return "A quantity is missing: write a number and a unit, as in 12 V.";
    case "too-long":
      return "This is too long to be a quantity: write a number and a unit, as in 12 V.";
    case "no-number":
      return `"${why.text}" does not begin with a plain number: write a number and a unit, as in 12 V.`;
    case "decimal-comma":
      return `"${why.text}" has a comma in its number: procedures are written with a decimal point.`;
    case "not-finite":
      return `"${why.text}" is larger than any number that can be kept.`;
    case "unknown-unit":
      return `"${why.unit ?? ""}" is not a unit known here.`;
    case "no-spread":
      return `"${why.text}" needs a value and its spread, as in 0.6 Ohm ± 0.1 Ohm.`;
    case "spread-unit":
      return `"${why.text}" has a spread in ${why.unit ?? "another unit"}, which does not fit its value.`;
    case "negative-spread":
      return `"${why.text}" has a negative spread.`;
  }
}
