import { describe, expect, it } from "vitest";
import type { Procedure, Step } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import {
  ask,
  build,
  call,
  conclude,
  end,
  evidence,
  measure,
  measureBy,
  specification,
  type Way,
} from "./build-procedure.ts";

function found(procedure: Procedure, code: string) {
  return checkProcedure(procedure).filter((finding) => finding.code === code);
}

const ENDS = [end("refer", "referred"), end("mended", "fixed")];

/** Look at the fuse, then at the ground; the repair is verified by asking again. */
function two(
  rows: { fuse?: Record<string, Record<string, number>>; ground?: Record<string, Record<string, number>> },
  more: { back?: Way; cannot?: Way; faults?: Record<string, number> } = {},
): Procedure {
  const steps: Step[] = [
    ask("fuse", { blown: "fuse-bad", whole: "ground" }, rows.fuse ? { evidence: evidence(rows.fuse) } : {}),
    ask(
      "ground",
      { open: "ground-bad", good: "refer" },
      {
        ...(rows.ground ? { evidence: evidence(rows.ground) } : {}),
        ...(more.cannot === undefined ? {} : { cannot: more.cannot }),
      },
    ),
    conclude("fuse-bad", "fuse-open", { verify: "again" }),
    conclude("ground-bad", "ground-open", { verify: "again" }),
    ask("again", { yes: "mended", no: more.back ?? "refer" }),
    ...ENDS,
  ];
  return build(steps, { faults: more.faults ?? { "fuse-open": 5, "ground-open": 2, other: 1 } });
}

const FUSE = { "fuse-open": { blown: 0.98 }, otherwise: { whole: 0.99 } };
const GROUND = { "ground-open": { open: 0.98 }, otherwise: { good: 0.99 } };

