import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { parseReading, readingProblemSentence } from "../../../engine/quantity/parse-reading.ts";

const OVER = Number.POSITIVE_INFINITY;

describe("parseReading", () => {
  test.each([
    ["26.1", "Ohm", 26.1, 0.1, "Ohm"],
    ["26.10", "Ohm", 26.1, 0.01, "Ohm"],
    ["0.4k", "Ohm", 400, 100, "kOhm"],
    ["0,4 k", "Ohm", 400, 100, "kOhm"],
    ["0.4k", "kOhm", 0.4, 0.1, "kOhm"],
    ["0.4", "kOhm", 0.4, 0.1, "kOhm"],
    ["412 mV", "V", 0.412, 0.001, "mV"],
    ["412m", "V", 0.412, 0.001, "mV"],
    ["OL", "Ohm", OVER, 0, "Ohm"],
    ["O.L", "Ohm", OVER, 0, "Ohm"],
    ["o.l kohm", "Ohm", OVER, 0, "kOhm"],
    ["0.L", "Ohm", OVER, 0, "Ohm"],
    ["0L", "Ohm", OVER, 0, "Ohm"],
    ["-OL", "V", -OVER, 0, "V"],
    ["−0L", "V", -OVER, 0, "V"],
    ["0 L", "L", 0, 1, "L"],
    ["-0.3", "V", -0.3, 0.1, "V"],
    ["−5", "degC", -5, 1, "degC"],
    ["+5", "degC", 5, 1, "degC"],
    ["26R1", "Ohm", 26.1, 0.1, "Ohm"],
    ["R47", "Ohm", 0.47, 0.01, "Ohm"],
    ["4k7", "Ohm", 4700, 100, "kOhm"],
    ["4k7", "kOhm", 4.7, 0.1, "kOhm"],
    ["3V3", "V", 3.3, 0.1, "V"],
    ["4u7", "F", 4.7e-6, 1e-7, "uF"],
    ["12.6v", "V", 12.6, 0.1, "V"],
    ["1.2 MΩ", "Ohm", 1_200_000, 100_000, "MOhm"],
    ["1.005 k", "Ohm", 1005, 1, "kOhm"],
    ["10 lb ft", "lbf.ft", 10, 1, "lbf.ft"],
    ["80 C", "degC", 80, 1, "degC"],
    ["50 %", "1", 0.5, 0.01, "%"],
    ["650 CCA", "A", 650, 1, "A"],
    ["0,400", "V", 0.4, 0.001, "V"],
    ["5k Ω", "Ohm", 5000, 1000, "kOhm"],
    [" 7. ", "V", 7, 1, "V"],
    ["-0", "V", 0, 1, "V"],
  ])("reads %s in %s as %d, last digit %d, typed in %s", (text, unit, value, lastDigit, typedUnit) => {
    expect(parseReading(text, unit)).toEqual({
      ok: true,
      reading: { value, lastDigit, typedUnit, text: text.trim() },
    });
  });
  test("reads 25 ft-lb in N.m", () => {
    const parsed = parseReading("25 ft-lb", "N.m");
    expect(parsed.ok && parsed.reading.value).toBeCloseTo(33.895448708, 8);
    expect(parsed.ok && parsed.reading.lastDigit).toBeCloseTo(1.35581795, 8);
  });
  test.each([
    ["", "V", "empty"],
    ["   ", "V", "empty"],
    ["12..5", "V", "two-points"],
    ["1.2.3", "V", "two-points"],
    ["1,234.5", "V", "two-points"],
    ["4k7k", "Ohm", "two-prefixes"],
    ["4.7kk", "Ohm", "two-prefixes"],
    ["1e999", "V", "exponent"],
    ["4E7", "Ohm", "exponent"],
    ["1,200", "V", "thousands"],
    ["-1,200 k", "Ohm", "thousands"],
    ["1 200", "V", "gap"],
    ["9".repeat(40), "V", "not-finite"],
    ["67.33333333333333", "V", "too-many-digits"],
    [`${"0".repeat(14)}12`, "V", "too-many-digits"],
    ["🙂", "V", "not-a-number"],
    ["12🙂", "V", "unknown-unit"],
    ["٣", "V", "not-a-number"],
    ["NaN", "V", "not-a-number"],
    ["Infinity", "V", "not-a-number"],
    ["OLIVE", "V", "not-a-number"],
    ["-", "V", "not-a-number"],
    ["5 furlong", "V", "unknown-unit"],
    ["412 MV", "V", "unknown-unit"],
    ["1.2 M", "V", "prefix-not-used"],
    ["5 m", "min", "prefix-not-used"],
    ["12.6 V", "Ohm", "wrong-dimension"],
    ["26R1", "V", "wrong-dimension"],
    ["OL V", "Ohm", "wrong-dimension"],
    ["-274", "degC", "below-absolute-zero"],
    ["x".repeat(10_000), "V", "too-long"],
    ["1".repeat(10_000), "V", "too-long"],
    ["12", "nothing", "bad-set-up"],
  ])("refuses %s in %s: %s", (text, unit, code) => {
    const parsed = parseReading(text, unit);
    expect(parsed.ok ? "read" : parsed.problem.code).toBe(code);
  });
  test("says in one sentence what 1,200 could mean", () => {
    const parsed = parseReading("1,200", "V");
    expect(parsed.ok || readingProblemSentence(parsed.problem)).toBe(
      '"1,200" can mean 1200 or 1.200: type the one you mean, without a comma.',
    );
  });
  test("names what the meter is set to when the dimension is wrong", () => {
    const parsed = parseReading("12.6 V", "Ohm");
    expect(parsed.ok || readingProblemSentence(parsed.problem)).toBe(
      '"12.6 V" is in V, but Ω is asked for: check what the meter is set to.',
    );
  });
  test("reads any decimal as the very number written, whatever its prefix", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -999_999, max: 999_999 }),
        fc.nat({ max: 4 }),
        fc.constantFrom(["m", -3], ["", 0], ["k", 3], ["M", 6]) as fc.Arbitrary<[string, number]>,
        (digits, decimals, [prefix, power]) => {
          const text = (digits / 10 ** decimals).toFixed(decimals);
          const parsed = parseReading(`${text} ${prefix}Ω`, "Ohm");
          expect(parsed.ok && parsed.reading.value).toBe(Number(`${text}e${power}`) + 0);
          expect(parsed.ok && parsed.reading.lastDigit).toBe(Number(`1e${power - decimals}`));
        },
      ),
    );
  });
  test("gives for any text either a number that is no NaN or one short sentence", () => {
    const pieces = fc.constantFrom(..."0123456789.,-+ kMmRVΩOLe°CF%", "\n", "🙂", "\u0000", "±");
    const text = fc.oneof(
      fc.string({ unit: "binary" }),
      fc.array(pieces, { maxLength: 12 }).map((p) => p.join("")),
    );
    fc.assert(
      fc.property(text, fc.constantFrom("V", "Ohm", "degC", "1", "%", "N.m", "L", "F"), (typed, unit) => {
        const parsed = parseReading(typed, unit);
        if (parsed.ok) {
          expect(parsed.reading.value).not.toBeNaN();
          expect(parsed.reading.lastDigit).toBeGreaterThanOrEqual(0);
          return;
        }
        const sentence = readingProblemSentence(parsed.problem);
        expect(sentence).toMatch(/[.]$/);
        expect(sentence).not.toMatch(/undefined|\n/);
        expect(sentence.length).toBeLessThan(320);
      }),
      { numRuns: 600 },
    );
  });
});
