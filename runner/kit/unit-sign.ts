/** Signs that people read for the units that files write. */
const SIGNS: ReadonlyMap<string, string> = new Map([
  ["Ohm", "Ω"],
  ["mOhm", "mΩ"],
  ["uOhm", "µΩ"],
  ["kOhm", "kΩ"],
  ["MOhm", "MΩ"],
  ["degC", "°C"],
  ["degF", "°F"],
  ["N.m", "N·m"],
  ["kgf.m", "kgf·m"],
  ["lbf.ft", "lbf·ft"],
  ["lbf.in", "lbf·in"],
  ["uF", "µF"],
  ["uA", "µA"],
  ["uV", "µV"],
  ["us", "µs"],
  ["um", "µm"],
]);

/** The sign of a unit as it is shown: `Ω` for `Ohm`; units that need none stay as they are. */
export function unitSign(unit: string): string {
  return SIGNS.get(unit) ?? unit;
}

const NAMES: ReadonlyMap<string, string> = new Map([
  ["Ohm", "ohm"],
  ["kOhm", "kilo-ohm"],
  ["MOhm", "megohm"],
  ["mOhm", "milli-ohm"],
  ["V", "volt"],
  ["mV", "millivolt"],
  ["A", "amp"],
  ["mA", "milliamp"],
  ["W", "watt"],
  ["Hz", "hertz"],
  ["kHz", "kilohertz"],
  ["degC", "Celsius"],
  ["degF", "Fahrenheit"],
  ["s", "seconds"],
  ["min", "minutes"],
  ["ms", "milliseconds"],
  ["%", "percent"],
]);

/** The spoken name of a unit, or nothing where its sign is its name. */
export function unitName(unit: string): string | undefined {
  return NAMES.get(unit);
}
