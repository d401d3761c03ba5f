import fc from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Finding } from "../../../engine/procedure/finding.ts";
import type { Specification } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { build, end, measure, specification } from "./build-procedure.ts";
import { all, any, openSolver, real, type SmtSolver } from "./smt-solver.ts";

let solver: SmtSolver;
beforeAll(async () => {
  solver = await openSolver();
});
afterAll(() => solver.close());

/** A limit as written, and as the solver's term in volts. */
interface LimitText {
  readonly text: string;
  readonly term: string;
  readonly named: boolean;
}
interface LimitOf {
  readonly limit: LimitText;
  readonly included: boolean;
}
interface BandText {
  readonly low?: LimitOf;
  readonly high?: LimitOf;
}

const fixed = fc.tuple(fc.integer({ min: -8, max: 8 }), fc.boolean()).map(
  ([quarters, milli]): LimitText => ({
    text: milli ? `${quarters * 250} mV` : `${quarters / 4} V`,
    term: real(quarters / 4),
    named: false,
  }),
);
/** Limits that are looked up in the run: only that the lower is not above the upper is known of them. */
const OPEN = specification("open", "", { open: { unit: "V", limits: ["from", "to"] } });
const CITED = specification("cited", "from 500 mV, to 1.25 V");
const named = fc.constantFrom<LimitText>(
  { text: "open.from", term: "low", named: true },
  { text: "open.to", term: "high", named: true },
);
const cited = fc.constantFrom<LimitText>(
  { text: "cited.from", term: real(0.5), named: false },
  { text: "cited.to", term: real(1.25), named: false },
);
const limit = (withNames: boolean) =>
  fc.oneof(
    { weight: 8, arbitrary: fixed },
    { weight: 1, arbitrary: cited },
    { weight: withNames ? 5 : 0, arbitrary: named },
  );

/** Bands one above the other that share their limits, one end of one band then written anew, now and then. */
function nearlySound(withNames: boolean): fc.Arbitrary<readonly BandText[]> {
  return fc
    .tuple(
      fc.uniqueArray(fixed, { minLength: 1, maxLength: 4, selector: ({ term }) => term }),
      fc.array(fc.boolean(), { minLength: 4, maxLength: 4 }),
      fc.option(fc.tuple(fc.nat(4), fc.boolean(), limit(withNames), fc.boolean())),
      withNames ? fc.nat(2) : fc.constant(0),
    )
    .map(([limits, sides, spoilt, names]) => {
      const value = (one: LimitText) => Number(one.term.replace(/[()\s]/g, ""));
      const rising = limits.toSorted((a, b) => value(a) - value(b));
      const known = [
        { text: "open.from", term: "low" },
        { text: "open.to", term: "high" },
      ];
      // The looked-up limits take the place of the lowest ones: any order among them is then to be looked at.
      const cuts = rising.map((cut, at) => (at < names ? { ...cut, ...known[at], named: true } : cut));
      const bands: BandText[] = Array.from({ length: cuts.length + 1 }, (_, at) => {
        const [under, over] = [cuts[at - 1], cuts[at]];
        return {
          ...(under ? { low: { limit: under, included: sides[at - 1] === true } } : {}),
          ...(over ? { high: { limit: over, included: sides[at] !== true } } : {}),
        };
      });
      if (spoilt === null) return bands;
      const [number, below, other, included] = spoilt;
      const at = number % bands.length;
      return bands.map((band, index) =>
        index === at ? { ...band, [below ? "low" : "high"]: { limit: other, included } } : band,
      );
    });
}

function anyBands(withNames: boolean): fc.Arbitrary<readonly BandText[]> {
  const side = fc.option(fc.record({ limit: limit(withNames), included: fc.boolean() }), { nil: undefined });
  const band = fc
    .tuple(side, side)
    .map(([low, high]) => ({ ...(low ? { low } : {}), ...(high ? { high } : {}) }));
  return fc.array(band, { minLength: 1, maxLength: 4 });
}

const bandsOf = (withNames: boolean) =>
  fc.oneof({ weight: 3, arbitrary: nearlySound(withNames) }, { weight: 1, arbitrary: anyBands(withNames) });

function written({ low, high }: BandText): string {
  const parts = [
    low && `${low.included ? "from" : "over"} ${low.limit.text}`,
    high && `${high.included ? "to" : "under"} ${high.limit.text}`,
  ];
  return parts.filter((part) => part !== undefined).join(", ");
}

const SPECIFICATIONS: readonly Specification[] = [OPEN, CITED];

function found(bands: readonly BandText[]): readonly Finding[] {
  const ways = Object.fromEntries(bands.map((band, at) => [`b${at}`, [written(band), "refer"]] as const));
  return checkProcedure(
    build([measure("m", ways), end("refer", "referred")], { specifications: SPECIFICATIONS }),
  ).filter(({ code }) => ["reading-gap", "reading-overlap", "impossible-branch"].includes(code));
}

