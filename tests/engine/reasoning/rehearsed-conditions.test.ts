import { describe, expect, it } from "vitest";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { bulkProcedure } from "../../../engine/reasoning/bulk-procedure.ts";
import { expectedRun } from "../../../engine/reasoning/expected-run.ts";
import { rehearsal } from "../../../engine/reasoning/rehearse.ts";
import { library } from "../../trees.ts";
import { Job } from "../machine/job.ts";

/** A procedure over two faults with these steps, the first being `first`. */
function procedureOf(steps: string): Procedure {
  const text = `
procedure: parted-band
title: Parted band
revision: 1
complaint: It does not work.
faults:
  worn: { title: Worn, prior: 3, repair: mend }
  other: { title: Something else, prior: 1 }
repairs:
  mend: { minutes: 5, do: [{ say: Mend it. }] }
start: first
steps:
${steps}
  worn-bad: { conclude: worn, verify: works }
  works:
    ask: Does it work?
    answers: { "yes": { goto: fixed-end }, "no": { goto: hand-on } }
  fixed-end: { end: fixed }
  hand-on: { end: referred, say: Hand it on. }
`;
  const { procedure } = loadProcedure(text, "parted-band.yaml", library);
  if (procedure === undefined) throw new Error("does not load");
  return procedure;
}

function read(reads: string, condition: string, unit = "unit: Ohm"): Procedure {
  return procedureOf(`
  first:
    measure: resistance
    say: Across it.
    ${unit}
    bands:
      low: { under: 10 Ohm, goto: hand-on }
      middle: { from: 10 Ohm, under: 20 Ohm, then: [{ if: '${condition}', goto: worn-bad }, { goto: hand-on }] }
      high: { from: 20 Ohm, goto: hand-on }
    evidence:
      worn: { reads: ${reads} }
      otherwise: { high: 1 }`);
}

/** Shares of 2,000 rehearsed runs that end right and that end nowhere, among those with the fault `worn`. */
function rehearsed(procedure: Procedure) {
  const run = rehearsal(bulkProcedure(procedure), { seed: 3, slips: 0 });
  run.run(0, 2_000);
  const [right = 0, , unresolved = 0] = run.counts.faults[0]?.endings ?? [];
  return { right, unresolved };
}

function endOf(procedure: Procedure, reading: string): string | undefined {
  const job = new Job(procedure);
  job.say("first", reading);
  return job.run.step;
}

describe("a condition of a rehearsed run", () => {
  it.each(["reading > 15.0", 'readings["first"] > 15.0', 'values["first"] > 15.0'])(
    "goes by the reading that was drawn, as in a run: %s",
    (condition) => {
      const above = read("17 Ohm ± 0.2 Ohm", condition);
      const below = read("12 Ohm ± 0.2 Ohm", condition);
      expect(rehearsed(above).unresolved).toBe(0);
      expect(rehearsed(below).right).toBe(0);
      expect([endOf(above, "17 Ohm"), endOf(above, "12 Ohm")]).toEqual(["worn-bad", "hand-on"]);
    },
  );

  it("sees a reading in the unit that it is typed in, a value in that of the bands", () => {
    const unit = "unit: Ohm\n    reading-unit: kOhm";
    expect(rehearsed(read("17 Ohm ± 0.2 Ohm", "reading > 0.015", unit)).unresolved).toBe(0);
    expect(rehearsed(read("17 Ohm ± 0.2 Ohm", "reading > 0.018", unit)).right).toBe(0);
    expect(rehearsed(read("17 Ohm ± 0.2 Ohm", 'values["first"] > 15.0', unit)).unresolved).toBe(0);
  });

  it("is not reckoned exactly where it hangs on such a reading, its own step's included", () => {
    for (const condition of ["reading > 15.0", 'readings["first"] > 15.0'])
      expect(expectedRun(bulkProcedure(read("17 Ohm ± 0.2 Ohm", condition)))).toEqual({
        ok: false,
        why: "readings-decide",
      });
  });

  it("takes any arm alike where only the band of a reading is known", () => {
    const procedure = procedureOf(`
  first:
    measure: resistance
    say: Across it.
    unit: Ohm
    bands:
      low: { under: 10 Ohm, goto: hand-on }
      high: { from: 10 Ohm, then: [{ if: "reading > 15.0", goto: worn-bad }, { goto: hand-on }] }
    evidence:
      worn: { high: 1 }
      otherwise: { low: 1 }`);
    const expected = expectedRun(bulkProcedure(procedure));
    expect(expected.ok && expected.perFault[0]?.endings).toEqual([0.5, 0, 0.5]);
    const { right, unresolved } = rehearsed(procedure);
    expect(right / (right + unresolved)).toBeCloseTo(0.5, 1);
  });

  /** `second` asks for a reading that is taken only where `first` says `no`. */
  const skipped = (condition: string) =>
    procedureOf(`
  first:
    ask: Is it warm?
    answers: { "yes": { goto: second }, "no": { goto: third } }
    evidence:
      worn: { "yes": 1 }
      otherwise: { "no": 1 }
  third:
    measure: resistance
    say: Across it.
    unit: Ohm
    bands: { low: { under: 10 Ohm, goto: second }, high: { from: 10 Ohm, goto: second } }
  second:
    do: Shake it.
    done: { then: [{ if: '${condition}', goto: hand-on }, { goto: worn-bad }] }`);

  it("finds a reading that was not taken missing, as in a run", () => {
    const unguarded = skipped("readings.third > 1.0");
    const guarded = skipped('"third" in readings');
    const job = (procedure: Procedure) => {
      const one = new Job(procedure);
      one.say("first", "yes").ready();
      one.give({ type: "done", step: "second" });
      return one.run;
    };
    expect(job(unguarded).end).toBe("unresolved");
    expect(job(guarded).step).toBe("worn-bad");
    expect(rehearsed(unguarded).right).toBe(0);
    expect(rehearsed(guarded).unresolved).toBe(0);
    for (const [procedure, endings] of [
      [unguarded, [0, 0, 1]],
      [guarded, [1, 0, 0]],
    ] as const) {
      const expected = expectedRun(bulkProcedure(procedure));
      expect(expected.ok && expected.perFault[0]?.endings).toEqual(endings);
    }
  });
});
