import type { MeasureKind } from "./kind.ts";
import { CONTEXT_ALIASES, type Dimension, UNIT_ROWS } from "./unit-table.ts";

export type { Dimension } from "./unit-table.ts";

/** A unit of the trade with its exact factor to the base unit of its dimension. */
export interface Unit {
  /** Canonical, plain ASCII: `Ohm`, `degC`, `N.m`. */
  readonly symbol: string;
  readonly dimension: Dimension;
  /** As people read it: `Ω`, `°C`, `N·m`; empty for the plain number `1`. */
  readonly display: string;
  /** Base units in one of this unit, as the nearest double. */
  readonly factor: number;
  /** What this unit shows at the zero of the base unit (32 for degF); 0 but for temperatures. */
  readonly offset: number;
  readonly num: number;
  readonly den: number;
  readonly exp: number;
  /** The symbol that a prefix typed alone goes before (`V`); absent where no bare prefix is read. */
  readonly stem?: string;
  /** Begins with milli or mega, so that its first letter's case must be right. */
  readonly cased?: true;
}

const POWERS = Array.from({ length: 23 }, (_, n) => Number(`1e${n}`));

/** `value × 10^n`, correctly rounded for |n| up to 22. */
function shift(value: number, n: number): number {
  const power = POWERS[Math.abs(n)] ?? 10 ** Math.abs(n);
  return n >= 0 ? value * power : value / power;
}

function displayOf(symbol: string): string {
  if (symbol === "1") return "";
  return symbol
    .replace("Ohm", "Ω")
    .replace(/^u/, "µ")
    .replace("deg", "°")
    .replace(".", "·")
    .replace("H2O", "H₂O")
    .replace(/m2$/, "m²")
    .replace(/m3$/, "m³");
}

const UNITS: readonly Unit[] = UNIT_ROWS.map((row) => ({
  symbol: row.symbol,
  dimension: row.dimension,
  display: displayOf(row.symbol),
  factor: shift(row.num / row.den, row.exp),
  offset: row.zero,
  num: row.num,
  den: row.den,
  exp: row.exp,
  ...(row.stem === undefined ? {} : { stem: row.stem }),
  ...(row.cased === undefined ? {} : { cased: row.cased }),
}));

/** The two code points of micro and of ohm, the look-alikes of the degree sign, odd spaces. */
function plain(text: string): string {
  return text
    .trim()
    .replace(/μ/g, "µ")
    .replace(/\u2126/g, "Ω")
    .replace(/[\u00a0\u2007\u2009\u202f]/g, " ")
    .replace(/[º˚°] ?/g, "°");
}

/** Case and the joint between two symbols (`ft-lb`, `lbf·ft`, `N m`) taken away. */
function loose(text: string): string {
  return text
    .toLowerCase()
    .replace(/\.$/, "")
    .replace(/[\s.·⋅∙*-]+/g, ".");
}

const EXACT = new Map<string, Unit>();
const LOOSE = new Map<string, Unit | "ambiguous">();

function fillIndexes(): void {
  for (const [index, unit] of UNITS.entries()) {
    for (const name of [unit.symbol, unit.display, ...(UNIT_ROWS[index]?.aliases ?? [])]) {
      if (name === "") continue;
      if (!EXACT.has(name)) EXACT.set(name, unit);
      const key = loose(name);
      const before = LOOSE.get(key);
      if (before === undefined) LOOSE.set(key, unit);
      else if (before !== unit) LOOSE.set(key, "ambiguous");
    }
  }
}
fillIndexes();

/**
 * The unit that a text names, by symbol or alias; undefined when none or more than one fits.
 * Case counts where it tells units apart (`mOhm`, `MOhm`) and is forgiven elsewhere (`12.6 v`).
 */
export function unitOf(text: string): Unit | undefined {
  const exact = EXACT.get(text);
  if (exact !== undefined) return exact;
  if (text.length > 40) return undefined;
  const tidy = plain(text);
  const listed = EXACT.get(tidy);
  if (listed !== undefined) return listed;
  const found = LOOSE.get(loose(tidy));
  if (found === undefined || found === "ambiguous") return undefined;
  return found.cased === true && slipsPrefix(tidy, found) ? undefined : found;
}

