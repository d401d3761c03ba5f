import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { formatNumber, formatQuantity } from "../../../engine/quantity/format.ts";
import { parseReading } from "../../../engine/quantity/parse-reading.ts";

describe("formatQuantity", () => {
  test.each([
    [26.1, "Ohm", {}, "26.1 Ω"],
    [26, "Ohm", { lastDigit: 0.1 }, "26.0 Ω"],
    [437, "Ohm", { lastDigit: 100 }, "400 Ω"],
    [0.1 + 0.2, "V", {}, "0.3 V"],
    [-0.04, "V", { lastDigit: 0.1 }, "0.0 V"],
    [-5, "degC", {}, "−5 °C"],
    [Number.POSITIVE_INFINITY, "Ohm", {}, "OL Ω"],
    [0.5, "1", {}, "0.5"],
    [12, "%", {}, "12 %"],
    [9, "N.m", { system: "us" }, "79.7 lbf·in"],
    [25, "N.m", { system: "us" }, "18.4 lbf·ft"],
    [150, "lbf.ft", { system: "si" }, "203 N·m"],
    [80, "degC", { system: "us", lastDigit: 1 }, "180 °F"],
    [32, "psi", { system: "si" }, "221 kPa"],
    [12.6, "V", { system: "us" }, "12.6 V"],
    [1, "qt", { system: "si" }, "0.946 L"],
  ] as const)("prints %d %s with %o as %s", (value, unit, options, text) => {
    expect(formatQuantity(value, unit, options).replaceAll("\u00a0", " ")).toBe(text);
  });
  test("prints what parseReading reads back within the last digit", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.integer({ min: -4, max: 3 }),
        (value, power) => {
          const lastDigit = 10 ** power;
          const parsed = parseReading(formatQuantity(value, "V", { lastDigit }), "V");
          expect(parsed.ok).toBe(true);
          if (parsed.ok)
            expect(Math.abs(parsed.reading.value - value)).toBeLessThanOrEqual(lastDigit * 0.500001);
        },
      ),
    );
  });
});

describe("formatNumber", () => {
  test("shows no number as a rule and over range as OL", () => {
    expect(formatNumber(Number.NaN)).toBe("–");
    expect(formatNumber(Number.NEGATIVE_INFINITY)).toBe("−OL");
  });
  test("never shows an exponent for small readings", () => {
    expect(formatNumber(4.7e-7)).toBe("0.00000047");
  });
});
