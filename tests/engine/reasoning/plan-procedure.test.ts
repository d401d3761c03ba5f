import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { bulkProcedure } from "../../../engine/reasoning/bulk-procedure.ts";
import { expectedRun } from "../../../engine/reasoning/expected-run.ts";
import { bestPlan } from "../../../engine/reasoning/plan/best-plan.ts";
import { followed, foundByWays, lostFaults } from "../../../engine/reasoning/plan/found-shares.ts";
import { bestMoves, withMoves } from "../../../engine/reasoning/plan/moves.ts";
import { type ProcedurePlan, procedurePlan } from "../../../engine/reasoning/plan/plan-problem.ts";
import { planned } from "../../../engine/reasoning/plan/plan-report.ts";
import { planText } from "../../../engine/reasoning/plan/plan-text.ts";
import { writtenPlan } from "../../../engine/reasoning/plan/written-plan.ts";
import { meanMinutes, writtenWays } from "../../../engine/reasoning/plan/written-ways.ts";
import { rehearsal } from "../../../engine/reasoning/rehearse.ts";
import { SHIPPED, shippedProcedure, TREES } from "../../trees.ts";
import { checked } from "../soundness/seeded/checked.ts";
import type { SoundCase } from "../soundness/seeded/parts.ts";
import { SOUND } from "../soundness/seeded/suite.ts";

const testOf = ({ problem }: ProcedurePlan, id: string) => problem.tests.findIndex((test) => test.id === id);
const sumOf = (numbers: Float64Array) => numbers.reduce((sum, each) => sum + each, 0);

describe("the written order, walked exactly", () => {
  it.each(SHIPPED)(
    "takes what the expectation of a rehearsal says of %s, which is reckoned fault by fault",
    (id) => {
      const bulk = bulkProcedure(shippedProcedure(id));
      const expected = expectedRun(bulk);
      if (!expected.ok) throw new Error(expected.why);
      expect(meanMinutes(writtenWays(bulk))).toBeCloseTo(expected.minutes, 6);
    },
  );

  it.each(SHIPPED)("takes what rehearsal measures of %s", (id) => {
    const bulk = bulkProcedure(shippedProcedure(id));
    const ways = writtenWays(bulk);
    expect(ways.reduce((sum, { weights }) => sum + sumOf(weights), 0)).toBeCloseTo(1, 6);
    const mean = meanMinutes(ways);
    const square = ways.reduce((sum, way) => sum + sumOf(way.weights) * (way.minutes - mean) ** 2, 0);
    const runs = 20_000;
    const rehearsed = rehearsal(bulk, { seed: 5, slips: 0 });
    rehearsed.run(0, runs);
    let minutes = 0;
    for (const fault of rehearsed.counts.faults)
      for (const [thousandths, count] of fault.minutes) minutes += (thousandths / 1000) * count;
    // Within four standard errors of the mean.
    expect(Math.abs(minutes / runs - mean)).toBeLessThan(4 * Math.sqrt(square / runs));
  });
});

describe("the plan of a shipped procedure", () => {
  it.each(SHIPPED)("keeps the steps of %s that have to wait for others behind them", (id) => {
    const plan = procedurePlan(shippedProcedure(id));
    for (const { after, id: test } of plan.problem.tests) expect(after).not.toContain(testOf(plan, test));
    for (const { outcomes, id: test } of plan.problem.tests)
      for (const fault of plan.problem.weights.keys())
        expect([test, outcomes.reduce((sum, { chances }) => sum + (chances[fault] ?? 0), 0)]).toEqual([
          test,
          expect.closeTo(1, 9),
        ]);
  });

  it("makes a test that rests on another after it, a charge a step of its own that stays, a call one test", () => {
    const crank = procedurePlan(shippedProcedure("slow-crank"));
    const negative = crank.problem.tests[testOf(crank, "negative-clamp")];
    // Cranking comes first: it shows its caution before anything is taken apart.
    expect(negative?.after).toEqual([testOf(crank, "cranks"), testOf(crank, "positive-clamp")]);
    const charge = testOf(crank, "charge");
    expect(crank.problem.tests[charge]?.outcomes.map(({ minutes }) => minutes)).toEqual([182]);
    expect(crank.stays[charge]).toBe("act");
    const gate = procedurePlan(shippedProcedure("gate-lift-does-not-lower"));
    const plug = gate.problem.tests[testOf(gate, "inspect-end")];
    expect(plug?.outcomes.map(({ id, ends }) => [id, ends])).toEqual([
      ["clean/grips", false],
      ["clean/loose", true],
      ["corroded", true],
    ]);
  });

  it("names the step that only “can't be done” leads to, and leaves it out", () => {
    const crank = procedurePlan(shippedProcedure("slow-crank"));
    expect(testOf(crank, "crank-volts")).toBe(-1);
    expect(crank.left).toEqual(["crank-volts"]);
  });

  it.each(SHIPPED)("of %s is proven, finds as much, and no move goes below it", (id) => {
    const plan = procedurePlan(shippedProcedure(id));
    const best = bestPlan(plan.problem);
    const written = meanMinutes(plan.written);
    expect(best.exact).toBe(true);
    expect(best.minutes).toBeLessThanOrEqual(written);
    // What the house asks of its own procedures.
    expect(written).toBeLessThan(1.15 * best.minutes);
    const asWritten = withMoves(best.space, []);
    expect(asWritten?.minutes).toBeCloseTo(written, 9);
    const found = followed(best.space, best.policy);
    if (asWritten === undefined || found === undefined) throw new Error("too large");
    expect(lostFaults(found, asWritten)).toEqual([]);
    const moves = bestMoves(best.space, foundByWays(plan.bulk, plan.written));
    const saved = moves.reduce((sum, { saves }) => sum + saves, 0);
    const moved = withMoves(best.space, moves);
    expect(moved?.minutes).toBeCloseTo(written - saved, 9);
    expect(moved?.minutes).toBeGreaterThanOrEqual(best.minutes - 1e-9);
  });
});

