import { describe, expect, it } from "vitest";
import { clockText } from "../../../runner/kit/clock-text.ts";
import { readCodes } from "../../../runner/kit/codes-text.ts";
import { shareText } from "../../../runner/kit/share-text.ts";
import { torqueText } from "../../../runner/kit/torque-text.ts";
import { prefixKeys, unitChoices } from "../../../runner/kit/unit-choices.ts";

describe("a torque", () => {
  // lbf.in 0.1129848290276167 N.m, NIST SP 811: 9 / 0.11298… = 79.66.
  it("stands in both systems, the chosen one first", () => {
    const torque = { value: 9, unit: "N.m" };
    expect(torqueText(torque, "si")).toEqual({ first: "9\u00a0N·m", second: "79.7\u00a0lbf·in" });
    expect(torqueText(torque, "us").first).toBe("79.7\u00a0lbf·in");
  });
  // lbf.ft 1.3558179483314 N.m, NIST SP 811: 25 and 28 N.m are 18.44 and 20.65.
  it("says the unit of a range once", () => {
    const torque = { from: { value: 25, unit: "N.m" }, to: { value: 28, unit: "N.m" } };
    expect(torqueText(torque, "si")).toEqual({
      first: "25 to 28\u00a0N·m",
      second: "18.4 to 20.7\u00a0lbf·ft",
    });
  });
});

describe("trouble codes", () => {
  it("are read in capitals, once each, with what is none of them", () => {
    expect(readCodes("p0480, u0100 P0480")).toEqual({ codes: ["P0480", "U0100"], wrong: [] });
    expect(readCodes("P12; P4000")).toEqual({ codes: [], wrong: ["P12", "P4000"] });
    expect(readCodes("  ")).toEqual({ codes: [], wrong: [] });
  });
});

describe("the pad's units", () => {
  it("are offered with the one asked for first", () => {
    expect(unitChoices("Ohm")[0]).toBe("Ohm");
    expect(unitChoices("degC")).toContain("degF");
    expect(unitChoices("no-such-unit")).toEqual(["no-such-unit"]);
  });
  it("have the prefix keys that mean something", () => {
    expect(prefixKeys("Ohm")).toEqual(["k", "m"]);
    expect(prefixKeys("Hz")).toEqual(["k"]);
    expect(prefixKeys("degC")).toEqual([]);
  });
});

describe("words for numbers", () => {
  it("never claim a certainty", () => {
    expect(shareText(0.9999)).toBe("over\u00a099\u00a0%");
    expect(shareText(0.0001)).toBe("under\u00a01\u00a0%");
    expect(shareText(0)).toBe("out");
    expect(shareText(0.624)).toBe("62\u00a0%");
  });
  it("count time down to nought and no further", () => {
    expect(clockText(245_000)).toBe("4:05");
    expect(clockText(-5)).toBe("0:00");
  });
});
