import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { MEASURE_KINDS } from "../../../engine/quantity/kind.ts";
import {
  convert,
  convertDifference,
  dimensionOf,
  displayUnit,
  sameDimension,
  unitOf,
  unitsFor,
} from "../../../engine/quantity/units.ts";

const pairs = MEASURE_KINDS.flatMap((kind) =>
  unitsFor(kind).flatMap((from) => unitsFor(kind).map((to) => [from, to] as const)),
);
const pair = fc.constantFrom(...pairs);
/** Below the smallest normal double no factor can be kept; no meter shows such numbers. */
const reading = fc
  .double({ min: -1e9, max: 1e9, noNaN: true })
  .map((value) => (Math.abs(value) < 1e-200 ? 0 : value));

describe("unitOf", () => {
  test.each([
    ["ohm", "Ohm"],
    ["Ω", "Ohm"],
    ["\u2126", "Ohm"],
    ["Ohms", "Ohm"],
    ["kΩ", "kOhm"],
    ["KOHM", "kOhm"],
    ["megohm", "MOhm"],
    ["mOhm", "mOhm"],
    ["mohm", "mOhm"],
    ["v", "V"],
    ["Volts", "V"],
    ["mV", "mV"],
    ["mv", "mV"],
    ["VDC", "V"],
    ["°C", "degC"],
    ["º C", "degC"],
    ["deg F", "degF"],
    ["Nm", "N.m"],
    ["N·m", "N.m"],
    ["n.m", "N.m"],
    ["ft-lb", "lbf.ft"],
    ["FT LBS", "lbf.ft"],
    ["lb ft", "lbf.ft"],
    ["lbf·ft", "lbf.ft"],
    ["in-lbs", "lbf.in"],
    ["kgf-m", "kgf.m"],
    ["PSI", "psi"],
    ["μF", "uF"],
    ["%", "%"],
    ["1", "1"],
    ["RPM", "rpm"],
    ["thou", "mil"],
    ["cc", "cm3"],
    ["[in_i'Hg]", "inHg"],
  ])("reads %s as %s", (text, symbol) => {
    expect(unitOf(text)?.symbol).toBe(symbol);
  });
  test.each(["", "MV", "mhz", "furlong", "__proto__", "constructor", "🙂", "V V", "x".repeat(10_000)])(
    "knows no unit %s",
    (text) => {
      expect(unitOf(text)).toBeUndefined();
    },
  );
  test("knows every unit of the keypad by its symbol and its display form, in the kind's dimension", () => {
    for (const kind of MEASURE_KINDS) {
      for (const symbol of unitsFor(kind)) {
        expect(unitOf(symbol)?.symbol).toBe(symbol);
        expect(unitOf(symbol)?.dimension).toBe(dimensionOf(kind));
        if (symbol !== "1") expect(unitOf(displayUnit(symbol))?.symbol).toBe(symbol);
      }
    }
  });
});

describe("displayUnit", () => {
  test.each([
    ["Ohm", "Ω"],
    ["kOhm", "kΩ"],
    ["degC", "°C"],
    ["N.m", "N·m"],
    ["uF", "µF"],
    ["1", ""],
    ["unheard-of", "unheard-of"],
  ])("shows %s as %s", (symbol, shown) => {
    expect(displayUnit(symbol)).toBe(shown);
  });
});

describe("convert", () => {
  test("refuses units of two dimensions and unknown ones", () => {
    expect(convert(1, "V", "Ohm")).toBeUndefined();
    expect(convert(1, "Hz", "rpm")).toBeUndefined();
    expect(convert(1, "V", "nothing")).toBeUndefined();
    expect(sameDimension("psi", "bar")).toBe(true);
    expect(sameDimension("psi", "N.m")).toBe(false);
    expect(sameDimension("nothing", "nothing")).toBe(false);
  });
  test("keeps over range over range", () => {
    expect(convert(Number.POSITIVE_INFINITY, "kOhm", "Ohm")).toBe(Number.POSITIVE_INFINITY);
    expect(convert(Number.NEGATIVE_INFINITY, "degF", "degC")).toBe(Number.NEGATIVE_INFINITY);
  });
  test("moves a difference of temperatures without the zero point", () => {
    expect(convertDifference(18, "degF", "degC")).toBe(10);
    expect(convertDifference(10, "degC", "K")).toBe(10);
  });
  test("there and back is the same within 1 part in 10^12, zero points of temperature counted in", () => {
    fc.assert(
      fc.property(pair, reading, ([from, to], value) => {
        const back = convert(convert(value, from, to) ?? Number.NaN, to, from) ?? Number.NaN;
        const size = Math.abs(value) + (dimension(from) === "temperature" ? 500 : 0);
        expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-12 * size);
      }),
    );
  });
  test("keeps the order of two readings", () => {
    fc.assert(
      fc.property(pair, reading, reading, ([from, to], a, b) => {
        const [low, high] = a <= b ? [a, b] : [b, a];
        expect(convert(low, from, to) ?? Number.NaN).toBeLessThanOrEqual(
          convert(high, from, to) ?? Number.NaN,
        );
      }),
    );
  });
  test("goes by way of a third unit to the same number", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...MEASURE_KINDS),
        fc.nat(),
        fc.nat(),
        fc.nat(),
        reading,
        (kind, i, j, k, value) => {
          const units = unitsFor(kind);
          const [from, by, to] = [i, j, k].map((n) => units[n % units.length] ?? "1");
          if (from === undefined || by === undefined || to === undefined) return;
          const straight = convert(value, from, to) ?? Number.NaN;
          const round = convert(convert(value, from, by) ?? Number.NaN, by, to) ?? Number.NaN;
          const size = Math.abs(straight) + (kind === "temperature" ? 1000 : 0);
          expect(Math.abs(round - straight)).toBeLessThanOrEqual(1e-12 * size);
        },
      ),
    );
  });
});

function dimension(unit: string): string | undefined {
  return unitOf(unit)?.dimension;
}
