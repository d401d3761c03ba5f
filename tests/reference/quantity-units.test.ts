import { describe, expect, test } from "vitest";
import { formatQuantity } from "../../engine/quantity/format.ts";
import { convert } from "../../engine/quantity/units.ts";

/** Each row: value, unit, the same in another unit, relative tolerance, source. */
const EXACT = 1e-15;
const ROWS: readonly (readonly [number, string, number, string, number, string])[] = [
  // NIST SP 811 (2008), appendix B.8 and B.9: seven digits as printed, more from the exact definitions.
  [1, "lbf.ft", 1.3558179483314, "N.m", 1e-13, "NIST SP 811 B.8; digits from exact definitions"],
  [1, "lbf.ft", 1.355818, "N.m", 1e-6, "NIST SP 811 B.8, pound-force foot"],
  [1, "lbf.in", 0.1129848290276167, "N.m", EXACT, "NIST SP 811 B.8; digits from exact definitions"],
  [1, "lbf.in", 0.1129848, "N.m", 1e-6, "NIST SP 811 B.8, pound-force inch"],
  [1, "kgf.m", 9.80665, "N.m", EXACT, "NIST SP 811 B.8, exact"],
  [1, "psi", 6.894757293168, "kPa", 1e-12, "NIST SP 811 B.8; digits from exact definitions"],
  [1, "psi", 6894.757, "Pa", 1e-6, "NIST SP 811 B.8, psi"],
  [1, "inHg", 3.386389, "kPa", 1e-6, "NIST SP 811 B.8, inch of mercury, conventional"],
  [1, "mmHg", 133.3224, "Pa", 1e-6, "NIST SP 811 B.8, millimetre of mercury, conventional"],
  [760, "mmHg", 101325, "Pa", 2e-7, "760 mmHg is one atmosphere within .15 ppm (NIST SP 811 B.8, note)"],
  [1, "inH2O", 249.0889, "Pa", 1e-6, "NIST SP 811 B.8, inch of water, conventional"],
  [1, "mmH2O", 9.80665, "Pa", EXACT, "NIST SP 811 B.8, millimetre of water, conventional"],
  [1, "kgf/cm2", 98.0665, "kPa", EXACT, "NIST SP 811 B.8, exact"],
  [1, "bar", 100, "kPa", EXACT, "NIST SP 811 B.8, exact"],
  [1, "atm", 101.325, "kPa", EXACT, "NIST SP 811 B.8, standard atmosphere, exact"],
  [1, "bar", 14.50377, "psi", 1e-6, "NIST SP 811 B.8, reciprocal of psi"],
  [1, "gal", 3.785411784, "L", EXACT, "NIST SP 811 B.8; 231 cubic inches, exact"],
  [1, "qt", 0.946352946, "L", EXACT, "NIST SP 811 B.8; a quarter gallon, exact"],
  [1, "pt", 0.473176473, "L", EXACT, "NIST SP 811 B.8; an eighth of a gallon, exact"],
  [1, "fl oz", 29.5735295625, "mL", EXACT, "NIST SP 811 B.8; 1/128 gallon, exact"],
  [1, "mil", 25.4, "um", EXACT, "NIST SP 811 B.8, exact"],
  [1, "in", 25.4, "mm", EXACT, "NIST SP 811 B.8, exact"],
  [1, "ft", 0.3048, "m", EXACT, "NIST SP 811 B.8, exact"],
  [1, "mi", 1.609344, "km", EXACT, "NIST SP 811 B.8, exact"],
  [1, "lb", 0.45359237, "kg", EXACT, "NIST SP 811 B.8, exact"],
  [1, "oz", 28.349523125, "g", EXACT, "NIST SP 811 B.8, a sixteenth of a pound, exact"],
  [1, "hp", 745.6999, "W", 1e-6, "NIST SP 811 B.8, horsepower of 550 ft·lbf/s"],
  [1, "Ah", 3600, "C", EXACT, "NIST SP 811 B.8, exact"],
  [1, "h", 3600, "s", EXACT, "NIST SP 811 B.8, exact"],
  [1, "d", 86400, "s", EXACT, "NIST SP 811 B.8, exact"],
  [212, "degF", 100, "degC", EXACT, "NIST SP 811 B.8, t/°C = (t/°F - 32)/1.8"],
  [-40, "degF", -40, "degC", EXACT, "NIST SP 811 B.8, same formula"],
  [98.6, "degF", 37, "degC", 1e-14, "NIST SP 811 B.8, same formula"],
  [80, "degF", 26.666666666666668, "degC", EXACT, "NIST SP 811 B.8, same formula"],
  [0, "degC", 273.15, "K", EXACT, "NIST SP 811 B.8, exact"],
  [1, "cm3", 1, "mL", EXACT, "NIST SP 811 B.8, exact"],
];

describe("units of NIST SP 811", () => {
  test.each(ROWS)("%d %s is %d %s within %d (%s)", (value, from, wanted, to, tolerance) => {
    const got = convert(value, from, to);
    expect(got).toBeDefined();
    expect(Math.abs((got ?? Number.NaN) - wanted)).toBeLessThanOrEqual(Math.abs(wanted) * tolerance);
  });
});

describe("torques as a fastener list prints them", () => {
  test("about 10 lbf.ft on a small fastener prints as 13.6 N·m (common practice)", () => {
    expect(formatQuantity(10, "lbf.ft", { system: "si" })).toBe("13.6\u00a0N·m");
  });
  test("about 20 lbf.in prints as 2.3 N·m (common practice)", () => {
    expect(formatQuantity(20, "lbf.in", { system: "si" })).toBe("2.3\u00a0N·m");
  });
});
