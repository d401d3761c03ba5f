import { type ReadingProblem, readingProblem } from "./reading-problem.ts";
import { convertBetween, differenceBetween, type Unit, unitOf, unitWithin } from "./units.ts";

export { readingProblemSentence } from "./reading-problem.ts";

/** A reading as typed, in the unit asked for. */
export interface Reading {
  /** In the unit asked for; ±Infinity for over range. */
  readonly value: number;
  /** Size of the last digit typed, in the unit asked for; 0 for over range. */
  readonly lastDigit: number;
  /** Canonical symbol of the unit typed, or of the unit asked for where none was typed. */
  readonly typedUnit: string;
  /** As typed, without spaces around it. */
  readonly text: string;
}

export type ParsedReading =
  | { readonly ok: true; readonly reading: Reading }
  | { readonly ok: false; readonly problem: ReadingProblem };

const LONGEST = 60;
/** More digits than a double keeps are no meter's; zeros before the first of them count, too. */
export const MOST_DIGITS = 15;

/** Sign, digits, point and digits; then the letter of IEC 60062 with digits; then what follows. */
const PLAIN = /^([+-]?)(\d*)([.,]?)(\d*)\s*(.*)$/s;
const MARKED = /^([+-]?)(\d*)([RVAkKMmuµnp])(\d+)\s*(.*)$/su;
const OVER = /^([+-]?)\s*(?:O\s?\.?\s?L\.?|\.OL|O\.F\.?L?|OFL|OVLD|OVER|∞)(?![A-Za-z0-9.,])\s*(.*)$/isu;
/** A seven-segment display shows the same sign for the letter O and for zero. */
const ZERO_L = /^([+-]?)(?:0\s?\.?\s?L\.?|\.0L)(?![A-Za-z0-9.,])\s*(.*)$/isu;

/**
 * The reading that a technician typed, in `unit`: `26.1`, `0,4 k`, `412 mV`, `26R1`, `4k7`, `12.6v`, `OL`,
 * `25 ft-lb`. A bare prefix goes with the stem of `unit` (`0.4k` beside Ohm or kOhm is 400 Ohm). A single
 * comma followed by exactly three digits (`1,200`) is refused, because it can mean two numbers; `0,400` can't.
 */
export function parseReading(text: string, unit: string): ParsedReading {
  if (text.length > LONGEST) return readingProblem("too-long", text, { unit });
  const asked = unitOf(unit);
  if (asked === undefined) return readingProblem("bad-set-up", text, { unit, units: unit });
  const tidy = tidyText(text);
  if (tidy === "") return readingProblem("empty", "", { unit });
  const first = tidy.charCodeAt(0);
  const begins = first >= 49 && first <= 57;
  if (!begins) {
    const over = OVER.exec(tidy) ?? (asked.dimension === "volume" ? null : ZERO_L.exec(tidy));
    if (over !== null) return overRange(over[1] === "-", over[2] ?? "", asked, text);
  }
  return parseNumber(tidy, asked, text);
}

function parseNumber(tidy: string, asked: Unit, text: string): ParsedReading {
  const marked = MARKED.exec(tidy);
  if (marked !== null && (marked[2] !== "" || marked[3] === "R")) return parseMarked(marked, asked, text);
  const match = PLAIN.exec(tidy);
  const [, sign = "", whole = "", point = "", fraction = "", rest = ""] = match ?? [];
  if (whole === "" && fraction === "") return readingProblem("not-a-number", text, { unit: asked.symbol });
  const wrong = restProblem(rest, whole, point, fraction, sign, asked, text);
  if (wrong !== undefined) return wrong;
  if (whole.length + fraction.length > MOST_DIGITS) {
    const code = whole.replace(/^0+/, "").length > MOST_DIGITS ? "not-finite" : "too-many-digits";
    return readingProblem(code, text, { unit: asked.symbol, most: String(MOST_DIGITS) });
  }
  return resolve(`${sign}${whole}.${fraction}`, fraction.length, rest, asked, text);
}

/** More numbers after the first, apart by spaces or by commas and spaces. */
const LIST = /^(?:,\s+)?[+-]?\d+(?:[.,]\d+)?(?:,?\s+[+-]?\d+(?:[.,]\d+)?)*$/;

/** A problem with the number itself, seen in what follows it; undefined when a unit may follow. */
function restProblem(
  rest: string,
  whole: string,
  point: string,
  fraction: string,
  sign: string,
  asked: Unit,
  text: string,
): ParsedReading | undefined {
  const unit = asked.symbol;
  const next = rest.charCodeAt(0);
  if (next === 59) return readingProblem("several", text, { unit });
  if (LIST.test(rest) && (point !== "" || next === 44)) {
    const first = fraction === "" ? whole : `${whole}${point}${fraction}`;
    const list = `${sign}${first}; ${rest.replace(/^,\s+/, "").split(/,?\s+/).join("; ")}`;
    return readingProblem("apart", text, { unit, list });
  }
  if (next === 46 || next === 44) return readingProblem("two-points", text, { unit });
  if (/^[eE][+-]?\d/.test(rest)) return readingProblem("exponent", text, { unit });
  if (next >= 48 && next <= 57) {
    const plain = `${sign}${whole}${point}${fraction}${rest}`;
    return readingProblem(/^[\d.,]+$/.test(rest) ? "gap" : "not-a-number", text, { unit, plain });
  }
  if (point === "," && fraction.length === 3 && /^[1-9]\d{0,2}$/.test(whole)) {
    const plain = `${sign}${whole}${fraction}${rest}`;
    const decimal = `${sign}${whole}.${fraction}${rest}`;
    return readingProblem("thousands", text, { unit, plain, decimal });
  }
  return undefined;
}

