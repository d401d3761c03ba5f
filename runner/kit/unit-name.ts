const NAMES: ReadonlyMap<string, string> = new Map([
  ["Ohm", "ohm"],
  ["kOhm", "kilo-ohm"],
  ["MOhm", "megohm"],
  ["mOhm", "milliohm"],
  ["V", "volt"],
  ["mV", "millivolt"],
  ["kV", "kilovolt"],
  ["A", "amp"],
  ["mA", "milliamp"],
  ["uA", "microamp"],
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
