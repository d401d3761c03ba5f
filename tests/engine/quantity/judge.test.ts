import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { AccuracyRange } from "../../../engine/quantity/accuracy.ts";
import { type JudgedReading, type JudgeInput, judgeReading } from "../../../engine/quantity/judge.ts";
import { readingProblemSentence } from "../../../engine/quantity/parse-reading.ts";
import type { NumericBand } from "../../../engine/quantity/verdict.ts";

const INF = Number.POSITIVE_INFINITY;
const OHMS: AccuracyRange = {
  reading: 0.009,
  fullScale: 0,
  counts: 2,
  resolution: { value: 0.1, unit: "Ohm" },
  leads: { value: 0.3, unit: "Ohm" },
};
const RANGES: readonly AccuracyRange[] = [
  { ...OHMS, upTo: { value: 600, unit: "Ohm" } },
  { ...OHMS, resolution: { value: 1, unit: "Ohm" } },
];

function specification(low: number, high: number): readonly NumericBand[] {
  return [
    { outcome: "below", low: -INF, lowIncluded: true, high: low, highIncluded: false },
    { outcome: "within", low, lowIncluded: true, high, highIncluded: true },
    { outcome: "above", low: high, lowIncluded: false, high: INF, highIncluded: true },
  ];
}

function input(reading: string, more: Partial<JudgeInput> = {}): JudgeInput {
  return {
    typed: { reading },
    readingUnit: "Ohm",
    unit: "Ohm",
    ranges: [OHMS],
    bands: specification(0.3, 1.2),
    scheme: "specification",
    decideAt: 0.95,
    ...more,
  };
}

function judged(given: JudgeInput): JudgedReading {
  const judgement = judgeReading(given);
  if (!judgement.ok) throw new Error(readingProblemSentence(judgement.problem));
  return judgement.judged;
}

function problemOf(given: JudgeInput): string {
  const judgement = judgeReading(given);
  return judgement.ok ? "judged" : `${judgement.problem.field} ${judgement.problem.code}`;
}

