import type { MeasureKind } from "./kind.ts";

/** What a unit measures. Two units convert into each other only within one dimension. */
export type Dimension = MeasureKind | "area";

/**
 * One row of the table. A number in this unit is, in the base unit of its dimension,
 * `(number - zero) × num / den × 10^exp`; the whole numbers keep the factor exact.
 */
export interface UnitRow {
  readonly symbol: string;
  readonly dimension: Dimension;
  readonly num: number;
  readonly den: number;
  readonly exp: number;
  /** What this unit shows at the zero of the base unit; only temperatures have one. */
  readonly zero: number;
  /** The symbol that SI prefixes go before, on units that people type by prefix alone (`0.4k`). */
  readonly stem?: string;
  /** Begins with milli or mega, so that its first letter's case must be right. */
  readonly cased?: true;
  readonly aliases: readonly string[];
}

const PREFIXES: Readonly<
  Record<string, { exp: number; spelled: readonly string[]; words: readonly string[] }>
> = {
  p: { exp: -12, spelled: ["p"], words: ["pico"] },
  n: { exp: -9, spelled: ["n"], words: ["nano"] },
  u: { exp: -6, spelled: ["u", "µ"], words: ["micro"] },
  m: { exp: -3, spelled: ["m"], words: ["milli"] },
  "": { exp: 0, spelled: [""], words: [""] },
  k: { exp: 3, spelled: ["k", "K"], words: ["kilo", "kil"] },
  M: { exp: 6, spelled: ["M", "meg"], words: ["mega", "meg"] },
};

interface Family {
  readonly dimension: Dimension;
  readonly stem: string;
  readonly prefixes: readonly string[];
  readonly spelled: readonly string[];
  readonly words: readonly string[];
  /** Whether a prefix alone stands for prefix and unit, as meters show it. */
  readonly bare: boolean;
  readonly exp?: number;
  readonly num?: number;
}

/**
 * Families of SI prefixes. A prefix that nobody meets in a workshop is left out on purpose:
 * `412 MV` is a slip for `412 mV`, and must be refused rather than read as megavolts.
 */
const FAMILIES: readonly Family[] = [
  {
    dimension: "voltage",
    stem: "V",
    prefixes: ["u", "m", "", "k"],
    spelled: ["V", "v", "VDC", "VAC", "Vdc", "Vac"],
    words: ["volt", "volts"],
    bare: true,
  },
  {
    dimension: "current",
    stem: "A",
    prefixes: ["u", "m", "", "k"],
    spelled: ["A", "a", "ADC", "AAC", "Adc", "Aac"],
    words: ["amp", "amps", "ampere", "amperes"],
    bare: true,
  },
  {
    dimension: "resistance",
    stem: "Ohm",
    prefixes: ["u", "m", "", "k", "M"],
    spelled: ["Ohm", "ohm", "OHM", "Ω", "Ohms", "ohms", "OHMS"],
    words: ["ohm", "ohms"],
    bare: true,
  },
  {
    dimension: "power",
    stem: "W",
    prefixes: ["m", "", "k"],
    spelled: ["W", "w"],
    words: ["watt", "watts"],
    bare: true,
  },
  {
    dimension: "charge",
    stem: "Ah",
    prefixes: ["m", ""],
    spelled: ["Ah", "ah", "AH", "A.h", "A·h"],
    words: [],
    bare: true,
    num: 3600,
  },
  {
    dimension: "frequency",
    stem: "Hz",
    prefixes: ["", "k", "M"],
    spelled: ["Hz", "hz", "HZ"],
    words: ["hertz"],
    bare: true,
  },
  {
    dimension: "capacitance",
    stem: "F",
    prefixes: ["p", "n", "u", "m", ""],
    spelled: ["F"],
    words: ["farad", "farads"],
    bare: true,
  },
  {
    dimension: "pressure",
    stem: "Pa",
    prefixes: ["", "k", "M"],
    spelled: ["Pa", "pa"],
    words: ["pascal", "pascals"],
    bare: false,
  },
  {
    dimension: "pressure",
    stem: "bar",
    prefixes: ["m", ""],
    spelled: ["bar", "Bar"],
    words: [],
    bare: false,
    exp: 5,
  },
  {
    dimension: "length",
    stem: "m",
    prefixes: ["u", "m", "", "k"],
    spelled: ["m"],
    words: ["metre", "metres", "meter", "meters"],
    bare: false,
  },
  {
    dimension: "volume",
    stem: "L",
    prefixes: ["m", ""],
    spelled: ["L", "l"],
    words: ["litre", "litres", "liter", "liters"],
    bare: false,
  },
  {
    dimension: "mass",
    stem: "g",
    prefixes: ["m", "", "k"],
    spelled: ["g"],
    words: ["gram", "grams"],
    bare: false,
  },
  {
    dimension: "time",
    stem: "s",
    prefixes: ["u", "m", ""],
    spelled: ["s", "sec", "secs"],
    words: ["second", "seconds"],
    bare: false,
  },
];

