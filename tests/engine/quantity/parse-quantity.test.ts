import { describe, expect, test } from "vitest";
import {
  parseQuantity,
  parseSpread,
  quantityProblemSentence,
} from "../../../engine/quantity/parse-quantity.ts";

describe("parseQuantity", () => {
  test.each([
    ["12 V", 12, "V"],
    ["0.9 %", 0.9, "%"],
    ["4.7 kOhm", 4.7, "kOhm"],
    ["20 degC", 20, "degC"],
    ["-18 degC", -18, "degC"],
    ["−18 °C", -18, "degC"],
    ["9 N.m", 9, "N.m"],
    ["9Nm", 9, "N.m"],
    ["0.5", 0.5, "1"],
    ["1.5e3 Ohm", 1500, "Ohm"],
    [".5 V", 0.5, "V"],
  ])("reads %s", (text, value, unit) => {
    expect(parseQuantity(text)).toEqual({ ok: true, quantity: { value, unit } });
  });
  test.each([
    ["", "empty"],
    ["V", "no-number"],
    ["OL", "no-number"],
    ["12..5 V", "no-number"],
    ["0,9 %", "decimal-comma"],
    ["1,200 V", "decimal-comma"],
    ["1e999 V", "not-finite"],
    ["12 furlong", "unknown-unit"],
    ["12 V V", "unknown-unit"],
    ["1".repeat(10_000), "too-long"],
  ])("refuses %s: %s", (text, code) => {
    const parsed = parseQuantity(text);
    expect(parsed.ok ? "read" : parsed.why.code).toBe(code);
    if (!parsed.ok) expect(quantityProblemSentence(parsed.why)).toMatch(/\.$/);
  });
});

describe("parseSpread", () => {
  test.each(["0.6 Ohm ± 0.1 Ohm", "0.6 Ohm +/- 0.1 Ohm", "0.6Ω±0.1Ω"])("reads %s", (text) => {
    expect(parseSpread(text)).toEqual({
      ok: true,
      mean: { value: 0.6, unit: "Ohm" },
      spread: { value: 0.1, unit: "Ohm" },
    });
  });
  test.each([
    ["0.6 Ohm", "no-spread"],
    ["0.6 Ohm ± 0.1 V", "spread-unit"],
    ["0.6 Ohm ± -0.1 Ohm", "negative-spread"],
    ["x ± 0.1 Ohm", "no-number"],
    ["1 V ± ", "empty"],
    ["1 V ± 1 V ± 1 V", "no-spread"],
  ])("refuses %s: %s", (text, code) => {
    const parsed = parseSpread(text);
    expect(parsed.ok ? "read" : parsed.why.code).toBe(code);
    if (!parsed.ok) expect(quantityProblemSentence(parsed.why)).toMatch(/\.$/);
  });
});
