import { coilCurrent, copperResistance, flexibleLimit, gaugeArea, parallelResistance } from "./conductor.ts";
import { isMetal, METALS, type MetalName, referenceFactor } from "./correct.ts";
import { formatNumber } from "./format.ts";
import { type In, inUnit } from "./in-unit.ts";
import { stateOfCharge } from "./lead-acid.ts";
import { platinumResistance, platinumTemperature } from "./platinum.ts";
import {
  betaResistance,
  betaTemperature,
  steinhartHartResistance,
  steinhartHartTemperature,
} from "./thermistor.ts";
import { displayUnit } from "./units.ts";

/** One number that a function takes: its unit, and the range it is valid in, both ends included. */
interface FunctionParameter<Unit extends string = string> {
  readonly name: string;
  /** A symbol of `units.ts`, `1` for a plain number. */
  readonly unit: Unit;
  readonly low: number;
  readonly high: number;
}

/** A formula of the trade that a procedure's expressions may call by name, numbers in, number out. */
export interface SourcedFunction {
  readonly name: string;
  /** What it gives, in a few words. */
  readonly gives: string;
  readonly parameters: readonly FunctionParameter[];
  /** Unit of the result. */
  readonly unit: string;
  /** Where the result must lie to be valid, both ends included; anywhere when left out. */
  readonly result?: { readonly low: number; readonly high: number };
  readonly source: string;
  /** Called only with arguments inside their ranges; undefined where a table has no row. */
  readonly compute: (...values: number[]) => number | undefined;
}

/** Why a call gives no number. */
export interface FunctionProblem {
  readonly code: "unknown-function" | "argument-count" | "argument-range" | "not-in-table" | "result-range";
  readonly name: string;
  readonly params: Readonly<Record<string, string>>;
}

/** The numbers that parameters take, each in its unit. */
type NumbersOf<Parameters extends readonly FunctionParameter[]> = {
  [Place in keyof Parameters]: In<Parameters[Place]["unit"]>;
};

/** A function whose formula the compiler holds to the units it declares. */
function formula<const Parameters extends readonly FunctionParameter[], const Unit extends string>(
  declared: Omit<SourcedFunction, "parameters" | "unit" | "compute"> & {
    readonly parameters: Parameters;
    readonly unit: Unit;
    readonly compute: (...values: NumbersOf<Parameters>) => In<Unit> | undefined;
  },
): SourcedFunction {
  // `callFunction` has counted the numbers and held them to their ranges.
  return { ...declared, compute: declared.compute as unknown as SourcedFunction["compute"] };
}

const at = (low: number, high: number, name = "temperature"): FunctionParameter<"degC"> => ({
  name,
  unit: "degC",
  low,
  high,
});
const ohms = (name: string, low: number, high: number): FunctionParameter<"Ohm"> => ({
  name,
  unit: "Ohm",
  low,
  high,
});
const metres: FunctionParameter<"m"> = { name: "length", unit: "m", low: 0, high: 1000 };
const area: FunctionParameter<"mm2"> = { name: "area", unit: "mm2", low: 0.05, high: 500 };
const amperes: FunctionParameter<"A"> = { name: "current", unit: "A", low: -5000, high: 5000 };
const gauge: FunctionParameter<"1"> = { name: "gauge", unit: "1", low: -3, high: 40 };
const beta: FunctionParameter<"K"> = { name: "beta", unit: "K", low: 1000, high: 7000 };
const copperAt = at(METALS.copper.low, METALS.copper.high);
const coefficient = (name: string, low: number, high: number): FunctionParameter<"1"> => ({
  name,
  unit: "1",
  low,
  high,
});
const STEINHART = [
  coefficient("A", -0.01, 0.01),
  coefficient("B", 1e-6, 0.01),
  coefficient("C", 1e-10, 1e-5),
] as const;
const NTC_RANGE = { low: -80, high: 300 };
const NTC_OHMS = { low: 0.01, high: 1e9 };

const COPPER_SOURCE = "IEC 60028: 1/58 ohm mm²/m at 20 degC, .00393 per kelvin";

