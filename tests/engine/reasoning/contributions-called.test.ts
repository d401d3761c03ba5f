import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import { normalCdf } from "../../../engine/quantity/normal.ts";
import { contributions } from "../../../engine/reasoning/contributions.ts";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { Job } from "../machine/job.ts";

interface Figures {
  readonly priors: readonly number[];
  readonly mean: number;
  readonly deviation: number;
  readonly slips: number;
  /** With an instrument, readings may be too close to call, and are decided all the same. */
  readonly metered: boolean;
}

function jobOf({ priors, mean, deviation, slips, metered }: Figures): Job {
  const [worn, other, loose] = priors;
  const outer = `
procedure: outer
title: Outer
revision: 1
complaint: It fails.
instruments:
  meter: { title: Meter, accuracy: { voltage: { reading: 2 %, counts: 3, resolution: 0.1 V } } }
faults:
  worn: { title: Worn, prior: ${worn} }
  other: { title: Something else, prior: ${other} }
start: first
steps:
  first:
    measure: voltage
    say: At the pin.
    unit: V
    ${metered ? "with: meter" : ""}
    bands:
      low: { under: 5 V, goto: look }
      middle: { from: 5 V, under: 9 V, goto: look }
      high: { from: 9 V, goto: look }
    evidence:
      worn: { reads: ${mean} V ± ${2 * deviation} V }
      look/pin-loose: { low: 0.6, middle: 0.3 }
      otherwise: { high: 0.8 }
  look:
    call: inner
    returns: { no-fault-found: { goto: refer }, fault-found: { goto: refer } }
  refer: { end: referred }
`;
  const inner = `
procedure: inner
title: Inner
revision: 1
complaint: A plug may be loose.
faults:
  pin-loose: { title: Pin loose, prior: ${loose} }
start: tug
steps:
  tug:
    ask: Does the pin hold?
    answers: { holds: { goto: sound }, slips: { goto: sound } }
    evidence:
      pin-loose: { slips: 0.${slips} }
      otherwise: { holds: 0.9 }
  sound: { end: no-fault-found }
`;
  const { procedure } = loadProcedure(outer, "outer.yaml", {
    procedure: (id) => (id === "inner" ? inner : undefined),
    equipment: () => undefined,
  });
  if (procedure === undefined) throw new Error("does not load");
  return new Job(procedure);
}

const figures: fc.Arbitrary<Figures> = fc.record({
  priors: fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 3, maxLength: 3 }),
  mean: fc.integer({ min: 2, max: 12 }),
  deviation: fc.constantFrom(1, 2, 4),
  slips: fc.integer({ min: 1, max: 9 }),
  metered: fc.boolean(),
});

const FAULTS = ["worn", "other", "look/pin-loose"];

describe("contributions over a reading's density and a called procedure", () => {
  it("add up from the prior's log-odds to those of the odds shown, whatever fault is asked for", () => {
    fc.assert(
      fc.property(
        figures,
        fc.integer({ min: 10, max: 130 }),
        fc.constantFrom("holds", "slips"),
        (given, tenths, said) => {
          const job = jobOf(given)
            .say("first", `${(tenths / 10).toFixed(1)} V`)
            .say("look/tug", said);
          const total = given.priors.reduce((sum, prior) => sum + prior, 0);
          const logOdds = (p: number) => Math.log(p) - Math.log1p(-p);
          for (const { fault, probability } of posterior(job.procedure, job.run).faults) {
            const prior = (given.priors[FAULTS.indexOf(fault)] ?? 0) / total;
            const told = contributions(job.procedure, job.run, fault);
            expect(told.map(({ step }) => step)).toEqual(["first", "look/tug"]);
            const sum = told.reduce((all, { logRatio }) => all + logRatio, logOdds(prior));
            expect(sum).toBeCloseTo(logOdds(probability), 9);
          }
        },
      ),
      { numRuns: 80, seed: 5 },
    );
  });

  it("are those of prior times likelihood, each reckoned by hand", () => {
    fc.assert(
      fc.property(
        figures,
        fc.constantFrom(["3.0 V", 0], ["7.0 V", 1], ["11.0 V", 2]),
        fc.constantFrom("holds", "slips"),
        (some, [reading, band], said) => {
          const given = { ...some, metered: false };
          const job = jobOf(given).say("first", String(reading)).say("look/tug", said);
          const below = (limit: number) => normalCdf((limit - given.mean) / given.deviation);
          const worn = [below(5), below(9) - below(5), 1 - below(9)][Number(band)] ?? 0;
          const loose = [0.6, 0.3, 0.1][Number(band)] ?? 0;
          const other = [0.1, 0.1, 0.8][Number(band)] ?? 0;
          const slips = given.slips / 10;
          const [a = 0, b = 0, c = 0] = given.priors;
          const joint = [
            a * worn * (said === "holds" ? 0.9 : 0.1),
            b * other * (said === "holds" ? 0.9 : 0.1),
            c * loose * (said === "holds" ? 1 - slips : slips),
          ];
          const total = joint.reduce((sum, one) => sum + one, 0);
          for (const { fault, probability } of posterior(job.procedure, job.run).faults)
            expect(probability).toBeCloseTo((joint[FAULTS.indexOf(fault)] ?? 0) / total, 9);
        },
      ),
      { numRuns: 60, seed: 6 },
    );
  });
});