/** Whether `MV` was typed for `mV` or `mhz` for `MHz`: a factor of a thousand million is never guessed. */
function slipsPrefix(text: string, unit: Unit): boolean {
  return text[0] !== unit.symbol[0] && !/^(milli|mega?)/i.test(text);
}

/**
 * The unit that a text names where a quantity of one dimension is expected: `C` is a degree beside a
 * temperature and a coulomb elsewhere. May be of another dimension, when nothing of this one fits.
 */
export function unitWithin(text: string, dimension: Dimension): Unit | undefined {
  const aliases = CONTEXT_ALIASES[dimension];
  const named = aliases !== undefined && Object.hasOwn(aliases, text) ? aliases[text] : undefined;
  return named === undefined ? unitOf(text) : EXACT.get(named);
}

/** The number in `to` that equals `value` in `from`; both units must share a dimension. */
export function convertBetween(value: number, from: Unit, to: Unit): number {
  if (from === to) return value;
  const above = value - from.offset;
  const scaled = from.num === to.num && from.den === to.den ? above : scale(above, from, to);
  return shift(scaled, from.exp - to.exp) + to.offset;
}

function scale(value: number, from: Unit, to: Unit): number {
  return (value * from.num * to.den) / (from.den * to.num);
}

/**
 * The number in `to` that equals `value` in `from`; undefined when a unit is unknown or the dimensions
 * differ. Infinities stay. Source of the factors: NIST SP 811, appendix B.
 */
export function convert(value: number, from: string, to: string): number | undefined {
  if (from === to && EXACT.has(from)) return value;
  const a = unitOf(from);
  const b = unitOf(to);
  if (a === undefined || b === undefined || a.dimension !== b.dimension) return undefined;
  return convertBetween(value, a, b);
}

/** As `convert`, for a difference or a spread: the zero points of temperature scales play no part. */
export function convertDifference(value: number, from: string, to: string): number | undefined {
  if (from === to && EXACT.has(from)) return value;
  const a = unitOf(from);
  const b = unitOf(to);
  if (a === undefined || b === undefined || a.dimension !== b.dimension) return undefined;
  return differenceBetween(value, a, b);
}

/** As `convertBetween`, for a difference. */
export function differenceBetween(value: number, from: Unit, to: Unit): number {
  if (from === to) return value;
  return shift(
    from.num === to.num && from.den === to.den ? value : scale(value, from, to),
    from.exp - to.exp,
  );
}

/** Whether two unit texts name units of one dimension; false when either is unknown. */
export function sameDimension(a: string, b: string): boolean {
  const first = unitOf(a);
  return first !== undefined && first.dimension === unitOf(b)?.dimension;
}

/** The dimension that a kind of measurement has. */
export function dimensionOf(kind: MeasureKind): Dimension {
  return kind;
}

/** A unit's symbol as people read it; a text that names no unit comes back as it is. */
export function displayUnit(symbol: string): string {
  return unitOf(symbol)?.display ?? symbol;
}

const KEYPAD: Readonly<Record<MeasureKind, readonly string[]>> = {
  voltage: ["mV", "V", "kV"],
  current: ["uA", "mA", "A"],
  resistance: ["mOhm", "Ohm", "kOhm", "MOhm"],
  power: ["mW", "W", "kW", "hp"],
  charge: ["mAh", "Ah", "C"],
  frequency: ["Hz", "kHz", "MHz"],
  ratio: ["%", "1"],
  temperature: ["degC", "degF", "K"],
  pressure: ["kPa", "bar", "psi", "inHg", "mmHg", "inH2O", "mbar", "hPa", "MPa", "Pa"],
  torque: ["N.m", "lbf.ft", "lbf.in", "kgf.m"],
  length: ["mm", "in", "mil", "um", "cm", "m", "ft"],
  volume: ["L", "mL", "gal", "qt", "pt", "fl oz"],
  mass: ["g", "kg", "lb", "oz"],
  time: ["s", "ms", "us", "min", "h"],
  speed: ["rpm"],
  capacitance: ["pF", "nF", "uF", "mF", "F"],
};

/** The canonical symbols to choose from when a reading of this kind is typed, the likely ones first. */
export function unitsFor(kind: MeasureKind): readonly string[] {
  return KEYPAD[kind];
}
