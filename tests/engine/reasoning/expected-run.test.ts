import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { bulkProcedure } from "../../../engine/reasoning/bulk-procedure.ts";
import { type ExpectedRun, expectedRun } from "../../../engine/reasoning/expected-run.ts";
import { meanMinutes, writtenWays } from "../../../engine/reasoning/plan/written-ways.ts";
import { meanOf } from "../../../engine/reasoning/rehearsal-counts.ts";
import { rehearsal } from "../../../engine/reasoning/rehearse.ts";
import { library, SHIPPED, shippedProcedure } from "../../trees.ts";
import { randomTexts } from "../random-procedure.ts";

const READ = `
procedure: read-twice
title: Read twice
revision: 1
complaint: It does not work.
instruments:
  meter:
    title: Meter
    accuracy: { resistance: { reading: 2 %, counts: 3, resolution: 0.1 Ohm } }
faults:
  part-open: { title: Part open, prior: 3, repair: fit-part }
  part-aged: { title: Part aged, prior: 2, repair: fit-part }
  other: { title: Something else, prior: 1 }
repairs:
  fit-part: { minutes: 20, cost: 45, do: [{ say: Fit it. }] }
set-ups:
  plug-apart: { do: Plug apart., minutes: 4, put-back: { do: Plug in., minutes: 1 } }
start: winding
steps:
  winding:
    measure: resistance
    say: Across the winding.
    unit: Ohm
    with: meter
    needs: [plug-apart]
    bands:
      low: { under: 10 Ohm, goto: end-other }
      high: { from: 10 Ohm, under: 30 Ohm, goto: aged }
      open: { from: 30 Ohm, goto: opened }
    borderline: { goto: winding, at-most: 2 }
    evidence:
      part-open: { reads: 31 Ohm ± 3 Ohm }
      part-aged: { reads: 10.5 Ohm ± 0.5 Ohm }
      otherwise: { low: 0.9 }
  aged: { conclude: part-aged, verify: works }
  opened: { conclude: part-open, verify: works }
  works:
    ask: Does it work?
    answers: { "yes": { goto: end-fixed }, "no": { goto: end-other } }
  end-fixed: { end: fixed }
  end-other: { end: referred, say: Hand it on. }
`;

function exact(procedure: Procedure, slips = 0): ExpectedRun {
  const expected = expectedRun(bulkProcedure(procedure), { slips });
  if (!expected.ok) throw new Error(expected.why);
  return expected;
}

/** Standard errors between a count of `runs` draws and its chance; a chance of 0 or 1 allows no other count. */
function errorsOff(count: number, runs: number, chance: number): number {
  const error = Math.sqrt(Math.max(0, chance * (1 - chance)) * runs);
  const off = Math.abs(count - runs * chance);
  return off < 1e-6 * runs ? 0 : off / Math.max(error, 0.5);
}