/** `26R1`, `4k7`, `3V3`: the letter stands where the point is (IEC 60062). */
function parseMarked(marked: RegExpExecArray, asked: Unit, text: string): ParsedReading {
  const [, sign = "", whole = "", letter = "", fraction = "", rest = ""] = marked;
  const unit = asked.symbol;
  if (asked.stem === undefined) return readingProblem("not-a-number", text, { unit });
  const after = rest === "" || unitWithin(rest, asked.dimension)?.symbol === asked.stem ? "" : rest;
  if (after !== "") return readingProblem("two-prefixes", text, { unit });
  return resolve(
    `${sign}${whole}.${fraction}`,
    fraction.length,
    letter === "R" ? "Ohm" : letter,
    asked,
    text,
  );
}

/** Digits and a unit text brought into the unit asked for. Powers of ten are applied to the digits, exactly. */
function resolve(digits: string, decimals: number, typed: string, asked: Unit, text: string): ParsedReading {
  const unit = typedUnit(typed, asked);
  if (unit === undefined) return unitProblem(typed, asked, text);
  if (unit.dimension !== asked.dimension)
    return readingProblem("wrong-dimension", text, { unit: asked.symbol, typed: unit.symbol });
  const sameScale = unit.num === asked.num && unit.den === asked.den && unit.offset === asked.offset;
  const power = unit.exp - asked.exp;
  const value = sameScale
    ? Number(power === 0 ? digits : `${digits}e${power}`)
    : convertBetween(Number(digits), unit, asked);
  if (!Number.isFinite(value)) return readingProblem("not-finite", text, { unit: asked.symbol });
  if (asked.dimension === "temperature" && belowAbsoluteZero(value, asked))
    return readingProblem("below-absolute-zero", text, { unit: asked.symbol });
  const lastDigit = sameScale
    ? powerOfTen(power - decimals)
    : differenceBetween(powerOfTen(-decimals), unit, asked);
  return {
    ok: true,
    reading: { value: value === 0 ? 0 : value, lastDigit, typedUnit: unit.symbol, text: text.trim() },
  };
}

function belowAbsoluteZero(value: number, unit: Unit): boolean {
  return ((value - unit.offset) * unit.num) / unit.den < -273.15 - 1e-9;
}

/**
 * The unit typed: nothing is the unit asked for; then a unit of the same dimension; then a bare prefix; then
 * whatever else the text names, for the sentence that refuses it.
 */
function typedUnit(typed: string, asked: Unit): Unit | undefined {
  if (typed === "" || typed === asked.symbol) return asked;
  const named = unitWithin(typed, asked.dimension);
  if (named !== undefined && named.dimension === asked.dimension) return named;
  const prefix = BARE.get(typed);
  if (prefix !== undefined) return asked.stem === undefined ? undefined : unitOf(prefix + asked.stem);
  if (named !== undefined) return named;
  const apart = APART.exec(typed);
  return apart === null ? undefined : unitWithin(`${apart[1]}${apart[2]}`, asked.dimension);
}

/** A prefix and its unit with a space between them, `5 k Ω`. */
const APART = /^([kKMmuµnp])\s+(\S+)$/u;

const BARE: ReadonlyMap<string, string> = new Map([
  ["k", "k"],
  ["K", "k"],
  ["M", "M"],
  ["meg", "M"],
  ["m", "m"],
  ["u", "u"],
  ["µ", "u"],
  ["n", "n"],
  ["p", "p"],
]);

function unitProblem(typed: string, asked: Unit, text: string): ParsedReading {
  const params = { unit: asked.symbol, typed };
  if (BARE.has(typed)) return readingProblem("prefix-not-used", text, params);
  if (/^[kKMmuµnp]\d*[kKMmuµnp]/u.test(typed)) return readingProblem("two-prefixes", text, params);
  if (/\d/.test(typed) && !/[A-Za-z]/.test(typed)) return readingProblem("not-a-number", text, params);
  return readingProblem("unknown-unit", text, params);
}

function overRange(negative: boolean, typed: string, asked: Unit, text: string): ParsedReading {
  const unit = typedUnit(typed.trim(), asked);
  if (unit === undefined) return unitProblem(typed.trim(), asked, text);
  if (unit.dimension !== asked.dimension)
    return readingProblem("wrong-dimension", text, { unit: asked.symbol, typed: unit.symbol });
  const value = negative ? -Infinity : Infinity;
  return { ok: true, reading: { value, lastDigit: 0, typedUnit: unit.symbol, text: text.trim() } };
}

const SIGN_APART = /^([+-]) +/;
const ODD = /[^\x20-\x7e]/;

/** Minus signs, spaces and the two micros brought to one form; nothing that could change a digit. */
function tidyText(text: string): string {
  const trimmed = text.trim();
  if (!ODD.test(trimmed)) return SIGN_APART.test(trimmed) ? trimmed.replace(SIGN_APART, "$1") : trimmed;
  return trimmed
    .replace(/[−–‒]/g, "-")
    .replace(/μ/g, "µ")
    .replace(/[\s\u2007]/g, " ")
    .replace(SIGN_APART, "$1");
}

const SMALLEST = -24;
const TENS = Array.from({ length: 49 }, (_, index) => Number(`1e${index + SMALLEST}`));

/** `10^n` as the nearest double. */
function powerOfTen(n: number): number {
  return TENS[n - SMALLEST] ?? Number(`1e${n}`);
}
