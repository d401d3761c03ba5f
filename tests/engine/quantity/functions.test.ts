import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { METALS, subtractLeads, toReferenceTemperature } from "../../../engine/quantity/correct.ts";
import { callFunction, FUNCTIONS, functionProblemSentence } from "../../../engine/quantity/functions.ts";
import { inUnit } from "../../../engine/quantity/in-unit.ts";
import { platinumResistance } from "../../../engine/quantity/platinum.ts";
import { unitOf } from "../../../engine/quantity/units.ts";

const INF = Number.POSITIVE_INFINITY;

describe("the formulas of the trade", () => {
  test("name known units and a source each, and are words that an expression can call", () => {
    for (const [name, one] of FUNCTIONS) {
      expect(name).toMatch(/^[a-z][a-z0-9_]*$/);
      expect(one.name).toBe(name);
      expect(one.source.length).toBeGreaterThan(5);
      for (const unit of [one.unit, ...one.parameters.map((parameter) => parameter.unit)])
        expect(unitOf(unit)?.symbol).toBe(unit);
    }
  });
  test("give a number inside their range, or a sentence, for any arguments", () => {
    const number = fc.oneof(
      fc.double(),
      fc.double({ min: -300, max: 20_000, noNaN: true }),
      fc.constant(INF),
    );
    fc.assert(
      fc.property(
        fc.constantFrom(...FUNCTIONS.keys()),
        fc.array(number, { maxLength: 5 }),
        (name, values) => {
          const called = callFunction(name, values);
          if (called.ok) expect(called.value).not.toBeNaN();
          else expect(functionProblemSentence(called.problem)).toMatch(/^[^\n]*\.$/);
        },
      ),
      { numRuns: 2000 },
    );
  });
  test.each([
    ["platinum_resistance", [900, 100], "argument-range"],
    ["platinum_temperature", [5000, 100], "result-range"],
    ["battery_charge", [13.2, 20], "argument-range"],
    ["cable_resistance_limit", [2.4, 1, 20], "not-in-table"],
    ["parallel", [120], "argument-count"],
    ["parallel", [120, Number.NaN], "argument-range"],
    ["constructor", [], "unknown-function"],
  ] as const)("%s refuses %o: %s", (name, values, code) => {
    const called = callFunction(name, values);
    expect(called.ok ? "called" : called.problem.code).toBe(code);
  });
  test("say the range that was left", () => {
    const called = callFunction("battery_charge", [13.2, 20]);
    expect(called.ok || functionProblemSentence(called.problem)).toBe(
      "battery_charge holds for voltage 10.5 to 12.9 V, not 13.2.",
    );
  });
  test("undo each other: platinum and thermistor, both ways", () => {
    const celsius = fc.double({ min: -199, max: 849, noNaN: true });
    fc.assert(
      fc.property(celsius, fc.constantFrom(100, 500, 1000), (t, r0) => {
        const ohms = number("platinum_resistance", t, r0);
        expect(Math.abs(number("platinum_temperature", ohms, r0) - t)).toBeLessThan(1e-9);
      }),
    );
    fc.assert(
      fc.property(fc.double({ min: -50, max: 150, noNaN: true }), (t) => {
        const coefficients = [1.129241e-3, 2.341077e-4, 8.775468e-8];
        const ohms = number("steinhart_hart_resistance", t, ...coefficients);
        expect(Math.abs(number("steinhart_hart_temperature", ohms, ...coefficients) - t)).toBeLessThan(1e-6);
        const beta = number("ntc_resistance", t, 10_000, 3435);
        expect(Math.abs(number("ntc_temperature", beta, 10_000, 3435) - t)).toBeLessThan(1e-9);
      }),
    );
  });
  test("give a coil less current when it is warm", () => {
    expect(number("coil_current", 12, 24, 20)).toBe(0.5);
    expect(number("coil_current", 12, 24, 80)).toBeCloseTo(0.5 / 1.2358, 12);
  });
});

function number(name: string, ...values: readonly number[]): number {
  const called = callFunction(name, values);
  if (!called.ok) throw new Error(functionProblemSentence(called.problem));
  return called.value;
}

const REFERENCE = inUnit(20, "degC");

test("a formula takes no number of another unit: the compiler says so", () => {
  const [celsius, ohms] = [inUnit(100, "degC"), inUnit(100, "Ohm")];
  expect(platinumResistance(celsius, ohms)).toBeCloseTo(138.5055, 4);
  // @ts-expect-error ohms where degrees are meant
  expect(platinumResistance(ohms, ohms)).toBeCloseTo(138.5055, 4);
  // @ts-expect-error a number that says no unit
  expect(platinumResistance(100, ohms)).toBeCloseTo(138.5055, 4);
});

describe("corrections", () => {
  test("of temperature there and back give the reading again", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("copper", "aluminium", "iron", "nickel", "platinum", "constantan"),
        fc.double({ min: -40, max: 100, noNaN: true }),
        fc.double({ min: 0.01, max: 1e6, noNaN: true }),
        (metal, celsius, ohms) => {
          const at = inUnit(celsius, "degC");
          const there = toReferenceTemperature({ value: ohms, u: 0 }, metal, at, REFERENCE);
          const back = there && toReferenceTemperature(there, metal, REFERENCE, at);
          expect(Math.abs((back?.value ?? 0) / ohms - 1)).toBeLessThan(1e-12);
        },
      ),
    );
  });
  test("of temperature are refused outside the metal's range", () => {
    const hot = inUnit(METALS.copper.high + 1, "degC");
    const nowhere = inUnit(Number.NaN, "degC");
    expect(toReferenceTemperature({ value: 1, u: 0 }, "copper", hot, REFERENCE)).toBeUndefined();
    expect(toReferenceTemperature({ value: 1, u: 0 }, "copper", nowhere, REFERENCE)).toBeUndefined();
  });
  test("of leads are exact to the digits typed", () => {
    fc.assert(
      fc.property(fc.nat({ max: 99_999 }), fc.nat({ max: 99 }), (reading, leads) => {
        const after = subtractLeads({ value: reading / 10, u: 3 }, { value: leads / 10, u: 4 });
        expect(after).toEqual({ value: (reading - leads) / 10, u: 5 });
      }),
    );
  });
});