function metalFunction(metal: MetalName): SourcedFunction {
  const { low, high, source } = METALS[metal];
  return formula({
    name: `${metal}_at`,
    gives: `resistance that ${metal} of one temperature has at another`,
    parameters: [ohms("resistance", -1e9, 1e9), at(low, high, "measured at"), at(low, high, "wanted at")],
    unit: "Ohm",
    source,
    compute: (resistance, from, to) => inUnit(resistance * referenceFactor(metal, from, to), "Ohm"),
  });
}

const LIST: readonly SourcedFunction[] = [
  ...Object.keys(METALS).filter(isMetal).map(metalFunction),
  formula({
    name: "platinum_resistance",
    gives: "resistance of a platinum thermometer at a temperature, by its ohms at 0 degC",
    parameters: [at(-200, 850), ohms("R0", 1, 10_000)],
    unit: "Ohm",
    source: "IEC 60751:2022",
    compute: (celsius, r0) => platinumResistance(celsius, r0),
  }),
  formula({
    name: "platinum_temperature",
    gives: "temperature of a platinum thermometer by its resistance and its ohms at 0 degC",
    parameters: [ohms("resistance", 0.1, 50_000), ohms("R0", 1, 10_000)],
    unit: "degC",
    // The table's rounded ends come out a hair outside.
    result: { low: -200.01, high: 850.01 },
    source: "IEC 60751:2022",
    compute: (resistance, r0) => platinumTemperature(resistance, r0),
  }),
  formula({
    name: "ntc_resistance",
    gives: "resistance of an NTC thermistor at a temperature, by its ohms at 25 degC and beta",
    parameters: [at(NTC_RANGE.low, NTC_RANGE.high), ohms("R25", 1, 1e7), beta],
    unit: "Ohm",
    source: "IEC 60539-1, B value",
    compute: (celsius, r25, kelvins) => betaResistance(celsius, r25, kelvins),
  }),
  formula({
    name: "ntc_temperature",
    gives: "temperature of an NTC thermistor by its resistance, its ohms at 25 degC and beta",
    parameters: [ohms("resistance", NTC_OHMS.low, NTC_OHMS.high), ohms("R25", 1, 1e7), beta],
    unit: "degC",
    result: NTC_RANGE,
    source: "IEC 60539-1, B value",
    compute: (resistance, r25, kelvins) => betaTemperature(resistance, r25, kelvins),
  }),
  formula({
    name: "steinhart_hart_temperature",
    gives: "temperature of a thermistor by its resistance and its three coefficients",
    parameters: [ohms("resistance", NTC_OHMS.low, NTC_OHMS.high), ...STEINHART],
    unit: "degC",
    result: NTC_RANGE,
    source: "Steinhart and Hart, Deep-Sea Research 15 (1968)",
    compute: (resistance, a, b, c) => steinhartHartTemperature(resistance, a, b, c),
  }),
  formula({
    name: "steinhart_hart_resistance",
    gives: "resistance of a thermistor at a temperature, by its three coefficients",
    parameters: [at(NTC_RANGE.low, NTC_RANGE.high), ...STEINHART],
    unit: "Ohm",
    result: NTC_OHMS,
    source: "Steinhart and Hart, Deep-Sea Research 15 (1968)",
    compute: (celsius, a, b, c) => steinhartHartResistance(celsius, a, b, c),
  }),
  formula({
    name: "wire_resistance",
    gives: "resistance of a copper conductor by its mm², metres of conductor and temperature",
    parameters: [area, metres, copperAt],
    unit: "Ohm",
    source: COPPER_SOURCE,
    compute: (mm2, length, celsius) => copperResistance(mm2, length, celsius),
  }),
  formula({
    name: "wire_resistance_awg",
    gives: "resistance of a solid copper wire by gauge (0 to -3 for 1/0 to 4/0), metres and temperature",
    parameters: [gauge, metres, copperAt],
    unit: "Ohm",
    source: `ASTM B258; ${COPPER_SOURCE}`,
    compute: (size, length, celsius) => copperResistance(gaugeArea(size), length, celsius),
  }),
  formula({
    name: "cable_resistance_limit",
    gives: "most ohms of a sound flexible copper cable by nominal mm², metres of conductor and temperature",
    parameters: [area, metres, copperAt],
    unit: "Ohm",
    source: "IEC 60228, class 5, plain copper; IEC 60028",
    compute: (mm2, length, celsius) => flexibleLimit(mm2, length, celsius),
  }),
  formula({
    name: "cable_drop",
    gives: "volts lost along a copper conductor by amperes, mm², metres of conductor and temperature",
    parameters: [amperes, area, metres, copperAt],
    unit: "V",
    source: COPPER_SOURCE,
    compute: (current, mm2, length, celsius) => inUnit(current * copperResistance(mm2, length, celsius), "V"),
  }),
  formula({
    name: "coil_current",
    gives: "current of a copper coil by volts, its ohms at 20 degC and its temperature",
    parameters: [{ name: "voltage", unit: "V", low: -1000, high: 1000 }, ohms("R20", 0.001, 1e7), copperAt],
    unit: "A",
    source: "Ohm's law; IEC 60028",
    compute: (volts, resistance, celsius) => coilCurrent(volts, resistance, celsius),
  }),
  formula({
    name: "parallel",
    gives: "resistance of two resistances side by side",
    parameters: [ohms("first", 0, Number.POSITIVE_INFINITY), ohms("second", 0, Number.POSITIVE_INFINITY)],
    unit: "Ohm",
    source: "Ohm's law",
    compute: (first, second) => parallelResistance(first, second),
  }),
  formula({
    name: "battery_charge",
    gives: "percent of charge of a rested 12 V flooded lead-acid battery by volts and temperature",
    parameters: [{ name: "voltage", unit: "V", low: 10.5, high: 12.9 }, at(-20, 50)],
    unit: "%",
    source: "a battery maker's table at 26.7 degC; other tables differ by up to .06 V",
    compute: (volts, celsius) => stateOfCharge(volts, celsius),
  }),
];