function rowsOf(family: Family): UnitRow[] {
  return family.prefixes.flatMap((name) => {
    const prefix = PREFIXES[name];
    if (prefix === undefined) return [];
    return [
      {
        symbol: name + family.stem,
        dimension: family.dimension,
        num: family.num ?? 1,
        den: 1,
        exp: prefix.exp + (family.exp ?? 0),
        zero: 0,
        ...(family.bare ? { stem: family.stem } : {}),
        ...(name === "m" || name === "M" ? { cased: true as const } : {}),
        aliases: [
          ...prefix.spelled.flatMap((p) => family.spelled.map((s) => p + s)),
          ...prefix.words.flatMap((p) => family.words.map((s) => p + s)),
        ],
      },
    ];
  });
}

function row(
  symbol: string,
  dimension: Dimension,
  num: number,
  exp: number,
  aliases: string,
  more: { readonly den?: number; readonly zero?: number } = {},
): UnitRow {
  return {
    symbol,
    dimension,
    num,
    den: more.den ?? 1,
    exp,
    zero: more.zero ?? 0,
    aliases: aliases === "" ? [] : aliases.split("|"),
  };
}

/** The double nearest to .45359237 kg × 9.80665 m/s² × .3048 m = 1.3558179483314004 N.m (NIST SP 811, B.8). */
const FOOT_POUND = 1.3558179483314003;

/**
 * Every unit known. Base units: V, A, Ohm, W, C, Hz, 1, degC, Pa, N.m, m, L, g, s, rpm, F, m2.
 * Factors: NIST SP 811 (2008), appendix B, the exact ones from the definitions of inch, pound,
 * gallon and standard gravity. mmHg is the conventional one, 13.5951 g/cm³ at standard gravity;
 * inH2O the conventional one, 1 g/cm³. US gallon, quart, pint and fluid ounce.
 */
