import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Fact, Limit, Specification, Step } from "../../../engine/procedure/model.ts";
import { analyse } from "../../../engine/soundness/analysis.ts";
import { checkCover } from "../../../engine/soundness/cover.ts";
import { act, build, end, fact, measure, measureBy, nodeAt, specification } from "./build-procedure.ts";

/** A specification's limit from a table over the measured fact `warm`, as `[degrees, volts]`. */
function overWarm(...rows: readonly (readonly [number, number])[]): Limit {
  return {
    kind: "table",
    by: {
      text: "facts.warm",
      scope: "",
      facts: ["warm"],
      readings: [],
      elapsed: [],
      node: nodeAt("specifications", "cold", "from"),
    },
    rows: rows.map(([degrees, volts]) => [
      { value: degrees, unit: "degC" },
      { value: volts, unit: "V" },
    ]),
  };
}

const WARM = fact("warm", [], { measure: { quantity: "temperature", unit: "degC" } });

const ENDS = [end("a", "referred"), end("b", "referred"), end("c", "referred")];

function coverOf(step: Step, specifications: readonly Specification[] = [], facts: readonly Fact[] = []) {
  const asks = { ...step, facts: facts.map(({ id }) => id) };
  const procedure = build([act("first", step.id), asks, ...ENDS], { specifications, facts });
  return checkCover(analyse(procedure));
}

function bands(texts: readonly string[], extra: Parameters<typeof measure>[2] = {}) {
  return measure(
    "m",
    Object.fromEntries(texts.map((text, index) => [`b${index}`, [text, "a"] as const])),
    extra,
  );
}

