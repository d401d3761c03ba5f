import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseReading } from "../../../engine/quantity/parse-reading.ts";
import { isReading, keyFromKeyboard, pressKey, type ReadingKey } from "../../../runner/kit/reading-keys.ts";

const KEYS: readonly ReadingKey[] = [
  ..."0123456789".split(""),
  ".",
  "-",
  "k",
  "m",
  "OL",
  "erase",
] as readonly ReadingKey[];

function typed(...keys: readonly ReadingKey[]): string {
  return keys.reduce(pressKey, "");
}

describe("the reading pad", () => {
  it("keeps what is typed as typed", () => {
    expect(typed("2", "6", ".", "1", "0")).toBe("26.10");
    expect(typed("0", ".", "4", "k")).toBe("0.4k");
  });
  it("turns the sign at any time", () => {
    expect(typed("3", "-", ".", "2")).toBe("-3.2");
    expect(typed("-", "3", "-")).toBe("3");
  });
  it("takes no second point and nothing behind a prefix", () => {
    expect(typed("1", ".", "2", ".", "3")).toBe("1.23");
    expect(typed("4", "k", "7", "m")).toBe("4k");
  });
  it("puts a nought before a point that comes first", () => {
    expect(typed(".", "5")).toBe("0.5");
    expect(typed("-", ".", "5")).toBe("-0.5");
  });
  it("puts over range in the place of digits, and digits in the place of over range", () => {
    expect(typed("1", "2", "OL")).toBe("OL");
    expect(typed("-", "OL")).toBe("-OL");
    expect(typed("OL", "7")).toBe("7");
    expect(typed("OL", "erase")).toBe("");
  });
  it("begins one more reading of the same thing, and goes back to the one before", () => {
    expect(typed("2", "6", ".", "1", ";", "2", "6", ".", "3")).toBe("26.1; 26.3");
    expect(typed("2", "6", ";", "-", "3", "-")).toBe("26; 3");
    expect(typed("2", "6", ";", ";")).toBe("26; ");
    expect(typed("2", "6", ";", "3", "erase", "erase")).toBe("26");
    expect(typed(";", "OL", ";")).toBe("OL");
  });
  it("gives whatever is pressed a text that can be read as resistance, or no reading yet", () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...KEYS), { maxLength: 30 }), (keys) => {
        const text = keys.reduce(pressKey, "");
        expect(isReading(text)).toBe(parseReading(text, "Ohm").ok);
      }),
    );
  });
  it("knows the keys of a keyboard, the decimal comma among them", () => {
    expect(keyFromKeyboard(",")).toBe(".");
    expect(keyFromKeyboard("Backspace")).toBe("erase");
    expect(keyFromKeyboard("l")).toBe("OL");
    expect(keyFromKeyboard("F1")).toBeUndefined();
  });
});