describe("judgeReading", () => {
  test("takes the share and the counts as half-widths, u by root sum of squares over √3", () => {
    const result = judged(input("33.3"));
    const share = (33.3 * 0.009) / Math.sqrt(3);
    const counts = 0.2 / Math.sqrt(3);
    expect(result.u).toBeCloseTo(Math.hypot(share, counts), 12);
    expect(result.budget?.lines.map((line) => line.part)).toEqual(["reading", "counts"]);
    expect(result.verdict).toBe("above");
  });
  test("widens the last digit to the one typed with a prefix", () => {
    const result = judged(input("0.4k", { bands: specification(100, 200) }));
    expect(result.lastDigit).toBe(100);
    expect(result.u).toBeCloseTo(Math.hypot(3.6, 200) / Math.sqrt(3), 9);
    expect(result.verdict).toBe("above");
  });
  test("subtracts the stated leads and keeps a negative result", () => {
    const result = judged(input("0.1", { correct: { leads: "subtract" } }));
    expect(result.corrected).toBe(-0.2);
    expect(result.corrections).toEqual([{ kind: "leads", amount: -0.3, from: "stated" }]);
    expect(result.picked).toBe("below");
  });
  test("keeps a corrected reading on a limit that includes it", () => {
    expect(judged(input("0.6", { correct: { leads: "subtract" }, decideAt: 0 })).picked).toBe("within");
    expect(judged(input("1.5", { correct: { leads: "subtract" }, decideAt: 0 })).picked).toBe("within");
    const upper = { correct: { leads: "subtract" as const }, decideAt: 0, bands: specification(0, 0.6) };
    expect(judged(input("0.9", upper)).picked).toBe("within");
  });
  test("subtracts the leads as measured, with their own doubt in the budget", () => {
    const given = input("5.0", { correct: { leads: "ask" }, typed: { reading: "5.0", leads: "0.4" } });
    const result = judged(given);
    expect(result.corrected).toBeCloseTo(4.6, 12);
    expect(result.budget?.lines.map((line) => line.part)).toEqual(["reading", "counts", "leads"]);
    expect(result.u).toBeGreaterThan(judged(input("5.0")).u ?? INF);
    expect(result.corrections[0]).toEqual({ kind: "leads", amount: -0.4, from: "measured" });
  });
  test("corrects leads first, then the temperature, to 20 degC unless told otherwise", () => {
    const correct = { leads: "subtract", temperature: { metal: "copper" } } as const;
    const typed = { reading: "33.3", temperature: "80 degC" };
    const bands = specification(12, 25);
    const result = judged(input("33.3", { typed, correct, bands }));
    expect(result.corrected).toBeCloseTo(33 / (1 + 0.00393 * 60), 12);
    expect(result.corrections.map((one) => one.kind)).toEqual(["leads", "temperature"]);
    const sum = result.corrections.reduce((total, one) => total + one.amount, result.read);
    expect(sum).toBeCloseTo(result.corrected, 12);
    const hot = judged(
      input("33.3", { typed, correct: { ...correct, to: { value: 176, unit: "degF" } }, bands }),
    );
    expect(hot.corrected).toBeCloseTo(33, 12);
  });
  test("scales the doubt of a reading that is zero after the leads", () => {
    const correct = { leads: "subtract", temperature: { metal: "copper" } } as const;
    const result = judged(input("0.3", { typed: { reading: "0.3", temperature: "80 degC" }, correct }));
    expect(result.corrected).toBe(0);
    expect(result.u).toBeCloseTo(Math.hypot(0.0027, 0.2) / Math.sqrt(3) / 1.2358, 9);
  });
  test("counts the doubt of a thermometer whose accuracy is known", () => {
    const correct = { temperature: { metal: "copper" } };
    const typed = { reading: "33.3", temperature: "80 degC" };
    const thermometer = [{ reading: 0, fullScale: 0, counts: 2, resolution: { value: 1, unit: "degC" } }];
    const bands = specification(12, 25);
    const result = judged(input("33.3", { typed, correct, bands, temperatureRanges: thermometer }));
    expect(result.budget?.lines.at(-1)?.part).toBe("temperature");
    expect(result.u).toBeGreaterThan(judged(input("33.3", { typed, correct, bands })).u ?? INF);
  });
  test("calls a reading too close when its band holds the true value with too little probability", () => {
    const result = judged(input("1.3", { correct: { leads: "subtract" } }));
    expect(result.verdict).toBe("within");
    const close = judged(input("1.4", { correct: { leads: "subtract" } }));
    expect(close.verdict).toBe("too-close");
    expect(close.picked).toBe("within");
    expect(close.conformance).toBe(close.shares?.within);
    expect(close.settle).toEqual([{ kind: "measure-leads" }, { kind: "read-again" }]);
  });
  test("advises to let a hot part cool", () => {
    const given = input("1.35", {
      typed: { reading: "1.45", leads: "0.1", temperature: "80 degC" },
      correct: { leads: "ask", temperature: { metal: "copper" } },
      bands: specification(0.3, 1.1),
    });
    expect(judged(given).settle).toEqual([
      { kind: "let-cool", to: 35, corrected: true },
      { kind: "read-again" },
    ]);
  });
  test("advises to bring the part to the limits' temperature where none is entered", () => {
    const given = input("1.2", { reference: { value: 68, unit: "degF" } });
    expect(judged(given).settle).toContainEqual({ kind: "let-cool", to: 20, corrected: false });
  });
  test("says at which values a close call would be clear, and that they would be", () => {
    const close = judged(input("1.2"));
    const { atMost = INF, atLeast = -INF } = close.clear ?? {};
    expect(atMost).toBeCloseTo(1.2 - 1.645 * (close.u ?? 0), 3);
    expect(atLeast).toBeCloseTo(1.2 + 1.645 * (close.u ?? 0), 3);
    for (const [value, verdict] of [
      [Math.floor(atMost * 10) / 10, "within"],
      [Math.ceil(atLeast * 10) / 10, "above"],
    ] as const)
      expect(judged(input(value.toFixed(1))).verdict).toBe(verdict);
    expect(judged(input("0.8")).clear).toBeUndefined();
  });
  test("judges the mean of several readings, their scatter in the budget beside the meter's own doubt", () => {
    const bands = specification(12, 25);
    const result = judged(input("26.1; 26.3; 26.0", { bands }));
    expect(result.typed).toBe("26.1; 26.3; 26.0");
    expect(result.count).toBe(3);
    expect(result.value).toBeCloseTo(26.1333, 4);
    expect(result.lastDigit).toBe(0.1);
    const scatter = result.budget?.lines.at(-1);
    expect(scatter?.part).toBe("scatter");
    expect(scatter?.u).toBeCloseTo(Math.sqrt(0.0233333 / 3), 5);
    const meter = Math.hypot(26.13333 * 0.009, 0.2) / Math.sqrt(3);
    expect(result.u).toBeCloseTo(Math.hypot(meter, scatter?.u ?? 0), 5);
    expect(judged(input("26.1")).count).toBeUndefined();
  });
  test("takes several readings of the leads as well", () => {
    const typed = { reading: "5.0", leads: "0.3; 0.4; 0.5" };
    expect(judged(input("5.0", { typed, correct: { leads: "ask" } })).corrected).toBe(4.6);
  });
  test("asks each of several readings to be plausible", () => {
    const plausible = { low: 0, high: 5 };
    expect(problemOf(input("1.0; 9.0", { plausible }))).toBe("reading implausible");
    expect(problemOf(input("1.0; 4.0", { plausible }))).toBe("judged");
  });
  test("keeps every line of the budget through a correction, and the lines make up u", () => {
    const correct = { leads: "ask", temperature: { metal: "copper" } } as const;
    const typed = { reading: "26.1; 26.4", leads: "0.3", temperature: "45 degC" };
    const thermometer = [{ reading: 0, fullScale: 0, counts: 2, resolution: { value: 1, unit: "degC" } }];
    const result = judged(input("", { typed, correct, temperatureRanges: thermometer }));
    const lines = result.budget?.lines ?? [];
    expect(lines.map((line) => line.part)).toEqual(["reading", "counts", "scatter", "leads", "temperature"]);
    expect(lines.map((line) => line.stated)).toEqual([0.009, 2, undefined, undefined, undefined]);
    expect(Math.hypot(...lines.map((line) => line.u))).toBeCloseTo(result.u ?? 0, 12);
  });
  test("advises the range that shows more digits when that range would decide", () => {
    const given = input("0.40k", { ranges: RANGES, bands: specification(385, 500) });
    expect(judged(given).settle[0]).toEqual({ kind: "finer-range", range: "600\u00a0Ω" });
    const near = input("0.40k", { ranges: RANGES, bands: specification(399.9, 500) });
    expect(judged(near).settle.map((one) => one.kind)).not.toContain("finer-range");
  });
  test("takes the range by the reading", () => {
    const low = judged(input("500.0", { ranges: RANGES, bands: [] }));
    const high = judged(input("700", { ranges: RANGES, bands: [] }));
    expect(low.budget?.lines[1]?.halfWidth).toBeCloseTo(0.2, 12);
    expect(high.budget?.lines[1]?.halfWidth).toBe(2);
  });
  test("counts a share of full scale, and knows no doubt without a full scale", () => {
    const scale = { ...OHMS, counts: 0, reading: 0, fullScale: 0.01 };
    const known = judged(input("5", { ranges: [{ ...scale, upTo: { value: 0.6, unit: "kOhm" } }] }));
    expect(known.u).toBeCloseTo(6 / Math.sqrt(3), 12);
    const unknown = judged(input("5", { ranges: [scale] }));
    expect(unknown.u).toBeUndefined();
    expect(unknown.conformance).toBeNull();
  });
  test.each(["OL", "O.L", "-OL"])(
    "never corrects %s, asks for no temperature, and never calls it too close",
    (reading) => {
      const correct = { leads: "subtract", temperature: { metal: "copper" } } as const;
      const result = judged(input(reading, { correct }));
      expect(result.verdict).toBe(reading === "-OL" ? "below" : "above");
      expect(result.corrections).toEqual([]);
      expect(result.conformance).toBe(1);
      expect(result.u).toBeUndefined();
    },
  );
  test("has OL within where there is no upper limit", () => {
    const bands: readonly NumericBand[] = [
      { outcome: "below", low: -INF, lowIncluded: true, high: 1e6, highIncluded: false },
      { outcome: "within", low: 1e6, lowIncluded: true, high: INF, highIncluded: true },
    ];
    expect(judged(input("OL", { bands })).verdict).toBe("within");
  });
  test("has no conformance and no close call without accuracy", () => {
    const { ranges: _, ...bare } = input("1.2000");
    const result = judged(bare);
    expect(result.conformance).toBeNull();
    expect(result.shares).toBeUndefined();
    expect(result.verdict).toBe("within");
    expect(judged({ ...bare, typed: { reading: "OL" } }).conformance).toBeNull();
  });
  test("only records when there are no bands", () => {
    const result = judged(input("1.4", { bands: [], scheme: "none" }));
    expect(result.picked).toBe("taken");
    expect(result.verdict).toBe("none");
    expect(result.conformance).toBeNull();
  });
  test("says only too close or nothing about bands", () => {
    expect(judged(input("0.8", { scheme: "bands" })).verdict).toBe("none");
    expect(judged(input("1.2", { scheme: "bands" })).verdict).toBe("too-close");
  });
  test("judges what `value` makes of the reading, with its doubt to first order", () => {
    const given = input("2.0", { value: (x) => x * x, unit: "1", bands: specification(1, 9) });
    const result = judged(given);
    expect(result.value).toBe(4);
    expect(result.corrected).toBe(2);
    expect(result.u).toBeCloseTo(4 * (result.budget?.u ?? 0), 6);
  });
  test("knows no doubt where `value` breaks off on both sides, and takes one side where it can", () => {
    const root = input("0.0", { value: (x) => (x === 0 ? 0 : undefined), bands: specification(-1, 1) });
    expect(judged(root).u).toBeUndefined();
    const oneSided = input("0.0", { value: (x) => (x < 0 ? undefined : 3 * x), bands: specification(-1, 1) });
    expect(judged(oneSided).u).toBeCloseTo(3 * (judged(input("0.0")).u ?? 0), 9);
  });
  test("brings a reading in kOhm to bands in Ohm", () => {
    const result = judged(input("1.2", { readingUnit: "kOhm", bands: specification(1000, 2000) }));
    expect(result.value).toBe(1200);
    expect(result.corrected).toBe(1.2);
    expect(result.u).toBeCloseTo((result.budget?.u ?? 0) * 1000, 9);
  });
  test.each([
    [input("12..5"), "reading two-points"],
    [input("12 V"), "reading wrong-dimension"],
    [input("9", { plausible: { low: -0.05, high: 5 } }), "reading implausible"],
    [input("1", { correct: { leads: "ask" } }), "leads leads-missing"],
    [input("1", { correct: { leads: "ask" }, typed: { reading: "1", leads: "4k7k" } }), "leads two-prefixes"],
    [input("1", { correct: { leads: "ask" }, typed: { reading: "1", leads: "OL" } }), "leads leads-open"],
    [input("1", { correct: { temperature: { metal: "copper" } } }), "temperature temperature-missing"],
    [
      input("1", {
        correct: { temperature: { metal: "copper" } },
        typed: { reading: "1", temperature: "900" },
      }),
      "temperature temperature-out-of-range",
    ],
    [
      input("1", {
        correct: { temperature: { metal: "cheese" } },
        typed: { reading: "1", temperature: "20" },
      }),
      "reading bad-set-up",
    ],
    [input("1", { value: () => undefined }), "reading no-value"],
    [input("1", { value: () => Number.NaN }), "reading no-value"],
    [input("1", { unit: "V" }), "reading bad-set-up"],
    [input("1", { bands: [specification(5, 6)[1] as NumericBand] }), "reading no-band"],
  ])("refuses with one sentence %#", (given, code) => {
    expect(problemOf(given)).toBe(code);
    const judgement = judgeReading(given);
    expect(judgement.ok || readingProblemSentence(judgement.problem)).toMatch(/^[^\n]+[.]$/);
  });
  test("never makes a clear verdict unclear with a better meter", () => {
    const limit = fc.double({ min: 1, max: 30, noNaN: true });
    const better = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 400 }), limit, better, (tenths, low, part) => {
        const bands = specification(low, low * 1.5);
        const typed = (tenths / 10).toFixed(1);
        const before = judged(input(typed, { bands }));
        const finer = { ...OHMS, reading: OHMS.reading * part, counts: OHMS.counts * part };
        const after = judged(input(typed, { bands, ranges: [finer] }));
        expect(after.picked).toBe(before.picked);
        if (before.verdict !== "too-close") expect(after.verdict).toBe(before.verdict);
      }),
    );
  });
});
