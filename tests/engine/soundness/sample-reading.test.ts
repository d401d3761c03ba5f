import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { MeasureStep } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { plainNumber, typedNumber } from "../../../engine/soundness/plain-number.ts";
import { sampleReading } from "../../../engine/soundness/sample-reading.ts";
import { sound } from "../procedure/fan-text.ts";
import { build, end, measure, measureBy, specification } from "./build-procedure.ts";

const REFER = end("refer", "referred");

/** What a real run makes of the sample. */
function outcomeOf(step: MeasureStep, outcome: string, parts: Parameters<typeof build>[1] = {}) {
  const procedure = build([step, REFER], parts);
  const reading = sampleReading(procedure, step, outcome);
  if (reading === undefined) return undefined;
  const run = openRun(procedure, { run: "r", at: 0 });
  const next = advance(procedure, run, { type: "reading", step: step.id, reading, at: 1 });
  return next.ok ? next.run.path[0]?.outcome : next.refusal;
}

describe("a sample reading", () => {
  it.each(["dead", "weak", "good"])("of band %s is judged to be in it", (band) => {
    const step = measure("m", {
      dead: ["under 1 V", "refer"],
      weak: ["from 1 V, under 11.5 V", "refer"],
      good: ["from 11500 mV", "refer"],
    }) as MeasureStep;
    expect(outcomeOf(step, band)).toBe(band);
  });

  it.each(["below", "within", "above"])("%s a specification is judged so", (outcome) => {
    const step = measureBy("m", "s", { below: "refer", within: "refer", above: "refer" }) as MeasureStep;
    expect(outcomeOf(step, outcome, { specifications: [specification("s", "from 0.3 V, to 1.2 V")] })).toBe(
      outcome,
    );
  });

  it("is typed in the reading unit", () => {
    const step = measure(
      "m",
      { low: ["under 1 V", "refer"], high: ["from 1 V", "refer"] },
      { readingUnit: "mV" },
    ) as MeasureStep;
    expect(sampleReading(build([step, REFER]), step, "high")).toBe("2000 mV");
    expect(outcomeOf(step, "high")).toBe("high");
  });

  it("lies in whatever band there is", () => {
    const limit = fc.integer({ min: -9_999_999, max: 9_999_999 }).map((thousandths) => thousandths / 1_000);
    fc.assert(
      fc.property(limit, limit, (a, b) => {
        fc.pre(a < b);
        const [low, high] = [typedNumber(a), typedNumber(b)];
        const step = measure("m", {
          low: [`under ${low} V`, "refer"],
          mid: [`from ${low} V, under ${high} V`, "refer"],
          high: [`from ${high} V`, "refer"],
        }) as MeasureStep;
        for (const band of ["low", "mid", "high"]) expect(outcomeOf(step, band)).toBe(band);
      }),
      { numRuns: 300 },
    );
  });
});

describe("a sample reading with a meter that doubts", () => {
  const meter = (counts: number): NonNullable<Parameters<typeof build>[1]> => ({
    instruments: new Map([
      [
        "meter",
        {
          id: "meter",
          title: "Meter",
          accuracy: new Map([
            ["voltage", [{ reading: 0.005, fullScale: 0, counts, resolution: { value: 0.01, unit: "V" } }]],
          ]),
          node: { file: "test.yaml", path: [] },
        },
      ],
    ]),
  });

  it("keeps clear of every limit that leaves room for it, and is too close where that is asked", () => {
    const limit = fc.integer({ min: -20_000, max: 20_000 }).map((hundredths) => hundredths / 100);
    fc.assert(
      fc.property(limit, limit, fc.integer({ min: 1, max: 9 }), (a, b, counts) => {
        // Half a band of six standard uncertainties on either side of the sample is never in doubt.
        fc.pre(b - a > 6 * (0.01 * counts + 0.005 * Math.max(Math.abs(a), Math.abs(b))));
        const step = measure(
          "m",
          {
            low: [`under ${typedNumber(a)} V`, "refer"],
            mid: [`from ${typedNumber(a)} V, under ${typedNumber(b)} V`, "refer"],
            high: [`from ${typedNumber(b)} V`, "refer"],
          },
          { borderline: { goto: "m", atMost: 1 }, instrument: "meter" },
        ) as MeasureStep;
        for (const outcome of ["low", "mid", "high", "borderline"])
          expect(outcomeOf(step, outcome, meter(counts))).toBe(outcome);
      }),
      { numRuns: 300 },
    );
  });
});

describe("a sample reading at a limit that no digits write out", () => {
  /** The least that a table between 5 V at 0 degC and 6 V at 30 degC gives at 20 degC: 5.666... V. */
  const TEXT = `procedure: fan
title: Least volts
revision: 1
complaint: It stays dark.
start: feed
instruments:
  meter: { title: Meter, accuracy: { voltage: { reading: 1 %, counts: 3, resolution: 0.01 V } } }
facts:
  warmth: { measure: temperature, unit: degC }
specifications:
  least:
    from: { by: facts.warmth, table: [[0 degC, 5 V], [30 degC, 6 V]] }
    source: depot practice
steps:
  feed:
    measure: voltage
    say: Red lead on the feed.
    unit: V
    with: meter
    specification: least
    outcomes:
      below: { goto: refer }
      within: { goto: refer }
    borderline: { goto: feed }
  refer: { end: referred }
`;

  it("is too close to it, with the digits that the instrument shows", () => {
    const round = checkProcedure(sound(TEXT)).find(({ code }) => code === "endless-loop");
    expect(round?.witness?.map(({ outcome, reading }) => [outcome, reading])).toEqual([
      ["20", "20 degC"],
      ["borderline", "5.67 V"],
    ]);
  });
});

describe("a plain number", () => {
  it.each([
    [{ low: 1, lowIncluded: true, high: 11.5, highIncluded: false }, 6],
    [{ low: 0, lowIncluded: true, high: 0, highIncluded: true }, 0],
    [{ low: 1, lowIncluded: false, high: 1, highIncluded: true }, undefined],
    [{ low: 1e6, lowIncluded: false, high: Infinity, highIncluded: true }, 2e6],
    [{ low: Infinity, lowIncluded: true, high: Infinity, highIncluded: true }, Infinity],
  ])("in %j is %s", (interval, value) => {
    expect(plainNumber(interval)).toBe(value);
  });

  it("is typed without an exponent, over range as OL", () => {
    expect([1e-7, 2.5, -1e21, Infinity, -Infinity].map(typedNumber)).toEqual([
      "0.0000001",
      "2.5",
      "-1000000000000000000000",
      "OL",
      "-OL",
    ]);
  });

  it("is typed with the digits that a run takes", () => {
    // 10.1 over 3, to the 15 digits of a double; nothing but its digits is cut off a whole number.
    expect([10.1 / 3, -0.2 / 3, 10 - 2 ** -49, 1e15 + 0.5].map(typedNumber)).toEqual([
      "3.36666666666667",
      "-0.06666666666667",
      "10",
      "1000000000000001",
    ]);
  });
});