describe("unsupported-conclusion", () => {
  it("is content where the evidence on every way carries the conclusion", () => {
    expect(found(two({ fuse: FUSE, ground: GROUND }), "unsupported-conclusion")).toEqual([]);
  });

  it("gives the probability, the rival and the way", () => {
    expect(found(two({ fuse: FUSE }), "unsupported-conclusion")).toMatchObject([
      {
        severity: "error",
        step: "ground-bad",
        params: {
          fault: "ground-open",
          // By hand: 2×0.99, against other 1×0.99 and the fuse 5×0.02.
          probability: Number((1.98 / (1.98 + 0.99 + 0.1)).toPrecision(4)),
          rival: "other",
        },
        witness: [
          { step: "fuse", outcome: "whole" },
          { step: "ground", outcome: "open" },
        ],
      },
    ]);
  });

  it("knows that a cannot says nothing", () => {
    const procedure = two({ fuse: FUSE, ground: GROUND }, { cannot: "ground-bad" });
    expect(found(procedure, "unsupported-conclusion")).toMatchObject([
      { step: "ground-bad", witness: [{ step: "fuse" }, { step: "ground", outcome: "cannot" }] },
    ]);
  });

  it("sums the faults that are concluded together", () => {
    const steps = [
      ask(
        "fuse",
        { blown: "both", whole: "refer" },
        { evidence: evidence({ a: { blown: 0.98 }, b: { blown: 0.98 }, otherwise: { whole: 0.99 } }) },
      ),
      conclude("both", ["a", "b"], { goto: "refer" }),
      end("refer", "referred"),
    ];
    const procedure = build(steps, { faults: { a: 1, b: 1, other: 1 } });
    expect(found(procedure, "unsupported-conclusion")).toEqual([]);
    expect(found(procedure, "faults-not-told-apart")).toMatchObject([
      { severity: "note", params: { count: 2 } },
    ]);
  });

  it("counts only the latest result of a step", () => {
    // Going round replaces `whole` by `blown`: the second look is all that counts.
    const steps = [
      ask("fuse", { blown: "fuse-bad", whole: { goto: "ground" } }, { evidence: evidence(FUSE) }),
      ask("ground", { open: { goto: "fuse", atMost: 1, else: "refer" }, good: "refer" }),
      conclude("fuse-bad", "fuse-open", { verify: "again" }),
      ask("again", { yes: "mended", no: "refer" }),
      ...ENDS,
    ];
    const procedure = build(steps, { faults: { "fuse-open": 5, other: 1 } });
    expect(found(procedure, "unsupported-conclusion")).toEqual([]);
  });

  const reasons = (procedure: Procedure) =>
    found(procedure, "unsupported-conclusion").map((each) => [each.severity, each.step, each.params.why]);

  it("is a warning where it only shows after another repair failed", () => {
    const procedure = two(
      { fuse: FUSE, ground: GROUND },
      { back: { goto: "ground", atMost: 1, else: "refer" } },
    );
    // The blown fuse stays in the odds: under ground-open and other alike, so that the ground is still carried.
    expect(reasons(procedure)).toEqual([["warning", "ground-bad", "struck"]]);
    const stale = two(
      {
        fuse: { "fuse-open": { blown: 0.98 }, other: { blown: 0.9 }, otherwise: { whole: 0.99 } },
        ground: GROUND,
      },
      { back: { goto: "ground", atMost: 1, else: "refer" } },
    );
    expect(reasons(stale)).toContainEqual(["warning", "ground-bad", "after-conclusion"]);
  });

  it("asks for the proof that a called procedure wants inside the call, where that is more", () => {
    const steps = (certainty: number) => [
      { ...call("sub", "sub/fuse", { "fault-found": "refer" }), certainty } as Step,
      ask("sub/fuse", { blown: "sub/bad", whole: "refer" }, { scope: "sub/", evidence: evidence(FUSE) }),
      { ...conclude("sub/bad", "fuse-open", { goto: "refer" }), scope: "sub/" } as Step,
      ...ENDS,
    ];
    // 5 × .98 against 1 × .01: .998.
    const of = (certainty: number) =>
      found(build(steps(certainty), { faults: { "fuse-open": 5, other: 1 } }), "unsupported-conclusion");
    expect(of(0.99)).toEqual([]);
    expect(of(0.999)).toMatchObject([{ step: "sub/bad", params: { needed: 0.999, probability: 0.998 } }]);
    expect(of(0.1)).toEqual([]);
  });

  describe("where a fault is concluded once more after its repair did not help", () => {
    /** A look, its repair, and where the run goes from it and from a repair that failed. */
    const again = (found: Way, failed: Way, more: readonly Step[] = [], cannot?: string) =>
      build(
        [
          ask("fuse", { blown: found, whole: "refer" }, { evidence: evidence(FUSE) }),
          conclude("fuse-bad", "fuse-open", { verify: "again" }),
          ask("again", { yes: "mended", no: failed }, cannot === undefined ? {} : { cannot }),
          ...more,
          ...ENDS,
        ],
        { faults: { "fuse-open": 5, other: 1 } },
      );
    const back: Way = { goto: "fuse", atMost: 1, else: "refer" };

    it("is a warning that shows the way", () => {
      const told = found(again("fuse-bad", back), "unsupported-conclusion");
      expect(told).toMatchObject([{ severity: "warning", params: { why: "struck", probability: 0 } }]);
      expect(told[0]?.witness?.map(({ step, outcome }) => `${step} ${outcome}`)).toEqual([
        "fuse blown",
        "fuse-bad repaired",
        "again no",
        "fuse blown",
      ]);
    });

    it("is none where the branch to it is taken once, or the failed repair leads past it", () => {
      const once: Way = { goto: "fuse-bad", atMost: 1, else: "refer" };
      expect(reasons(again(once, back))).toEqual([]);
      expect(reasons(again("fuse-bad", "refer"))).toEqual([]);
    });

    it("is a note among more rounds than can be counted, where the way to it would break a bound", () => {
      // Each of ten steps is asked up to five times again: 6^10 ways of having counted.
      const ring = Array.from({ length: 10 }, (_, at) => {
        const next = at === 9 ? "fuse" : `s${at + 1}`;
        return ask(`s${at}`, { ok: next, more: { goto: `s${at}`, atMost: 5, else: next } });
      });
      const ringed = (found: Way) => again(found, { goto: "s0", atMost: 1, else: "refer" }, ring);
      expect(reasons(ringed("fuse-bad"))).toContainEqual(["warning", "fuse-bad", "struck"]);
      const once: Way = { goto: "fuse-bad", atMost: 1, else: "refer" };
      expect(reasons(ringed(once))).toEqual([["note", "fuse-bad", "not-proven"]]);
    });

    it("counts another conclusion of the same fault, also one without a repair", () => {
      const more = [conclude("for-others", "fuse-open", { goto: "refer" })];
      expect(reasons(again("fuse-bad", "for-others", more))).toEqual([["warning", "for-others", "struck"]]);
    });

    it("counts none where nobody could look whether the repair helped", () => {
      const more = [conclude("for-others", "fuse-open", { goto: "refer" })];
      expect(reasons(again("fuse-bad", "refer", more, "for-others"))).toEqual([]);
    });

    it("counts faults that two repairs struck, one each", () => {
      const steps = [
        ask(
          "sign",
          { a: "one", b: "refer" },
          { evidence: evidence({ f: { a: 0.9 }, otherwise: { b: 0.9 } }) },
        ),
        conclude("one", "f", { verify: "first" }),
        ask("first", { yes: "mended", no: "other" }),
        ask(
          "other",
          { c: "two", d: "refer" },
          { evidence: evidence({ g: { c: 0.9 }, otherwise: { d: 0.9 } }) },
        ),
        conclude("two", "g", { verify: "second" }),
        ask("second", { yes: "mended", no: "both" }),
        conclude("both", ["f", "g"], { goto: "refer" }),
        ...ENDS,
      ];
      // f has .9 × 10 against .1 × 2; then g has .1 × .9 against .1 × .1; then both have nothing.
      const procedure = build(steps, { faults: { f: 10, g: 1, h: 1 } });
      expect(reasons(procedure)).toEqual([["warning", "both", "after-conclusion"]]);
    });
  });

  it("does not count a fault whose repair did not help, whichever of two repairs it was", () => {
    const steps = [
      ask("sign", { a: "one", b: "two", c: "both" }, { evidence: evidence({ f: { a: 0.4, b: 0.4 } }) }),
      conclude("one", "f", { verify: "again" }),
      conclude("two", "f", { verify: "again" }),
      ask("again", { yes: "mended", no: "both" }),
      conclude("both", ["f", "g"], { goto: "refer" }),
      ...ENDS,
    ];
    // With f struck, g and its rival h stand one to one.
    const procedure = build(steps, { faults: { f: 30, g: 1, h: 1 } });
    expect(found(procedure, "unsupported-conclusion")).toMatchObject([
      { severity: "warning", step: "both", params: { probability: 0.5, why: "after-conclusion" } },
    ]);
  });

  it("is not decided where a failed repair leaves no fault that explains all answers", () => {
    const steps = [
      ask(
        "lamp",
        { lit: "one", dark: "refer" },
        { evidence: evidence({ f: { lit: 1 }, otherwise: { dark: 1 } }) },
      ),
      conclude("one", "f", { verify: "again" }),
      ask("again", { yes: "mended", no: "two" }),
      conclude("two", "g", { goto: "refer" }),
      ...ENDS,
    ];
    // Under g and h alike the lamp is never lit: 1 to 8 is what is left.
    const procedure = build(steps, { faults: { f: 1, g: 1, h: 8 } });
    expect(found(procedure, "unsupported-conclusion")).toMatchObject([
      { severity: "note", step: "two", params: { why: "all-struck" } },
    ]);
  });

  it("is not decided where a density is held against limits that only a run knows", () => {
    const reads = { mean: { value: 6, unit: "V" }, spread: { value: 1, unit: "V" } };
    const rows = evidence({ f: { within: 0.97 }, otherwise: { below: 0.98 } });
    const steps = [
      measureBy(
        "m",
        "s",
        { below: "refer", within: "bad" },
        { evidence: { ...rows, reads: new Map([["g", reads]]) } },
      ),
      conclude("bad", "f", { goto: "refer" }),
      end("refer", "referred"),
    ];
    const of = (open: boolean) =>
      found(
        build(steps, {
          faults: { f: 3, g: 3, other: 1 },
          specifications: [
            specification("s", open ? "" : "from 9 V", open ? { open: { unit: "V", limits: ["from"] } } : {}),
          ],
        }),
        "unsupported-conclusion",
      ).map(({ severity, params }) => [severity, params.why]);
    expect(of(true)).toEqual([["note", "limits-open"]]);
    // Six standard deviations below 9 V: g is never within it.
    expect(of(false)).toEqual([]);
  });

  it("goes by measured bands, with a reading in the witness", () => {
    const steps = [
      measure(
        "feed",
        { dead: ["under 1 V", "bad"], good: ["from 1 V", "refer"] },
        { evidence: evidence({ a: { dead: 0.5 } }) },
      ),
      conclude("bad", "a", { goto: "refer" }),
      end("refer", "referred"),
    ];
    expect(found(build(steps, { faults: { a: 1, b: 1 } }), "unsupported-conclusion")).toMatchObject([
      { params: { probability: 0.5 }, witness: [{ step: "feed", outcome: "dead", reading: "0.4 V" }] },
    ]);
  });
});

