import { convert, convertDifference, displayUnit, unitOf } from "./units.ts";

export type UnitSystem = "si" | "us";

interface FormatOptions {
  /** Units to print in; as given where left out, and where the unit belongs to both. */
  readonly system?: UnitSystem;
  /** Size of the last digit that the instrument supports, in the unit given. */
  readonly lastDigit?: number;
}

const NO_BREAK = "\u00a0";
const MINUS = "\u2212";

/** The unit of the other system that a value is printed in; a unit not named belongs to both. */
const TO_SI: Readonly<Record<string, string>> = {
  "lbf.ft": "N.m",
  "lbf.in": "N.m",
  psi: "kPa",
  inHg: "kPa",
  inH2O: "kPa",
  degF: "degC",
  in: "mm",
  mil: "um",
  ft: "m",
  mi: "km",
  gal: "L",
  qt: "L",
  pt: "L",
  "fl oz": "mL",
  lb: "kg",
  oz: "g",
  hp: "kW",
};
const TO_US: Readonly<Record<string, string>> = {
  "kgf.m": "lbf.ft",
  kPa: "psi",
  bar: "psi",
  mbar: "inHg",
  hPa: "inHg",
  MPa: "psi",
  "kgf/cm2": "psi",
  degC: "degF",
  mm: "in",
  um: "mil",
  cm: "in",
  m: "ft",
  km: "mi",
  L: "qt",
  mL: "fl oz",
  kg: "lb",
  g: "oz",
};

/** Torques below this are given in inch-pounds: a foot-pound wrench can't hold them. Common practice. */
const SMALL_TORQUE = 13.6;

function unitInSystem(value: number, unit: string, system: UnitSystem): string {
  if (system === "si") return own(TO_SI, unit) ?? unit;
  if (unit === "N.m" || unit === "cN.m" || unit === "daN.m") {
    const newtonMetres = convert(value, unit, "N.m") ?? value;
    return Math.abs(newtonMetres) < SMALL_TORQUE ? "lbf.in" : "lbf.ft";
  }
  return own(TO_US, unit) ?? unit;
}

function own(table: Readonly<Record<string, string>>, key: string): string | undefined {
  return Object.hasOwn(table, key) ? table[key] : undefined;
}

/**
 * A quantity as people read it, number and unit with a no-break space, `OL` for over range. With `lastDigit`
 * no digit beyond it is printed; without it a converted value gets three significant digits (torque to
 * tenths below 100, as wrenches are marked: common practice), an unconverted one its own digits, at most six.
 */
export function formatQuantity(value: number, unit: string, options: FormatOptions = {}): string {
  const symbol = unitOf(unit)?.symbol ?? unit;
  const target = options.system === undefined ? symbol : unitInSystem(value, symbol, options.system);
  const converted = convert(value, symbol, target) ?? value;
  const decimals = decimalsOf(converted, symbol, target, options.lastDigit);
  return withUnit(formatNumber(converted, decimals), target);
}

function withUnit(number: string, unit: string): string {
  const shown = displayUnit(unit);
  return shown === "" ? number : `${number}${NO_BREAK}${shown}`;
}

/** Decimals to print; negative where even whole digits are not supported; undefined for the shortest text. */
function decimalsOf(
  value: number,
  from: string,
  to: string,
  lastDigit: number | undefined,
): number | undefined {
  if (lastDigit !== undefined && lastDigit > 0) {
    const step = convertDifference(lastDigit, from, to) ?? lastDigit;
    // A converted step between two powers of ten keeps the coarser one: never more than was read.
    return -Math.ceil(Math.log10(step) - 1e-9);
  }
  if (from === to) return undefined;
  if (unitOf(to)?.dimension === "torque") return Math.abs(value) < 100 ? 1 : 0;
  if (value === 0) return 0;
  return 2 - Math.floor(Math.log10(Math.abs(value)));
}

/** A number with so many decimals and a true minus sign; `OL` for infinity, an en rule for no number. */
export function formatNumber(value: number, decimals?: number): string {
  if (Number.isNaN(value)) return "–";
  if (value === Number.POSITIVE_INFINITY) return "OL";
  if (value === Number.NEGATIVE_INFINITY) return `${MINUS}OL`;
  const text = digitsOf(Math.abs(value), decimals);
  return value < 0 && /[1-9]/.test(text) ? MINUS + text : text;
}

function digitsOf(size: number, decimals: number | undefined): string {
  if (decimals === undefined) return plainDigits(Number(size.toPrecision(6)));
  if (decimals >= 0) return size.toFixed(Math.min(decimals, 15));
  const step = 10 ** -decimals;
  return plainDigits(Math.round(size / step) * step);
}

/** Digits without an exponent, as far as a meter could show them. */
function plainDigits(size: number): string {
  const text = String(size);
  return text.includes("e") && size < 1 ? size.toFixed(15).replace(/0+$/, "") : text;
}
