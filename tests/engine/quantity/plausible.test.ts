import { describe, expect, it } from "vitest";
import { judgeReading } from "../../../engine/quantity/judge.ts";

const judge = (reading: string, plausible: Parameters<typeof judgeReading>[0]["plausible"]) =>
  judgeReading({
    typed: { reading },
    readingUnit: "V",
    unit: "V",
    bands: [],
    scheme: "none",
    decideAt: 0.95,
    ...(plausible ? { plausible } : {}),
  }).ok;

describe("a plausible range", () => {
  it("takes its ends in, unless it says over and under", () => {
    expect(judge("1", { low: 1, high: 2 })).toBe(true);
    expect(judge("1", { low: 1, high: 2, lowIncluded: false })).toBe(false);
    expect(judge("2", { low: 1, high: 2, highIncluded: false })).toBe(false);
    expect(judge("1.5", { low: 1, high: 2, lowIncluded: false, highIncluded: false })).toBe(true);
  });
});
