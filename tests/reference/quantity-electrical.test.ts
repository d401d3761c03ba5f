import { describe, expect, test } from "vitest";
import { callFunction } from "../../engine/quantity/functions.ts";

/** What a formula gives; a refusal fails the check with its problem. */
function call(name: string, ...values: number[]): number {
  const called = callFunction(name, values);
  if (!called.ok) throw new Error(JSON.stringify(called.problem));
  return called.value;
}

describe("platinum thermometers", () => {
  // IEC 60751:2022, table of 100 ohm resistors, as printed by two makers.
  const TABLE = [
    [-200, 18.52],
    [-190, 22.83],
    [-150, 39.72],
    [-100, 60.26],
    [-50, 80.31],
    [-40, 84.27],
    [-10, 96.09],
    [0, 100],
    [20, 107.79],
    [50, 119.4],
    [100, 138.51],
    [150, 157.33],
    [200, 175.86],
    [300, 212.05],
    [400, 247.09],
    [500, 280.98],
    [600, 313.71],
    [850, 390.48],
  ] as const;
  test.each(TABLE)("have at %d degC the %d ohm of IEC 60751", (celsius, ohms) => {
    expect(Math.abs(call("platinum_resistance", celsius, 100) - ohms)).toBeLessThanOrEqual(0.005);
  });
  test.each(TABLE)(
    "are at %d degC when they have %d ohm, within what the rounded ohms allow",
    (celsius, ohms) => {
      expect(Math.abs(call("platinum_temperature", ohms, 100) - celsius)).toBeLessThan(0.02);
    },
  );
  test("of 1000 ohm follow the same table tenfold (IEC 60751)", () => {
    expect(call("platinum_resistance", 100, 1000)).toBeCloseTo(1385.055, 3);
  });
});

describe("thermistors", () => {
  // 109SS probe manual, table C-1 (read); coefficients from memory, which the table confirms.
  const [a, b, c] = [1.129241e-3, 2.341077e-4, 8.775468e-8];
  test.each([
    [-40, 336103.2],
    [-20, 97006.9],
    [-10, 55303.9],
    [0, 32650.9],
  ])("stand at %d degC with %d ohm, within .0025 degC (109SS manual, table C-1)", (celsius, ohms) => {
    expect(Math.abs(call("steinhart_hart_temperature", ohms, a, b, c) - celsius)).toBeLessThan(0.0025);
    expect(Math.abs(call("steinhart_hart_resistance", celsius, a, b, c) / ohms - 1)).toBeLessThan(2e-4);
  });
  test("have their R25 at 25 degC by either equation (definition; 10 kohm probe)", () => {
    expect(call("ntc_resistance", 25, 10_000, 3435)).toBe(10_000);
    expect(call("steinhart_hart_resistance", 25, a, b, c)).toBeCloseTo(10_000, -1);
  });
  test("with B 3435 between 25 and 85 degC fall to the ratio that defines B (IEC 60539-1)", () => {
    const ratio = call("ntc_resistance", 85, 10_000, 3435) / 10_000;
    expect(Math.log(1 / ratio) / (1 / 298.15 - 1 / 358.15)).toBeCloseTo(3435, 8);
  });
});

