import { describe, expect, it } from "vitest";
import { type JudgedReading, type JudgeInput, judgeReading } from "../../../engine/quantity/judge.ts";
import type { NumericBand } from "../../../engine/quantity/verdict.ts";
import { shownDigit } from "../../../runner/kit/shown-digit.ts";
import {
  budgetLines,
  clearText,
  correctionText,
  meanText,
  settleText,
} from "../../../runner/kit/verdict-words.ts";

const BANDS: readonly NumericBand[] = [
  { outcome: "within", low: -Infinity, lowIncluded: true, high: 22, highIncluded: true },
  { outcome: "above", low: 22, lowIncluded: false, high: Infinity, highIncluded: true },
];
const METER = { reading: 0.009, fullScale: 0, counts: 2, resolution: { value: 0.1, unit: "Ohm" } };

function judged(reading: string, more: Partial<JudgeInput> = {}): JudgedReading {
  const judgement = judgeReading({
    typed: { reading, leads: "0.3", temperature: "45 degC" },
    readingUnit: "Ohm",
    unit: "Ohm",
    ranges: [METER],
    bands: BANDS,
    scheme: "specification",
    decideAt: 0.95,
    ...more,
  });
  if (!judgement.ok) throw new Error(judgement.problem.code);
  return judgement.judged;
}

describe("a close call", () => {
  it("says where it would be clear, rounded away from the limit to the digits of the meter", () => {
    // u = √(22.1² × .009² + .2²) / √3 = .163, 1.645 u = .268: 21.732 and 22.268.
    expect(clearText(judged("22.1"))).toBe(
      "It would be clear at 21.7\u00a0Ω or below, or at 22.3\u00a0Ω or above.",
    );
    expect(clearText(judged("15.0"))).toBe("");
  });
  it("says what would settle it in the reader's degrees", () => {
    const cool = { kind: "let-cool", to: 35, corrected: true } as const;
    expect(settleText(cool, "si")).toContain("cool to about 35\u00a0°C, enter its temperature");
    expect(settleText(cool, "us")).toContain("95\u00a0°F");
    expect(settleText({ ...cool, to: 20, corrected: false }, "us")).toContain("hold at 68\u00a0°F");
  });
});

describe("how sure a reading is", () => {
  it("is told line by line, the last line all together", () => {
    expect(budgetLines(judged("20.0; 20.2"))).toEqual([
      "The meter, 0.9\u00a0% of the reading: ±\u00a00.18\u00a0Ω",
      "The meter, 2 counts of its last digit: ±\u00a00.2\u00a0Ω",
      "The readings among themselves: ±\u00a00.2\u00a0Ω",
      "All together, 19 times out of 20: ±\u00a00.37\u00a0Ω",
    ]);
  });
  it("names leads and temperature where they were corrected", () => {
    const given = judged("26.1", {
      correct: { leads: "ask", temperature: { metal: "copper" } },
      temperatureRanges: [{ reading: 0, fullScale: 0, counts: 2, resolution: { value: 1, unit: "degC" } }],
    });
    const lines = budgetLines(given).join("\n");
    expect(lines).toContain("The reading of the leads: ±\u00a00.18");
    expect(lines).toContain("The part's temperature: ±\u00a0");
    expect(given.corrections.map((one) => correctionText(one, "Ohm", "us"))).toEqual([
      "0.3\u00a0Ω, as measured",
      "copper, 113\u00a0°F to 68\u00a0°F",
    ]);
  });
  it("is not known without a meter's accuracy, and no question for over range", () => {
    const scale = { ...METER, fullScale: 0.01 };
    expect(budgetLines(judged("20", { ranges: [scale] }))).toEqual([
      expect.stringMatching(/^Nothing is known/),
    ]);
    expect(budgetLines(judged("OL"))).toEqual([]);
  });
});

describe("the figure of a verdict", () => {
  it("is said to be a mean where it is one", () => {
    expect(meanText(judged("20.0; 20.2; 20.1"))).toBe("Mean of three readings: ");
    expect(meanText(judged("20.0"))).toBe("");
  });
  it("has the digits typed, in whichever unit, with accuracy known or not", () => {
    expect(shownDigit(judged("20.05"))).toEqual({ lastDigit: 0.01 });
    const { ranges: _, ...bare } = {
      typed: { reading: "0.0201" },
      readingUnit: "kOhm",
      unit: "Ohm",
      ranges: [],
      bands: BANDS,
      scheme: "specification",
      decideAt: 0.95,
    } as const;
    const unknown = judgeReading(bare);
    expect(unknown.ok && shownDigit(unknown.judged).lastDigit).toBeCloseTo(0.1, 12);
  });
});