/** The formulas that expressions may call, by name. */
export const FUNCTIONS: ReadonlyMap<string, SourcedFunction> = new Map(LIST.map((one) => [one.name, one]));

type Called =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly problem: FunctionProblem };

/** What a function gives for numbers in its units, or why it gives nothing; never a number outside its range. */
export function callFunction(name: string, values: readonly number[]): Called {
  const called = FUNCTIONS.get(name);
  if (called === undefined) return problem("unknown-function", name);
  const { parameters, result, unit } = called;
  if (values.length !== parameters.length)
    return problem("argument-count", name, { wanted: String(parameters.length), got: String(values.length) });
  for (const [index, parameter] of parameters.entries()) {
    const value = values[index] ?? Number.NaN;
    if (!(value >= parameter.low && value <= parameter.high))
      return problem("argument-range", name, rangeParams(parameter.name, value, parameter, parameter.unit));
  }
  const value = called.compute(...values);
  if (value === undefined) return problem("not-in-table", name, { value: formatNumber(values[0] ?? 0) });
  if (Number.isNaN(value) || (result !== undefined && !(value >= result.low && value <= result.high)))
    return problem("result-range", name, rangeParams("result", value, result ?? ANYWHERE, unit));
  return { ok: true, value };
}

const ANYWHERE = { low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY };

function rangeParams(
  what: string,
  value: number,
  range: { readonly low: number; readonly high: number },
  unit: string,
): Readonly<Record<string, string>> {
  return {
    what,
    value: formatNumber(value),
    low: formatNumber(range.low),
    high: formatNumber(range.high),
    unit,
  };
}

function problem(
  code: FunctionProblem["code"],
  name: string,
  params: Readonly<Record<string, string>> = {},
): { readonly ok: false; readonly problem: FunctionProblem } {
  return { ok: false, problem: { code, name, params } };
}

/** One sentence that says why a call gives no number. */
export function functionProblemSentence({ code, name, params }: FunctionProblem): string {
  const unit = displayUnit(params.unit ?? "");
  const range = `${params.low} to ${params.high}${unit === "" ? "" : ` ${unit}`}`;
  switch (code) {
    case "unknown-function":
      return `There is no function ${name}.`;
    case "argument-count":
      return `${name} takes ${params.wanted} numbers, not ${params.got}.`;
    case "argument-range":
      return `${name} holds for ${params.what} ${range}, not ${params.value}.`;
    case "not-in-table":
      return `${name} has no row for ${params.value} in its table.`;
    case "result-range":
      return `${name} would give ${params.value}, outside the ${range} that it holds for.`;
  }
}