describe("copper", () => {
  test("of .1 ohm at 20 degC has .11179 ohm at 50 degC (IEC 60028)", () => {
    expect(call("copper_at", 0.1, 20, 50)).toBeCloseTo(0.11179, 12);
  });
  test("differs from the (235 + T) form of IEC 60034-1, .111765, by less than .03 %", () => {
    expect(Math.abs(call("copper_at", 0.1, 20, 50) / 0.111765 - 1)).toBeLessThan(3e-4);
  });
  test.each([
    // HyperPhysics wire table, ohm per 1000 ft at 20 degC (read).
    [4, 0.2485],
    [8, 0.6282],
    [10, 0.9989],
    [12, 1.588],
    [14, 2.525],
    [16, 4.016],
    [18, 6.385],
    [20, 10.15],
  ])("of gauge %d has %d ohm per 1000 ft at 20 degC (HyperPhysics wire table)", (gauge, ohms) => {
    expect(Math.abs(call("wire_resistance_awg", gauge, 304.8, 20) / ohms - 1)).toBeLessThan(3e-4);
  });
  test.each([
    // IEC 60228 class 5, plain copper, ohm per km at 20 degC (read in two cable makers' tables).
    [0.5, 39],
    [0.75, 26],
    [1, 19.5],
    [1.5, 13.3],
    [2.5, 7.98],
    [4, 4.95],
    [6, 3.3],
    [35, 0.554],
  ])("of %d mm² in a flexible cable has at most %d ohm per km (IEC 60228 class 5)", (area, ohms) => {
    expect(call("cable_resistance_limit", area, 1000, 20)).toBeCloseTo(ohms, 9);
  });
  test.each([
    // ISO 6722-1, ohm per km at 20 degC (memory): vehicle cable lies between solid metal and class 5.
    [0.5, 37.1],
    [0.75, 24.7],
    [1, 18.5],
    [1.5, 12.7],
    [2.5, 7.6],
    [4, 4.71],
    [6, 3.14],
  ])(
    "of %d mm² in a vehicle cable, %d ohm per km, lies between solid metal and class 5 (ISO 6722-1)",
    (area, ohms) => {
      expect(call("wire_resistance", area, 1000, 20)).toBeLessThan(ohms);
      expect(call("cable_resistance_limit", area, 1000, 20)).toBeGreaterThan(ohms);
    },
  );
  test("of 4.17 A over 5 m of 1.5 mm² loses less than the .265 V of a cable chart at .0127 ohm/m", () => {
    const drop = call("cable_drop", 4.17, 1.5, 5, 20);
    expect(drop).toBeLessThan(0.265);
    expect(drop).toBeGreaterThan(0.2);
  });
});

describe("metals", () => {
  /** What one ohm at 20 degC gains per kelvin about 20 degC. */
  const perKelvin = (metal: string) => (call(`${metal}_at`, 1, 20, 30) - call(`${metal}_at`, 1, 20, 10)) / 20;
  test.each([
    ["copper", 0.00393, "IEC 60028, annealed (read in a handbook of industrial power engineering)"],
    ["aluminium", 0.00403, "IEC 60889, hard drawn, 61 % IACS (read in the same handbook)"],
    ["iron", 0.005671, "Lessons in Electric Circuits I, 12.6, at 20 degC (read)"],
    ["nickel", 0.005866, "Lessons in Electric Circuits I, 12.6, at 20 degC (read)"],
    ["constantan", -0.000074, "Lessons in Electric Circuits I, 12.6, at 20 degC (read)"],
  ])("of %s gain %d of their resistance per kelvin at 20 degC (%s)", (metal, coefficient) => {
    expect(perKelvin(metal)).toBeCloseTo(coefficient, 9);
  });
  test.each([
    // Resistivity at 273, 293 and 300 K, 1e-8 ohm.m: CRC Handbook of Chemistry and Physics (memory). Pure metals
    // of two tables differ by their purity, so a tenth is asked for.
    ["aluminium", 2.417, 2.65, 2.733],
    ["copper", 1.543, 1.678, 1.725],
    ["iron", 8.57, 9.61, 9.98],
    ["nickel", 6.16, 6.93, 7.2],
  ])(
    "of %s agree with the slope of CRC resistivities %d, %d and %d within a tenth",
    (metal, cold, room, warm) => {
      expect(Math.abs(perKelvin(metal) / ((warm - cold) / 27 / room) - 1)).toBeLessThan(0.1);
    },
  );
  test("of platinum gain what IEC 60751 gives between its rows at 10 and 30 degC, 103.90 and 111.67 ohm", () => {
    expect(Math.abs(perKelvin("platinum") - (111.67 - 103.9) / 20 / 107.79)).toBeLessThan(1e-5);
  });
});

describe("a terminated two-wire bus", () => {
  test.each([
    // Two makers' manuals (read).
    [120, 120, 60],
    [120, Number.POSITIVE_INFINITY, 120],
    [120, 0, 0],
  ])("with terminators of %d and %d ohm reads %d ohm", (first, second, ohms) => {
    expect(call("parallel", first, second)).toBe(ohms);
  });
});

describe("a rested lead-acid battery", () => {
  test.each([
    // A battery maker's table at 80 degF (read).
    [12.65, 100],
    [12.45, 75],
    [12.24, 50],
    [12.06, 25],
    [11.89, 0],
  ])("of %d V at 80 degF is at %d %%", (volts, percent) => {
    expect(call("battery_charge", volts, 80 / 1.8 - 32 / 1.8)).toBeCloseTo(percent, 6);
  });
  test("gains .024 V for 10 degF (the same table), so 12.474 V at 90 degF is three quarters", () => {
    expect(call("battery_charge", 12.474, (90 - 32) / 1.8)).toBeCloseTo(75, 6);
  });
});
