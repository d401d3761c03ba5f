import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { meanOf, withoutDust } from "../../../engine/quantity/average.ts";
import { parseReading } from "../../../engine/quantity/parse-reading.ts";
import { parseReadings } from "../../../engine/quantity/parse-readings.ts";
import { readingProblemSentence } from "../../../engine/quantity/reading-problem.ts";

const OVER = Number.POSITIVE_INFINITY;

describe("parseReadings", () => {
  test.each([
    ["26.1; 26.3; 26.0", "Ohm", 78.4 / 3, 0.1, 3],
    ["26,1;26,3", "Ohm", 26.2, 0.1, 2],
    ["4k7; 4.70k", "Ohm", 4700, 100, 2],
    ["0.1; 0.2; 0.3", "V", 0.2, 0.1, 3],
    ["12 mV; 0.013 V", "V", 0.0125, 0.001, 2],
    ["-5; 5;", "degC", 0, 1, 2],
  ])("reads %s in %s as the mean %d, last digit %d, of %d", (text, unit, value, lastDigit, count) => {
    const parsed = parseReadings(text, unit);
    expect(parsed.ok && parsed.reading).toMatchObject({ value, lastDigit, text });
    expect(parsed.ok && parsed.reading.several?.count).toBe(count);
  });
  test("reads one reading as parseReading does, a semicolon behind it or not", () => {
    expect(parseReadings("26.1 kΩ", "Ohm")).toEqual(parseReading("26.1 kΩ", "Ohm"));
    const parsed = parseReadings("26.1;", "Ohm");
    expect(parsed.ok && parsed.reading).toMatchObject({ value: 26.1, lastDigit: 0.1 });
    expect(parsed.ok && parsed.reading.several).toBeUndefined();
  });
  test("takes over range in every reading for over range", () => {
    const parsed = parseReadings("OL; O.L", "Ohm");
    expect(parsed.ok && parsed.reading).toEqual({
      value: OVER,
      lastDigit: 0,
      typedUnit: "Ohm",
      text: "OL; O.L",
    });
  });
  test.each([
    ["999; 1.01k", "list-units"],
    ["26.1; 26.3 kΩ", "list-units"],
    ["26.1; OL", "list-over-range"],
    ["26.1; 12..5", "two-points"],
    ["26.1; ; 26.3", "empty"],
    [";", "empty"],
    ["26.1; 3 V", "wrong-dimension"],
    ["1,200; 1,300", "thousands"],
    ["1;".repeat(13), "list-too-long"],
  ])("refuses %s: %s, in one sentence", (text, code) => {
    const parsed = parseReadings(text, "Ohm");
    expect(parsed.ok ? "read" : parsed.problem.code).toBe(code);
    expect(parsed.ok || readingProblemSentence(parsed.problem)).toMatch(/^[^\n]{10,250}[.]$/);
  });
  test("refuses ten thousand characters without looking at them", () => {
    const parsed = parseReadings("1;".repeat(5000), "Ohm");
    expect(parsed.ok ? "read" : parsed.problem.code).toBe("too-long");
    expect(parsed.ok ? 0 : parsed.problem.text.length).toBeLessThan(50);
  });
  test.each([
    ["26.1 26.3 26.0", "26.1; 26.3; 26.0"],
    ["26.1, 26.3, 26.0", "26.1; 26.3; 26.0"],
    ["26,1 26,3", "26,1; 26,3"],
    ["26, 27", "26; 27"],
  ])("says how %s would be typed as several readings", (text, list) => {
    const parsed = parseReadings(text, "Ohm");
    expect(parsed.ok ? "read" : parsed.problem.code).toBe("apart");
    expect(parsed.ok || parsed.problem.params.list).toBe(list);
  });
  test("is refused where one number is wanted", () => {
    const parsed = parseReading("480; 500", "A");
    expect(parsed.ok || readingProblemSentence(parsed.problem)).toBe(
      '"480; 500" holds more than one number: type one.',
    );
  });
  test("gives for any text either a number that is no NaN, or one short sentence", () => {
    const pieces = fc.constantFrom(..."0123456789.,-;; kΩOL", "🙂");
    fc.assert(
      fc.property(
        fc.array(pieces, { maxLength: 14 }).map((all) => all.join("")),
        (typed) => {
          const parsed = parseReadings(typed, "Ohm");
          if (!parsed.ok) {
            expect(readingProblemSentence(parsed.problem)).toMatch(/^(?!.*undefined)[^\n]{10,320}[.]$/);
            return;
          }
          const { value, several } = parsed.reading;
          expect(value).not.toBeNaN();
          if (several === undefined) return;
          expect(value).toBeGreaterThanOrEqual(several.low - 1e-9 * Math.abs(several.low));
          expect(value).toBeLessThanOrEqual(several.high + 1e-9 * Math.abs(several.high));
        },
      ),
      { numRuns: 500 },
    );
  });
});

describe("meanOf", () => {
  test("takes the scatter of the mean", () => {
    expect(meanOf([1, 2, 3])).toEqual({ value: 2, scatter: expect.closeTo(1 / Math.sqrt(3), 12) });
    expect(meanOf([7])).toEqual({ value: 7, scatter: 0 });
  });
  test("has no mean of nothing, or of over range", () => {
    expect(meanOf([])).toBeUndefined();
    expect(meanOf([1, OVER])).toBeUndefined();
  });
  test("does not depend on the order of the readings", () => {
    const tenths = fc.integer({ min: -9999, max: 9999 }).map((n) => n / 10);
    fc.assert(
      fc.property(fc.array(tenths, { minLength: 2, maxLength: 8 }), (values) => {
        const [one, other] = [meanOf(values), meanOf(values.toReversed())];
        expect(other?.value).toBeCloseTo(one?.value ?? 0, 9);
        expect(other?.scatter).toBeCloseTo(one?.scatter ?? 0, 9);
      }),
    );
  });
  test("leaves no dust of decimal fractions, and nothing but dust is taken off", () => {
    expect(withoutDust(0.9 - 0.3, 0.9)).toBe(0.6);
    expect(withoutDust(0.600000001, 0.9)).toBe(0.600000001);
    expect(withoutDust(1e9 + 0.1, 1e9)).toBe(1e9 + 0.1);
  });
});
