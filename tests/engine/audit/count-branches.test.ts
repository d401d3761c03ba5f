import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type BranchTally, countBranches } from "../../../engine/audit/count-branches.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";

/** A step and outcomes named like things every object has. */
const TEXT = `
procedure: lamp-stays-dark
title: Lamp stays dark
revision: 2
complaint: The lamp does not light.
start: constructor
steps:
  constructor:
    ask: Does the lamp stay dark?
    answers:
      __proto__: { goto: feed }
      "no": { goto: lit, at-most: 1, else: refer }
  feed:
    measure: voltage
    say: Red lead to the lamp's feed, black lead to ground.
    unit: V
    bands:
      dead: { under: 10 V, goto: refer }
      good: { from: 10 V, goto: refer }
  lit: { end: no-fault-found }
  refer: { end: referred }
`;

function lamp(): Procedure {
  const { procedure, findings } = loadProcedure(TEXT, "lamp-stays-dark.yaml", {
    procedure: () => undefined,
    equipment: () => undefined,
  });
  if (procedure === undefined) throw new Error(JSON.stringify(findings));
  return procedure;
}

const procedure = lamp();
const branchOf = (tallies: readonly BranchTally[], step: string, outcome: string) =>
  countBranches(procedure, tallies, []).branches.find(
    (each) => each.step === step && each.outcome === outcome,
  );

describe("the audit of a procedure", () => {
  it("has every branch in the order written, never-taken ones included", () => {
    const { branches } = countBranches(procedure, [], []);
    expect(branches.map(({ step, outcome, origin, count }) => [step, outcome, origin, count])).toEqual([
      ["constructor", "__proto__", "written", 0],
      ["constructor", "no", "written", 0],
      ["constructor", "cannot", "implied", 0],
      ["constructor", "stop", "implied", 0],
      ["feed", "dead", "written", 0],
      ["feed", "good", "written", 0],
      ["feed", "cannot", "implied", 0],
      ["feed", "stop", "implied", 0],
    ]);
    expect(branches.every((each) => each.share === undefined && each.median === undefined)).toBe(true);
  });

  it("counts a branch with its share of the step's outcomes, its interval and its exact median time", () => {
    const taken = [
      { step: "constructor", outcome: "__proto__", seconds: 10, count: 2 },
      { step: "constructor", outcome: "__proto__", seconds: 31, count: 1 },
      { step: "constructor", outcome: "__proto__", count: 3 },
      { step: "constructor", outcome: "no", seconds: 5, count: 2 },
      { step: "feed", outcome: "good", seconds: 60, count: 1 },
      { step: "feed", outcome: "good", seconds: 61, count: 1 },
    ];
    expect(branchOf(taken, "constructor", "__proto__")).toMatchObject({ count: 6, share: 0.75, median: 10 });
    expect(branchOf(taken, "constructor", "no")).toMatchObject({ count: 2, share: 0.25, median: 5 });
    expect(branchOf(taken, "constructor", "cannot")).toMatchObject({ count: 0, share: 0 });
    expect(branchOf(taken, "feed", "good")).toMatchObject({ share: 1, median: 60.5, interval: { high: 1 } });
  });

  it("names every step that a branch may lead to", () => {
    expect(branchOf([], "constructor", "no")?.goto).toEqual(["lit", "refer"]);
  });

  it("shows behind the others what was counted under a text that had it", () => {
    const { branches } = countBranches(
      procedure,
      [
        { step: "constructor", outcome: "perhaps", seconds: 5, count: 1 },
        { step: "gone", outcome: "yes", seconds: 7, count: 2 },
        { step: "constructor", outcome: "no", seconds: 5, count: 1 },
      ],
      [],
    );
    expect(branches.slice(-2)).toMatchObject([
      { step: "constructor", outcome: "perhaps", origin: "gone", count: 1, share: 0.5, goto: [] },
      { step: "gone", outcome: "yes", origin: "gone", count: 2, share: 1, median: 7 },
    ]);
  });

  it("counts runs, how they ended, and how long the ended ones took", () => {
    const audit = countBranches(
      procedure,
      [],
      [
        { count: 4 },
        { end: "referred", seconds: 600, count: 2 },
        { end: "no-fault-found", seconds: 120, count: 1 },
        { end: "stopped", count: 1 },
      ],
    );
    expect(audit).toMatchObject({
      procedure: "lamp-stays-dark",
      revision: 2,
      runs: 8,
      ended: 4,
      medianMinutes: 10,
    });
    expect(audit.ends.filter((each) => each.count > 0)).toEqual([
      { end: "no-fault-found", count: 1 },
      { end: "referred", count: 2 },
      { end: "stopped", count: 1 },
    ]);
    expect(countBranches(procedure, [], [{ count: 1 }]).medianMinutes).toBeUndefined();
  });

  it("is the same for traversals one by one and rolled up in any order", () => {
    const one = fc.record({
      step: fc.constantFrom("constructor", "feed", "gone"),
      outcome: fc.constantFrom("__proto__", "no", "dead", "good"),
      seconds: fc.option(fc.nat(20), { nil: undefined }),
    });
    fc.assert(
      fc.property(fc.array(one, { maxLength: 60 }), (each) => {
        const single = each.map(({ seconds, ...rest }) => ({
          ...rest,
          ...(seconds === undefined ? {} : { seconds }),
          count: 1,
        }));
        const rolled = new Map<string, BranchTally>();
        for (const tally of single) {
          const key = JSON.stringify([tally.step, tally.outcome, tally.seconds ?? null]);
          rolled.set(key, { ...tally, count: (rolled.get(key)?.count ?? 0) + 1 });
        }
        const audits = [single, [...rolled.values()].reverse()].map(
          (tallies) => countBranches(procedure, tallies, []).branches,
        );
        const known = audits.map((branches) => branches.filter((branch) => branch.origin !== "gone"));
        expect(known[1]).toEqual(known[0]);
        expect(new Set(audits[1]?.map((branch) => JSON.stringify(branch)))).toEqual(
          new Set(audits[0]?.map((branch) => JSON.stringify(branch))),
        );
        expect(audits[0]?.reduce((sum, branch) => sum + branch.count, 0)).toBe(each.length);
      }),
    );
  });
});