describe("fault-never-found", () => {
  it("names a fault without a conclusion that a run can come to, but never the one called other", () => {
    const procedure = two(
      { fuse: FUSE, ground: GROUND },
      { faults: { "fuse-open": 5, "ground-open": 2, lost: 1, other: 1 } },
    );
    expect(found(procedure, "fault-never-found").map((each) => each.params.fault)).toEqual(["lost"]);
  });
});

describe("faults-not-told-apart", () => {
  it("warns of faults under which every step answers alike", () => {
    const procedure = two(
      { fuse: FUSE, ground: GROUND },
      { faults: { "fuse-open": 5, "ground-open": 2, a: 1, b: 1 } },
    );
    expect(found(procedure, "faults-not-told-apart")).toMatchObject([
      { severity: "warning", params: { faults: "a, b" } },
    ]);
  });

  it("does not list faults that one step answers differently", () => {
    expect(found(two({ fuse: FUSE, ground: GROUND }), "faults-not-told-apart")).toEqual([]);
  });
});

describe("the evidence as written", () => {
  it.each([
    [{ a: { blown: 0.6, whole: 0.4 } }, 0],
    [{ a: { blown: 0.6, whole: 0.3 } }, 1],
    [{ a: { blown: 0.6, whole: 0.5 } }, 1],
    [{ a: { blown: 1.1 } }, 1],
    [{ otherwise: { blown: 0.5, whole: 0.6 } }, 1],
    [{ a: { blown: 0.6 } }, 0],
  ])("%j has %i rows that do not sum", (rows, count) => {
    expect(found(two({ fuse: rows as never, ground: GROUND }), "evidence-sum")).toHaveLength(count);
  });

  it("is noted where it is certain", () => {
    const procedure = two({ fuse: { "fuse-open": { blown: 1 } }, ground: GROUND });
    expect(found(procedure, "certain-evidence")).toMatchObject([
      { severity: "note", params: { fault: "fuse-open", outcome: "blown", share: 1 } },
    ]);
  });

  it("is missed on steps that decide before a conclusion, not on a verification", () => {
    expect(found(two({ fuse: FUSE }), "no-evidence").map((each) => [each.severity, each.step])).toEqual([
      ["warning", "ground"],
    ]);
  });
});