export const UNIT_ROWS: readonly UnitRow[] = [
  ...FAMILIES.flatMap(rowsOf),
  row("C", "charge", 1, 0, "coulomb|coulombs"),
  row("hp", "power", 745.6998715822702, 0, "HP|horsepower"),
  row("rpm", "speed", 1, 0, "r/min|1/min|min-1|RPM|rev/min|U/min"),
  row("1", "ratio", 1, 0, ""),
  row("%", "ratio", 1, -2, "percent|pct|% duty"),
  row("degC", "temperature", 1, 0, "°C|℃|deg C|celsius|Cel|degree C|degrees C"),
  row("degF", "temperature", 5, 0, "°F|℉|deg F|fahrenheit|[degF]|degree F|degrees F", { den: 9, zero: 32 }),
  row("K", "temperature", 1, 0, "kelvin|kelvins", { zero: 273.15 }),
  row("hPa", "pressure", 1, 2, ""),
  row("psi", "pressure", 44482216152605, -5, "lbf/in2|lb/in2|PSI|psig|[psi]|pounds per square inch", {
    den: 64516,
  }),
  row("inHg", "pressure", 3386388640341, -9, "in Hg|inches of mercury|\"Hg|[in_i'Hg]"),
  row("mmHg", "pressure", 133322387415, -9, "mm Hg|m[Hg]"),
  row("inH2O", "pressure", 24908891, -5, 'in H2O|inH₂O|inWC|inches of water|"H2O|inAq'),
  row("mmH2O", "pressure", 980665, -5, "mm H2O|mmH₂O|mmWC"),
  row("kgf/cm2", "pressure", 980665, -1, "kgf/cm²|kg/cm2|kg/cm²|at"),
  row("atm", "pressure", 101325, 0, ""),
  row("N.m", "torque", 1, 0, "Nm|N·m|N m|N-m|newton metre|newton metres|newton meter|newton meters"),
  row("cN.m", "torque", 1, -2, "cNm|cN·m"),
  row("daN.m", "torque", 1, 1, "daNm|daN·m|mdaN"),
  row(
    "lbf.ft",
    "torque",
    FOOT_POUND,
    0,
    "lbf ft|lbfft|ft lbf|ftlbf|lb ft|lbft|ft lb|ftlb|ft lbs|ftlbs|lbs ft|foot pound|foot pounds|pound foot|pound feet",
  ),
  row(
    "lbf.in",
    "torque",
    FOOT_POUND,
    0,
    "lbf in|lbfin|in lbf|inlbf|lb in|lbin|in lb|inlb|in lbs|inlbs|lbs in|inch pound|inch pounds|pound inch|pound inches",
    { den: 12 },
  ),
  row("kgf.m", "torque", 980665, -5, "kgf m|kgfm|kgf·m|m kgf|kg m|kgm|kilogram metre|kp m|mkp"),
  row("kgf.cm", "torque", 980665, -7, "kgf cm|kgfcm|kgf·cm|kg cm|kgcm"),
  row("cm", "length", 1, -2, "centimetre|centimeter"),
  row("in", "length", 254, -4, 'inch|inches|"|″'),
  row("ft", "length", 3048, -4, "foot|feet"),
  row("mil", "length", 254, -7, "mils|thou"),
  row("mi", "length", 1609344, -3, "mile|miles"),
  row("gal", "volume", 3785411784, -9, "gallon|gallons|US gal"),
  row("qt", "volume", 946352946, -9, "quart|quarts|US qt"),
  row("pt", "volume", 473176473, -9, "pint|pints|US pt"),
  row("fl oz", "volume", 295735295625, -13, "floz|fluid ounce|fluid ounces"),
  row("cm3", "volume", 1, -3, "cc|ccm|cm³"),
  row("m3", "volume", 1, 3, "m³"),
  row("t", "mass", 1, 6, "tonne|tonnes"),
  row("lb", "mass", 45359237, -5, "lbs|pound|pounds"),
  row("oz", "mass", 28349523125, -9, "ounce|ounces"),
  row("min", "time", 60, 0, "mins|minute|minutes"),
  row("h", "time", 3600, 0, "hr|hrs|hour|hours"),
  row("d", "time", 86400, 0, "day|days"),
  row("mm2", "area", 1, -6, "mm²|sq mm|sqmm"),
  row("cm2", "area", 1, -4, "cm²"),
  row("m2", "area", 1, 0, "m²"),
];

/** Written beside the symbols of one dimension only, because elsewhere they mean something else. */
export const CONTEXT_ALIASES: Readonly<Partial<Record<Dimension, Readonly<Record<string, string>>>>> = {
  temperature: { C: "degC", c: "degC", F: "degF", f: "degF" },
  resistance: { R: "Ohm", r: "Ohm" },
  current: { CCA: "A", cca: "A" },
  capacitance: { f: "F", uf: "uF", µf: "uF", nf: "nF", pf: "pF" },
};