describe("an order that can go round for ever", () => {
  it("has no best one", () => {
    const look = { id: "looks-for-ever", text: LOOKS_FOR_EVER };
    const { procedure } = checked(look);
    if (procedure === undefined) throw new Error("does not load");
    expect(planned(procedure)).toBeUndefined();
  });
});

const LOOKS_FOR_EVER = `
procedure: looks-for-ever
title: Looks for ever
revision: 1
complaint: It hums.
faults:
  loose: { title: Loose, prior: 1 }
  other: { title: Something else, prior: 1 }
start: look
steps:
  look: { do: Look at it., done: { goto: hum } }
  hum:
    ask: Does it hum?
    answers: { hums: { goto: look }, still: { goto: handed-on } }
    evidence: { loose: { hums: 0.9 }, otherwise: { still: 0.9 } }
  handed-on: { end: referred }
`;

describe("the best order as a text", () => {
  const rewritten = (one: SoundCase) => {
    const { id, text } = one;
    const before = checked(one);
    const procedure = before.withSheets[0] ?? before.procedure;
    if (procedure === undefined) throw new Error(`${id} does not load`);
    const both = planned(procedure, { exact: 10_000_000, tried: 2_000_000 });
    if (both === undefined) throw new Error(`${id} goes round for ever`);
    const made = planText(text, both.plan, writtenPlan(both.plan, both.best), `${id}-best`);
    if (!made.ok) return { both, refused: made.why };
    return { both, again: checked({ ...one, id: `${id}-best`, text: made.text }) };
  };
  const read = (name: string) => readFileSync(`${TREES}${name}.yaml`, "utf8");
  const called = { "inspect-connector": read("inspect-connector") };
  const sheets = {
    "heron-35": read("equipment/heron-35"),
    curlew: read("equipment/curlew"),
    "bittern-120": read("equipment/bittern-120"),
  };

  it.each(["gate-lift-does-not-lower", "slow-crank"])("of %s holds, and takes what the plan says", (id) => {
    const { both, again } = rewritten({ id, text: read(id), called, sheets });
    if (again === undefined) throw new Error("not written");
    expect(again.findings.filter(({ severity }) => severity === "error")).toEqual([]);
    const procedure = again.withSheets[0];
    if (procedure === undefined) throw new Error("no sheet");
    const minutes = meanMinutes(writtenWays(bulkProcedure(procedure)));
    const { plan, best } = both;
    expect(minutes).toBeCloseTo(best.minutes, 0);
    // Cautions, repairs and set-ups are all still there.
    const before = plan.bulk.procedure;
    for (const part of ["cautions", "repairs", "setUps", "faults"] as const)
      expect([...procedure[part].keys()]).toEqual([...before[part].keys()]);
  });

  it("of every procedure of the suite holds too, those left out that hang on a condition", () => {
    const made = SOUND.map((one) => ({ id: one.id, ...rewritten(one) }));
    const failing = made.filter(({ again }) => again?.findings.some(({ severity }) => severity === "error"));
    expect(failing.map(({ id }) => id)).toEqual([]);
    const refused = made.filter((one) => "refused" in one);
    expect(new Set(refused.map((one) => one.refused))).toEqual(new Set(["condition"]));
    expect(refused.length).toBeLessThan(made.length / 4);
  });
});