describe("bands", () => {
  it.each([
    [["under 1 V", "from 1 V"]],
    [["to 1 V", "over 1 V"]],
    [["under 1 V", "from 1 V, under 11.5 V", "from 11.5 V"]],
    [["under 1 V", "from 1000 mV, to 15 V", "over 15 V"]],
    [["from -5 V, under 5 V", "under -5 V", "from 5 V"]],
    [["under 2 V", "from 2 V, to 2 V", "over 2 V"]],
    [[""]],
  ])("%j cover every reading once", (texts) => {
    expect(coverOf(bands(texts))).toEqual([]);
  });

  it.each([
    [["under 1 V", "over 1 V"], "1 V"],
    [["under 1 V", "from 2 V"], "1 V"],
    [["to 1 V", "from 2 V"], "1.5 V"],
    [["from 0 V, under 5 V", "from 5 V"], "-3 V"],
    [["under 5 V", "from 5 V, to 15 V"], "30 V"],
    [["under 5 V", "from 5 V, under 15 V"], "15 V"],
  ])("%j leave a gap at %s", (texts, reading) => {
    const findings = coverOf(bands(texts));
    expect(findings.map((finding) => [finding.code, finding.params.reading])).toEqual([
      ["reading-gap", reading],
    ]);
    expect(findings[0]?.witness).toEqual([
      { step: "first", outcome: "done" },
      { step: "m", outcome: "nowhere", reading },
    ]);
  });

  it.each([
    [["to 1 V", "from 1 V"], "1 V"],
    [["under 2 V", "from 1 V"], "1 V"],
    [["under 5 V", "over 1 V, under 2 V", "from 5 V"], "1.5 V"],
  ])("%j overlap at %s", (texts, reading) => {
    const findings = coverOf(bands(texts));
    expect(findings.map((finding) => [finding.code, finding.params.reading])).toEqual([
      ["reading-overlap", reading],
    ]);
    expect(findings[0]?.witness?.at(-1)).toMatchObject({ step: "m", reading });
  });

  it("that hold no reading are impossible", () => {
    const findings = coverOf(bands(["under 5 V", "from 5 V", "from 3 V, to 2 V"]));
    expect(findings).toMatchObject([{ code: "impossible-branch", params: { outcome: "b2" } }]);
  });

  it("may cite limits that are only told in a run", () => {
    const open = specification("crank", "", { open: { unit: "V", limits: ["from", "to"] } });
    expect(
      coverOf(bands(["under crank.from", "from crank.from, to crank.to", "over crank.to"]), [open]),
    ).toEqual([]);
    expect(coverOf(bands(["under crank.from", "over crank.to"]), [open])).toMatchObject([
      { code: "reading-gap" },
    ]);
    expect(
      coverOf(bands(["to crank.from", "from crank.from, to crank.to", "over crank.to"]), [open]),
    ).toMatchObject([{ code: "reading-overlap" }]);
    expect(coverOf(bands(["under 1 V", "from 1 V, under crank.from", "from crank.from"]), [open])).toEqual(
      [],
    );
  });

  it("may cite limits that stand in a specification", () => {
    const feed = specification("feed", "from 11.5 V");
    expect(coverOf(bands(["under feed.from", "from 11.5 V"]), [feed])).toEqual([]);
    expect(coverOf(bands(["under feed.from", "from 12 V"]), [feed])).toMatchObject([
      { code: "reading-gap", params: { from: "11.5 V", to: "12 V" } },
    ]);
  });

  it("with a limit from a table hold whatever the table gives", () => {
    const limit = overWarm([-18, 8.5], [20, 9.6]);
    const cold = specification("cold", "", { low: { limit, included: true } });
    expect(coverOf(bands(["under cold.from", "from cold.from"]), [cold])).toEqual([]);
    expect(coverOf(bands(["under cold.from", "from 9 V"]), [cold]).map((finding) => finding.code)).toContain(
      "reading-gap",
    );
  });

  it("with a table that crosses another limit between its rows leave nothing unfound there", () => {
    // 10 V at 0 degC and 14 V at 40 degC: 12 V at 20 degC, and above it the upper band begins below the lower.
    const rising = specification("rising", "", {
      low: { limit: overWarm([0, 10], [40, 14]), included: true },
    });
    expect(
      coverOf(bands(["under rising.from", "from rising.from, under 12 V", "from 12 V"]), [rising], [WARM]),
    ).toMatchObject([
      {
        code: "reading-overlap",
        params: { first: "b0", second: "b2", from: "12 V", to: "13 V" },
        witness: [
          { step: "first" },
          { step: "facts/warm", reading: "30 degC" },
          { step: "m", reading: "12 V", outcome: "b0" },
        ],
      },
    ]);
    // At no temperature above 14 V.
    expect(
      coverOf(bands(["under rising.from", "from rising.from, under 14 V", "from 14 V"]), [rising], [WARM]),
    ).toEqual([]);
  });

  it("with tables that cross each other are held to what both give at one temperature", () => {
    const low = (id: string, ...rows: [number, number][]) =>
      specification(id, "", { low: { limit: overWarm(...rows), included: true } });
    const [one, near, far] = [
      low("one", [0, 10], [40, 14]),
      low("near", [0, 12], [40, 12]),
      low("far", [0, 12], [20, 13], [40, 15]),
    ];
    const texts = (upper: string) => [
      "under one.from",
      `from one.from, under ${upper}.from`,
      `from ${upper}.from`,
    ];
    // Both rise through the same volts, but at each temperature the second lies above.
    expect(coverOf(bands(texts("far")), [one, far], [WARM])).toEqual([]);
    expect(coverOf(bands(texts("near")), [one, near], [WARM])).toMatchObject([
      { code: "reading-overlap", params: { from: "12 V", to: "13 V" } },
    ]);
  });

  it("over an earlier reading go by what that can have been", () => {
    const warm = overWarm([0, 14], [10, 10], [40, 10]);
    if (warm.kind !== "table") throw new Error();
    const by = { ...warm.by, text: "readings.earlier", facts: [], readings: ["earlier"] };
    const falling = specification("falling", "", { low: { limit: { ...warm, by }, included: true } });
    const later = bands(["under falling.from", "from falling.from, under 12 V", "from 12 V"]);
    const found = (cold: string) => {
      const earlier = measure("earlier", { cold: ["under 10 V", cold], warm: ["from 10 V", "m"] });
      const procedure = build([earlier, later, ...ENDS], { specifications: [falling] });
      return checkCover(analyse(procedure)).filter(({ step }) => step === "m");
    };
    // 12 V at 5: only below that the limits pass each other.
    expect(found("a")).toEqual([]);
    expect(found("m")).toMatchObject([
      { code: "reading-overlap", witness: [{ step: "earlier", outcome: "cold" }, { step: "m" }] },
    ]);
  });

  it("over a fact that is given go by that number alone", () => {
    const rising = specification("rising", "", {
      low: { limit: overWarm([0, 10], [40, 14]), included: true },
    });
    const texts = ["under rising.from", "from rising.from, under 12 V", "from 12 V"];
    expect(coverOf(bands(texts), [rising], [{ ...WARM, given: 10 }])).toEqual([]);
    // 13 V there.
    expect(coverOf(bands(texts), [rising], [{ ...WARM, given: 30 }])).toMatchObject([
      { code: "impossible-branch", params: { outcome: "b1" } },
    ]);
  });

  it("whose limits can stand in too many orders are said not to be proven", () => {
    const open = ["a", "b", "c", "d"].map((id) =>
      specification(id, "", { open: { unit: "V", limits: ["from", "to"] } }),
    );
    const ends = open.flatMap(({ id }) => [`${id}.from`, `${id}.to`]);
    const texts = [
      "under a.from",
      ...ends.slice(1).map((each, at) => `from ${ends[at]}, under ${each}`),
      "from d.to",
    ];
    expect(coverOf(bands(texts), open)).toMatchObject([
      { code: "reading-gap", severity: "note", params: { why: "not-proven" } },
    ]);
  });

  it("may write one table in two units", () => {
    const by = {
      text: "facts.warm",
      scope: "",
      facts: ["warm"],
      readings: [],
      elapsed: [],
      node: nodeAt("t"),
    };
    const table = (unit: string, low: number, high: number) =>
      ({
        kind: "table",
        by,
        rows: [
          [
            { value: 0, unit: "degC" },
            { value: low, unit },
          ],
          [
            { value: 40, unit: "degC" },
            { value: high, unit: "V" },
          ],
        ],
      }) as const;
    const twice = [
      specification("volts", "", { low: { limit: table("V", 4.1, 10), included: true } }),
      specification("milli", "", { low: { limit: table("mV", 4100, 10), included: true } }),
    ];
    expect(coverOf(bands(["under volts.from", "from milli.from"]), twice)).toEqual([]);
  });

  it("of which a sheet leaves out the cited limit go by none there, as a run does", () => {
    const upper = specification("upper", "to 9 V");
    expect(coverOf(bands(["under upper.from", "from upper.from"]), [upper])).toMatchObject([
      { code: "impossible-branch", params: { outcome: "b0" } },
    ]);
  });

  it("agree with a walk over sample readings, whatever the limits", () => {
    const end = fc.record({ at: fc.integer({ min: -3, max: 3 }), included: fc.boolean() });
    const band = fc.record({ low: fc.option(end), high: fc.option(end) });
    fc.assert(
      fc.property(fc.array(band, { minLength: 1, maxLength: 4 }), (each) => {
        const texts = each.map(({ low, high }) =>
          [
            low ? `${low.included ? "from" : "over"} ${low.at} V` : "",
            high ? `${high.included ? "to" : "under"} ${high.at} V` : "",
          ]
            .filter(Boolean)
            .join(", "),
        );
        const codes = new Set(coverOf(bands(texts)).map((finding) => finding.code));
        const holds = (value: number) =>
          each.filter(
            ({ low, high }) =>
              (!low || value > low.at || (low.included && value === low.at)) &&
              (!high || value < high.at || (high.included && value === high.at)),
          ).length;
        const samples = Array.from({ length: 29 }, (_, index) => (index - 14) / 4);
        const empty = each.some(
          ({ low, high }) =>
            low && high && (low.at > high.at || (low.at === high.at && !(low.included && high.included))),
        );
        if (empty) expect(codes).toEqual(new Set(["impossible-branch"]));
        else {
          expect(codes.has("reading-gap")).toBe(samples.some((value) => holds(value) === 0));
          expect(codes.has("reading-overlap")).toBe(samples.some((value) => holds(value) > 1));
        }
      }),
      { numRuns: 2_000 },
    );
  });
});