/** The band as a condition on a term. */
function holds({ low, high }: BandText, x: string): string {
  return all([
    ...(low ? [`(${low.included ? ">=" : ">"} ${x} ${low.limit.term})`] : []),
    ...(high ? [`(${high.included ? "<=" : "<"} ${x} ${high.limit.term})`] : []),
  ]);
}

const NAMES = "(declare-const low Real) (declare-const high Real) (assert (<= low high))";
/** As written, no band is meant to be inside out: that is what is known of limits looked up in a run. */
function meant(bands: readonly BandText[]): string {
  return bands.map((band, at) => `(declare-const in${at} Real) (assert ${holds(band, `in${at}`)})`).join(" ");
}

function question(bands: readonly BandText[], asserted: string, reading?: string): string {
  const at = reading === undefined ? "" : `(assert (= x ${real(Number(reading.replace(" V", "")))}))`;
  return `${NAMES} ${meant(bands)} (declare-const x Real) ${at} (assert ${asserted})`;
}

const gap = (bands: readonly BandText[]) => `(not ${any(bands.map((band) => holds(band, "x")))})`;
const overlap = (bands: readonly BandText[]) =>
  any(
    bands.flatMap((one, at) => bands.slice(at + 1).map((other) => all([holds(one, "x"), holds(other, "x")]))),
  );

interface Case {
  readonly bands: readonly BandText[];
  readonly findings: readonly Finding[];
}

/** Cases without a band of numbers that is inside out; of the others the engine says only that. */
function judged(cases: readonly (readonly BandText[])[]): readonly Case[] {
  return cases
    .map((bands) => ({ bands, findings: found(bands) }))
    .filter(({ findings }) => findings.every(({ code }) => code !== "impossible-branch"));
}

function expectAgreement(
  cases: readonly Case[],
  code: "reading-gap" | "reading-overlap",
  asserted: (bands: readonly BandText[]) => string,
): void {
  const answers = solver.answers(cases.map(({ bands }) => question(bands, asserted(bands))));
  const told = ({ findings }: Case) => (findings.some((one) => one.code === code) ? "sat" : "unsat");
  const wrong = cases.flatMap((one, at) =>
    told(one) === answers[at] ? [] : [`${one.bands.map(written).join(" | ")}: solver says ${answers[at]}`],
  );
  expect(wrong).toEqual([]);
  expect(answers.filter((answer) => answer === "sat").length).toBeGreaterThan(cases.length / 10);
  expect(answers.filter((answer) => answer === "unsat").length).toBeGreaterThan(cases.length / 10);
  const readings = cases.flatMap(({ bands, findings }) =>
    findings
      .filter((one) => one.code === code && /^-?[\d.]+ V$/.test(String(one.params.reading)))
      .map(({ params }) => ({ bands, reading: String(params.reading) })),
  );
  const shown = solver.answers(
    readings.map(({ bands, reading }) => question(bands, asserted(bands), reading)),
  );
  expect(readings.filter((_, at) => shown[at] !== "sat")).toEqual([]);
}

describe("an SMT solver", () => {
  const numbers = judged(fc.sample(bandsOf(false), 2_000));
  const names = judged(fc.sample(bandsOf(true), 1_500));

  it("finds a gap in the same of 2,000 steps, and none of the readings told in a band", () => {
    expectAgreement(numbers, "reading-gap", gap);
  });

  it("finds an overlap in the same of 2,000 steps, and the readings told in two bands", () => {
    expectAgreement(numbers, "reading-overlap", overlap);
  });

  it("agrees about gaps and overlaps where limits are looked up in the run", () => {
    expectAgreement(names, "reading-gap", gap);
    expectAgreement(names, "reading-overlap", overlap);
  });

  it("finds the same bands that no reading is in", () => {
    const cases = fc.sample(anyBands(false), 1_500);
    const bands = cases.flatMap((each) => each.map((band, at) => ({ each, band, at })));
    const answers = solver.answers(
      bands.map(({ band }) => `(declare-const x Real) (assert ${holds(band, "x")})`),
    );
    const impossible = new Map(
      cases.map((each) => [
        each,
        new Set(
          found(each).flatMap(({ code, params }) => (code === "impossible-branch" ? [params.outcome] : [])),
        ),
      ]),
    );
    const wrong = bands.filter(
      ({ each, at }, index) => impossible.get(each)?.has(`b${at}`) !== (answers[index] === "unsat"),
    );
    expect(wrong.map(({ band }) => written(band))).toEqual([]);
    expect(answers.filter((answer) => answer === "unsat").length).toBeGreaterThan(100);
  });

  it("is asked beside about readings over range: they are in the bands without an upper limit", () => {
    for (const { bands, findings } of numbers) {
      const over = bands.filter(({ high }) => high === undefined).length;
      const under = bands.filter(({ low }) => low === undefined).length;
      const codes = findings.map(({ code }) => code);
      if (over === 0 || under === 0) expect(codes).toContain("reading-gap");
      if (over > 1 || under > 1) expect(codes).toContain("reading-overlap");
    }
  });
});
