import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { keepUnchanged } from "../../../engine/procedure/keep-unchanged.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { analyse } from "../../../engine/soundness/analysis.ts";
import { evidenceTable } from "../../../engine/soundness/evidence-table.ts";
import { leftAlone } from "../../../engine/soundness/left-alone.ts";
import { type Bound, leastProbabilities } from "../../../engine/soundness/proven.ts";
import { isConclusion } from "../../../engine/soundness/step-lists.ts";
import { waysToConclusions } from "../../../engine/soundness/ways-to-conclusions.ts";
import { ask, build, conclude, end, evidence } from "./build-procedure.ts";
import { editedProcedure } from "./edited-procedure.ts";
import { randomProcedure } from "./random-procedure.ts";

/** The bound over all ways to every conclusion, or those of some names, with what an earlier one has taken over. */
function bounded(procedure: Procedure, earlier?: Bound, names?: readonly string[]): Bound {
  const analysis = analyse(procedure);
  const { flow, steps } = analysis;
  const conclusions = steps.where(isConclusion).filter(({ step }) => names?.includes(step.id) ?? true);
  const asked = new Set(conclusions.map(({ index }) => index));
  const ways = waysToConclusions(analysis, asked, ({ leaves }) => leaves !== true);
  return leastProbabilities(analysis, evidenceTable(flow), ways, earlier);
}

/** Both bounds of a procedure edited some times, and how many components were left alone by the edits, of how many. */
function boundedBoth(texts: readonly Procedure[]) {
  let last: Bound | undefined;
  let [alone, all] = [0, 0];
  for (const text of texts) {
    const now = bounded(text, last);
    const marks = last && last.flow.out === now.flow.out ? leftAlone(last, now) : [];
    alone += marks.filter((mark: number) => mark === 1).length;
    all += marks.length;
    last = now;
    expect(now.least).toEqual(bounded(text).least);
  }
  return { alone, all };
}

describe("a bound that takes over what an edit left alone", () => {
  it("is the bound reckoned anew", () => {
    let [alone, all] = [0, 0];
    const edits = fc.array(fc.tuple(fc.nat(), fc.boolean(), fc.nat(7)), { minLength: 3, maxLength: 5 });
    fc.assert(
      fc.property(randomProcedure(), randomProcedure(), edits, (first, other, changes) => {
        const beside = { ...other, faults: first.faults };
        const texts = [first];
        for (const [at, branch, begin] of changes) {
          const edited = editedProcedure(texts.at(-1) ?? first, beside, at, branch);
          const steps = begin === 1 ? new Map([...edited.steps].reverse()) : edited.steps;
          const start = [...first.steps.keys()][begin === 0 ? 1 : 0] ?? first.start;
          texts.push({ ...edited, steps, start });
        }
        const found = boundedBoth(texts);
        alone += found.alone;
        all += found.all;
      }),
      { numRuns: 2_000 },
    );
    expect(alone).toBeGreaterThan(all / 4);
    expect(all - alone).toBeGreaterThan(all / 10);
  });

  const ENDS = [end("refer", "referred"), end("mended", "fixed"), end("none", "no-fault-found")];
  const TELLS = { evidence: evidence({ f0: { yes: 0.9 }, f1: { yes: 0.1 }, otherwise: { yes: 0.5 } }) };
  const FAULTS = { faults: { f0: 1, f1: 1, f2: 1 } };
  /** Proves a repair or leads on to another conclusion; `stays` is no part of the ways to it. */
  const verified = (stays: string, cannot = "none") => [
    ask("proves", { yes: "mended", no: "next" }, TELLS),
    ask("next", { one: stays, two: "last" }, { cannot }),
    conclude("last", "f1", { goto: "refer" }),
    ...ENDS,
  ];

  const repairedApart = [
    ask("which", { yes: "first", no: "other" }, TELLS),
    conclude("first", "f0", { verify: "proves" }),
    conclude("other", "f2", { verify: "too" }),
    ask("too", { yes: "mended", no: "next" }),
  ];

  it.each([
    [
      "a failed verification strikes a fault",
      [...repairedApart, ...verified("mended")],
      [...repairedApart, ...verified("none")],
    ],
    [
      "a verification is left without having failed",
      [
        ask("which", { yes: "first", no: "other" }),
        conclude("first", "f0", { verify: "proves" }),
        conclude("other", "f2", { verify: "proves" }),
        ...verified("mended", "last"),
      ],
      [
        ask("which", { yes: "first", no: "other" }),
        conclude("first", "f0", { verify: "proves" }),
        conclude("other", "f2", { verify: "proves" }),
        ...verified("none", "last"),
      ],
    ],
    [
      "an arm leads on where another answer did",
      [
        ask(
          "proves",
          {
            yes: {
              arms: [
                ["x", "none"],
                [undefined, "last"],
              ],
            },
            no: "last",
          },
          TELLS,
        ),
        ...verified("none").slice(2),
      ],
      [
        ask(
          "proves",
          {
            yes: "none",
            no: {
              arms: [
                ["x", "last"],
                [undefined, "last"],
              ],
            },
          },
          TELLS,
        ),
        ...verified("none").slice(2),
      ],
    ],
  ])("takes nothing over where, by the edit, %s", (_, older, newer) => {
    const before = build(older, FAULTS);
    const now = keepUnchanged(before, { ...before, steps: build(newer, FAULTS).steps });
    expect(bounded(now, bounded(before)).least).toEqual(bounded(now).least);
    expect(bounded(now).least).not.toEqual(bounded(before).least);
  });

  it("makes its trees anew when they have grown by earlier texts, and is still the same", () => {
    const texts = Array.from({ length: 30 }, (_, at) =>
      build(
        [
          ask("looks", { yes: "also", no: "also" }, { evidence: evidence({ f0: { yes: 0.5 + at / 100 } }) }),
          ask("also", { yes: "last", no: "none" }, TELLS),
          ...verified("none").slice(2),
        ],
        FAULTS,
      ),
    );
    let text = texts[0] ?? build([], FAULTS);
    let last: Bound | undefined;
    let most = 0;
    for (const { steps } of texts) {
      text = keepUnchanged(text, { ...text, steps });
      last = bounded(text, last);
      most = Math.max(most, last.odds.trees.count / last.nodes);
      expect(last.least).toEqual(bounded(text).least);
    }
    expect(most).toBeGreaterThan(3);
    expect(most).toBeLessThan(6);
  });

  it("tells of conclusions that were not asked about before", () => {
    const text = build([...repairedApart, ...verified("mended")], FAULTS);
    const earlier = bounded(text, undefined, ["last"]);
    expect(bounded(text, earlier).least).toEqual(bounded(text).least);
    expect(bounded(text).least.size).toBe(earlier.least.size + 2);
  });
});
