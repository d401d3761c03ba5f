// An outside check: a general-purpose mathematics library (mathjs) converts the same values. Its mmHg and kgf
// stand on the same conventional definitions as NIST SP 811, appendix B; it knows no inHg.
import fc from "fast-check";
import { unit } from "mathjs";
import { describe, expect, it } from "vitest";
import { convert } from "../../engine/quantity/units.ts";

/** Our unit and what the library calls it, by dimension. */
const FAMILIES: Readonly<Record<string, readonly (readonly [string, string])[]>> = {
  voltage: [
    ["mV", "mV"],
    ["V", "V"],
    ["kV", "kV"],
  ],
  current: [
    ["uA", "uA"],
    ["mA", "mA"],
    ["A", "A"],
  ],
  resistance: [
    ["mOhm", "mohm"],
    ["Ohm", "ohm"],
    ["kOhm", "kohm"],
    ["MOhm", "Mohm"],
  ],
  pressure: [
    ["Pa", "Pa"],
    ["kPa", "kPa"],
    ["bar", "bar"],
    ["psi", "psi"],
    ["mbar", "mbar"],
    ["hPa", "hPa"],
    ["MPa", "MPa"],
    ["atm", "atm"],
    ["mmHg", "mmHg"],
  ],
  torque: [
    ["N.m", "N m"],
    ["lbf.ft", "lbf ft"],
    ["lbf.in", "lbf in"],
    ["kgf.m", "kgf m"],
  ],
  length: [
    ["mm", "mm"],
    ["in", "in"],
    ["mil", "mil"],
    ["um", "um"],
    ["cm", "cm"],
    ["m", "m"],
    ["ft", "ft"],
    ["mi", "mi"],
  ],
  mass: [
    ["g", "g"],
    ["kg", "kg"],
    ["lb", "lbm"],
    ["oz", "oz"],
  ],
  charge: [
    ["C", "C"],
    ["Ah", "A h"],
    ["mAh", "mA h"],
  ],
  capacitance: [
    ["pF", "pF"],
    ["uF", "uF"],
    ["F", "F"],
  ],
  volume: [
    ["pt", "pint"],
    ["mL", "ml"],
    ["cm3", "cm^3"],
    ["L", "L"],
    ["gal", "gal"],
    ["qt", "qt"],
  ],
  time: [
    ["ms", "ms"],
    ["s", "s"],
    ["min", "min"],
    ["h", "h"],
  ],
  temperature: [
    ["degC", "degC"],
    ["degF", "degF"],
    ["K", "K"],
  ],
  frequency: [
    ["Hz", "Hz"],
    ["kHz", "kHz"],
    ["MHz", "MHz"],
  ],
  power: [
    ["W", "W"],
    ["kW", "kW"],
    ["hp", "hp"],
  ],
};

/** Agreement asked for: floating-point noise, but for mmHg, where tables give six or seven digits. */
function tolerance(from: string, to: string): number {
  return [from, to].some((name) => name.endsWith("Hg")) ? 3e-6 : 1e-9;
}

describe.each(Object.entries(FAMILIES))("%s", (_, units) => {
  it("converts as the library does, on random values between every pair of its units", () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e4, max: 1e4, noNaN: true }),
        fc.constantFrom(...units),
        fc.constantFrom(...units),
        (value, [from, theirFrom], [to, theirTo]) => {
          const ours = convert(value, from, to);
          const theirs = unit(value, theirFrom).toNumber(theirTo);
          const scale = Math.max(Math.abs(theirs), 1e-6, from.startsWith("deg") || from === "K" ? 300 : 0);
          expect(Math.abs((ours ?? Number.NaN) - theirs) / scale).toBeLessThan(tolerance(from, to));
        },
      ),
      { numRuns: 200 },
    );
  });
});
