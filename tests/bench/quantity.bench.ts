/**
 * How quick a reading is judged, with and without reading its text. Targets: a million bands decided with
 * their shares a second, 300,000 typed readings judged. Read the ratios, not the figures.
 */
import { unit } from "mathjs";
import { bench, describe } from "vitest";
import { type AccuracyRange, uncertaintyOf } from "../../engine/quantity/accuracy.ts";
import { type JudgeInput, judgeReading } from "../../engine/quantity/judge.ts";
import { parseReading } from "../../engine/quantity/parse-reading.ts";
import { convert } from "../../engine/quantity/units.ts";
import { bandOf, type NumericBand, sharesOf } from "../../engine/quantity/verdict.ts";

const INF = Number.POSITIVE_INFINITY;
const TEXTS = ["26.1", "0.4k", "12.65", "OL", "33.3", "4k7", "0.3 kΩ", "18.0"];
const VALUES = [26.1, 400, 12.65, INF, 33.3, 4700, 300, 18];
const BANDS: readonly NumericBand[] = [
  { outcome: "below", low: -INF, lowIncluded: true, high: 12, highIncluded: false },
  { outcome: "within", low: 12, lowIncluded: true, high: 25, highIncluded: true },
  { outcome: "above", low: 25, lowIncluded: false, high: INF, highIncluded: true },
];
const RANGES: readonly AccuracyRange[] = [
  {
    reading: 0.009,
    fullScale: 0,
    counts: 2,
    resolution: { value: 0.1, unit: "Ohm" },
    leads: { value: 0.3, unit: "Ohm" },
  },
];
const SETTING = {
  readingUnit: "Ohm",
  unit: "Ohm",
  ranges: RANGES,
  bands: BANDS,
  scheme: "specification",
  decideAt: 0.95,
} as const;

// Made beforehand: putting an input together costs as much as judging it.
const PLAIN = TEXTS.map((reading) => ({ ...SETTING, typed: { reading } }));
const WARM = TEXTS.map((reading) => ({
  ...SETTING,
  correct: { leads: "subtract", temperature: { metal: "copper" } } as const,
  typed: { reading, temperature: "45" },
}));
const SEVERAL = TEXTS.filter((text) => text !== "OL").map((text) => ({
  ...SETTING,
  typed: { reading: `${text}; ${text}; ${text}` },
}));

function judgeAll(inputs: readonly JudgeInput[]): void {
  for (let i = 0; i < 125; i++) for (const input of inputs) judgeReading(input);
}

describe("1,000 readings", () => {
  bench("put into their band", () => {
    for (let i = 0; i < 1000; i++) bandOf(VALUES[i % 8] ?? 0, BANDS);
  });
  bench("as numbers: doubt, band and shares", () => {
    for (let i = 0; i < 1000; i++) {
      const value = VALUES[i % 8] ?? 0;
      const budget = uncertaintyOf(value, "Ohm", 0.1, RANGES);
      bandOf(value, BANDS);
      sharesOf(value, budget?.u ?? 0, BANDS);
    }
  });
  bench("as texts, parsed only", () => {
    for (let i = 0; i < 1000; i++) parseReading(TEXTS[i % 8] ?? "", "Ohm");
  });
  bench("as texts, parsed and judged", () => judgeAll(PLAIN));
  bench("as texts, parsed, corrected for leads and temperature, and judged", () => judgeAll(WARM));
  bench("as means of three, parsed and judged", () => judgeAll(SEVERAL));
  bench("converted from lbf.ft to N.m by a general-purpose library", () => {
    for (let i = 0; i < 1000; i++) unit(i, "lbf ft").toNumber("N m");
  });
  bench("converted from lbf.ft to N.m", () => {
    for (let i = 0; i < 1000; i++) convert(i, "lbf.ft", "N.m");
  });
});