/** The largest difference between rehearsal and expectation, in standard errors, and what is compared. */
function largestDifference(procedure: Procedure, runs: number, slips: number, seed = 11) {
  const bulk = bulkProcedure(procedure);
  const rehearsed = rehearsal(bulk, { seed, slips });
  rehearsed.run(0, runs);
  const { counts } = rehearsed;
  const expected = exact(procedure, slips);
  const compared: { what: string; off: number }[] = [];
  const meanOff = (minutes: ReadonlyMap<number, number>, of: number, mean: number) => {
    let squares = 0;
    let sum = 0;
    for (const [thousandths, count] of minutes) {
      sum += (thousandths / 1000) * count;
      squares += (thousandths / 1000 - mean) ** 2 * count;
    }
    // Half a thousandth is what rounding may do.
    return Math.max(0, Math.abs(sum / of - mean) - 5e-4) / Math.max(Math.sqrt(squares / of / of), 1e-4);
  };
  const all = new Map<number, number>();
  const endings = [0, 0, 0];
  for (const [fault, mine] of counts.faults.entries()) {
    const one = expected.perFault[fault];
    if (one === undefined) continue;
    const of = mine.endings.reduce((sum, count) => sum + count, 0);
    compared.push({ what: `prior of ${fault}`, off: errorsOff(of, runs, one.prior) });
    for (const [minutes, count] of mine.minutes) all.set(minutes, (all.get(minutes) ?? 0) + count);
    for (const [ending, count] of mine.endings.entries()) {
      endings[ending] = (endings[ending] ?? 0) + count;
      compared.push({
        what: `fault ${fault} ending ${ending}`,
        off: errorsOff(count, of, one.endings[ending] ?? 0),
      });
    }
    const cost = meanOf(mine.costs, 0, of);
    if (of > 50)
      compared.push({
        what: `cost of ${fault}`,
        off: Math.abs(cost.mean / 100 - one.cost) / Math.max(cost.error / 100, 0.5),
      });
    if (of > 0) compared.push({ what: `minutes of ${fault}`, off: meanOff(mine.minutes, of, one.minutes) });
  }
  for (const [ending, count] of endings.entries())
    compared.push({ what: `ending ${ending}`, off: errorsOff(count, runs, expected.endings[ending] ?? 0) });
  compared.push({ what: "minutes", off: meanOff(all, runs, expected.minutes) });
  for (const [row, one] of expected.perRow.entries()) {
    const of = [0, 1, 2].map((ending) => counts.endings[3 * row + ending] ?? 0);
    const taken = of.reduce((sum, count) => sum + count, 0);
    if (taken > 1) {
      const { mean, error } = meanOf(counts.minutes, 3 * row, taken);
      const off = Math.max(0, Math.abs(mean / 1000 - one.minutes / one.chance) - 5e-4);
      compared.push({ what: `minutes of row ${row}`, off: off / Math.max(error / 1000, 0.05) });
    }
    compared.push({ what: `row ${row}`, off: errorsOff(taken, runs, one.chance) });
    for (const [ending, count] of of.entries())
      compared.push({
        what: `row ${row} ending ${ending}`,
        off: errorsOff(count, runs, one.endings[ending] ?? 0),
      });
  }
  return compared.reduce((most, one) => (one.off > most.off ? one : most));
}

describe("the exact expectation", () => {
  it.each(SHIPPED)("is what 200,000 rehearsed runs of %s come to, by fault and by branch", (id) => {
    const procedure = shippedProcedure(id);
    // Several hundred comparisons, each off by more than 4.5 standard errors once in 150,000.
    expect(largestDifference(procedure, 200_000, 0).off).toBeLessThan(4.5);
  });

  it("is what rehearsed runs with slips come to", () => {
    expect(largestDifference(shippedProcedure("gate-lift-does-not-lower"), 100_000, 0.1).off).toBeLessThan(
      4.5,
    );
  });

  it("is what rehearsed runs of random procedures come to", () => {
    let compared = 0;
    fc.assert(
      fc.property(randomTexts(), fc.constantFrom(0, 0.2), ({ text, called }, slips) => {
        const { procedure } = loadProcedure(text, "random-one.yaml", {
          procedure: (id) => (id === "random-called" ? called : undefined),
          equipment: () => undefined,
        });
        if (procedure === undefined) return;
        expect(largestDifference(procedure, 4_000, slips).off).toBeLessThan(5.5);
        compared += 1;
      }),
      { numRuns: 70, seed: 7 },
    );
    expect(compared).toBeGreaterThan(50);
  });

  it("is what rehearsed readings come to, too close ones read again and then decided", () => {
    const { procedure } = loadProcedure(READ, "read-twice.yaml", library);
    if (procedure === undefined) throw new Error("does not load");
    expect(largestDifference(procedure, 100_000, 0).off).toBeLessThan(4.5);
    const borderline = bulkProcedure(procedure).branches.findIndex(({ outcome }) => outcome === "borderline");
    expect(exact(procedure).perRow[2 * borderline]?.chance).toBeGreaterThan(0.1);
  });

  it.each(SHIPPED)("has the same minutes for %s as all its ways walked one by one", (id) => {
    const procedure = shippedProcedure(id);
    expect(meanMinutes(writtenWays(bulkProcedure(procedure)))).toBeCloseTo(exact(procedure).minutes, 9);
  });

  it("has chances that sum to one", () => {
    for (const id of SHIPPED) {
      const { endings, perFault } = exact(shippedProcedure(id));
      expect(endings.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 9);
      expect(perFault.reduce((sum, { prior }) => sum + prior, 0)).toBeCloseTo(1, 12);
    }
  });

  it("says so where there are more states than allowed", () => {
    const bulk = bulkProcedure(shippedProcedure("gate-lift-does-not-lower"));
    expect(expectedRun(bulk, { mostStates: 50 })).toEqual({ ok: false, why: "too-many-states" });
  });
});