describe("a specification's outcomes", () => {
  const both = specification("both", "from 1 V, to 2 V");
  const low = specification("low", "from 1 V");

  it("are below, within and above where both limits stand", () => {
    expect(coverOf(measureBy("m", "both", { below: "a", within: "b", above: "c" }), [both])).toEqual([]);
    expect(coverOf(measureBy("m", "both", { below: "a", within: "b" }), [both])).toMatchObject([
      { code: "reading-gap", params: { reading: "4 V", bands: "above" } },
    ]);
    expect(coverOf(measureBy("m", "both", { within: "b", above: "c" }), [both])).toMatchObject([
      { code: "reading-gap", params: { reading: "0.4 V" } },
    ]);
  });

  it("can't be above where only the lower limit stands", () => {
    expect(coverOf(measureBy("m", "low", { below: "a", within: "b" }), [low])).toEqual([]);
    expect(coverOf(measureBy("m", "low", { below: "a", within: "b", above: "c" }), [low])).toMatchObject([
      { code: "impossible-branch", params: { outcome: "above" } },
    ]);
  });

  it("are told where the limits stand the wrong way round, always or with some temperature", () => {
    const ways = { below: "a", within: "b", above: "c" };
    const fixed = specification("fixed", "from 14 V, to 12 V");
    expect(coverOf(measureBy("m", "fixed", ways), [fixed])).toMatchObject([
      { code: "impossible-branch", params: { outcome: "within" }, node: fixed.node },
    ]);
    // 10 V to 14 V against 12 V to 12.5 V: they meet at 80/3.5 = 22.857 degC.
    const tables = specification("tables", "", {
      low: { limit: overWarm([0, 10], [40, 14]), included: true },
      high: { limit: overWarm([0, 12], [40, 12.5]), included: true },
    });
    expect(coverOf(measureBy("m", "tables", ways), [tables], [WARM])).toMatchObject([
      {
        code: "reading-overlap",
        params: { first: "below", second: "above", why: "inverted" },
        witness: [{ step: "first" }, { step: "facts/warm", reading: "30 degC" }, { outcome: "below" }],
      },
    ]);
    const apart = specification("apart", "", {
      low: { limit: overWarm([0, 10], [40, 14]), included: true },
      high: { limit: overWarm([0, 12], [40, 14]), included: true },
    });
    expect(coverOf(measureBy("m", "apart", ways), [apart], [WARM])).toEqual([]);
  });

  it("follow the limits that an open specification asks for", () => {
    const open = specification("open", "", { open: { unit: "V", limits: ["to"] } });
    expect(coverOf(measureBy("m", "open", { within: "b", above: "c" }), [open])).toEqual([]);
    expect(
      coverOf(measureBy("m", "open", { below: "a", within: "b" }), [open]).map((each) => each.code),
    ).toEqual(["impossible-branch", "reading-gap"]);
  });
});
