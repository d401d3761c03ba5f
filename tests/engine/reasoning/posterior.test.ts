import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { bulkProcedure } from "../../../engine/reasoning/bulk-procedure.ts";
import { expectedRun } from "../../../engine/reasoning/expected-run.ts";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { rehearsal } from "../../../engine/reasoning/rehearse.ts";
import type { Job } from "../machine/job.ts";
import { ask, jobOf } from "./reasoning-job.ts";

/** Probabilities by fault, in the order told. */
function odds(job: Job): Readonly<Record<string, number>> {
  return Object.fromEntries(
    posterior(job.procedure, job.run).faults.map(({ fault, probability }) => [fault, probability]),
  );
}

function expectOdds(job: Job, expected: Readonly<Record<string, number>>, digits = 12): void {
  const told = odds(job);
  expect(Object.keys(told).toSorted()).toEqual(Object.keys(expected).toSorted());
  for (const [fault, probability] of Object.entries(expected))
    expect(told[fault]).toBeCloseTo(probability, digits);
}

describe("the odds of a run", () => {
  it("count a prior of 0 as no fault that can be there, here, in a rehearsal and in its expectation alike", () => {
    const { procedure, run } = jobOf({ a: 0, b: 1, c: 3 }, ask("first", "good", 'a: { "yes": 1 }')).say(
      "first",
      "yes",
    );
    expect(posterior(procedure, run).faults.find(({ fault }) => fault === "a")?.probability).toBe(0);
    const bulk = bulkProcedure(procedure);
    const expected = expectedRun(bulk);
    expect(expected.ok && expected.perFault.map(({ prior }) => prior)).toEqual([0, 0.25, 0.75]);
    const rehearsed = rehearsal(bulk, { seed: 1, slips: 0 });
    rehearsed.run(0, 500);
    expect(rehearsed.counts.faults[0]?.endings).toEqual([0, 0, 0]);
  });

  it("are the priors as shares before anything is known, by falling probability", () => {
    const job = jobOf({ a: 2, b: 5, c: 3 }, ask("first", "good", ""));
    expect(Object.entries(odds(job))).toEqual([
      ["b", 0.5],
      ["c", 0.3],
      ["a", 0.2],
    ]);
  });

  it("follow Bayes, reckoned by hand", () => {
    const steps =
      ask("first", "second", '"a": { "yes": 0.9 }, "otherwise": { "yes": 0.2 }') +
      ask("second", "good", '"b": { "no": 0.7 }, "otherwise": { "no": 0.1 }');
    const job = jobOf({ a: 1, b: 1, c: 2 }, steps).say("first", "yes").say("second", "no");
    // a 1×0.9×0.1 = 0.09, b 1×0.2×0.7 = 0.14, c 2×0.2×0.1 = 0.04; in all 0.27.
    expectOdds(job, { a: 9 / 27, b: 14 / 27, c: 4 / 27 });
  });

  // Pattipati and Alexandridis 1990: priors and tests t1 to t5 of the published example (memory). What a perfect
  // test leaves is the priors of the states with that result, as shares.
  it("narrow down to the states that perfect tests leave", () => {
    const states = { s0: "00000", s1: "01001", s2: "00110", s3: "10011", s4: "11000", s5: "11110" };
    const priors = { s0: 0.7, s1: 0.01, s2: 0.02, s3: 0.1, s4: 0.05, s5: 0.12 };
    const rows = (test: number) =>
      Object.entries(states)
        .map(([state, results]) => `${state}: { ${results[test] === "1" ? '"yes"' : '"no"'}: 1 }`)
        .join(", ");
    const steps = ask("first", "second", rows(1)) + ask("second", "good", rows(0));
    const run = (t2: string, t1: string) => jobOf(priors, steps).say("first", t2).say("second", t1);
    expectOdds(run("yes", "yes"), { s4: 5 / 17, s5: 12 / 17, s0: 0, s1: 0, s2: 0, s3: 0 });
    expectOdds(run("yes", "no"), { s1: 1, s0: 0, s2: 0, s3: 0, s4: 0, s5: 0 });
    expectOdds(run("no", "no"), { s0: 70 / 72, s2: 2 / 72, s1: 0, s3: 0, s4: 0, s5: 0 });
  });

  it("agree with a joint table for random evidence and answers", () => {
    const share = fc.integer({ min: 0, max: 10 });
    const row = fc.option(
      fc.record({
        named: fc.integer({ min: 0, max: 2 }),
        tenths: fc.array(share, { minLength: 3, maxLength: 3 }),
      }),
    );
    const step = fc.record({
      rows: fc.array(row, { minLength: 3, maxLength: 3 }),
      otherwise: row,
      answer: fc.nat(2),
    });
    const answers = ["x", "y", "z"];
    const names = ["first", "second", "third"];
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 3, maxLength: 3 }),
        fc.array(step, { minLength: 1, maxLength: 3 }),
        (priors, steps) => {
          const faults = ["a", "b", "c"];
          /** Shares as written: the first `named` answers have tenths, never more than 1 together. */
          const written = (
            one: { named: number; tenths: number[] } | null,
          ): readonly number[] | undefined => {
            if (one === null) return undefined;
            let left = 10;
            return one.tenths.slice(0, one.named).map((tenth) => {
              const share = Math.min(tenth, left);
              left -= share;
              return share / 10;
            });
          };
          const text = steps
            .map(({ rows, otherwise }, at) => {
              const all = [
                ...rows.map((one, index) => [faults[index], written(one)] as const),
                ["otherwise", written(otherwise)] as const,
              ];
              const evidence = all.flatMap(([name, shares]) =>
                shares === undefined
                  ? []
                  : `${name}: { ${shares.map((value, index) => `${answers[index]}: ${value}`).join(", ")} }`,
              );
              const next = at + 1 < steps.length ? (names[at + 1] ?? "") : "good";
              return ask(names[at] ?? "", next, evidence.join(", "), answers);
            })
            .join("");
          const job = jobOf({ a: priors[0] ?? 1, b: priors[1] ?? 1, c: priors[2] ?? 1 }, text);
          for (const [at, { answer }] of steps.entries()) job.say(names[at] ?? "", answers[answer] ?? "");
          // The joint table by brute force: every fault with every answer of every step.
          const joint = faults.map((_, fault) =>
            steps.reduce((product, { rows, otherwise, answer }) => {
              const anyRow = [...rows, otherwise].some((one) => one !== null);
              const shares = written(rows[fault] ?? null) ?? written(otherwise);
              if (!anyRow) return product;
              if (shares === undefined) return product / 3;
              const rest = (1 - shares.reduce((sum, one) => sum + one, 0)) / (3 - shares.length);
              return product * (shares[answer] ?? Math.max(0, rest));
            }, priors[fault] ?? 1),
          );
          const total = joint.reduce((sum, one) => sum + one, 0);
          if (total < 1e-9) return;
          expect(posterior(job.procedure, job.run).atOdds).toEqual([]);
          expectOdds(
            job,
            Object.fromEntries(faults.map((fault, at) => [fault, (joint[at] ?? 0) / total])),
            9,
          );
        },
      ),
      { numRuns: 150 },
    );
  });

  it("take what is left of a row as shared by the answers that it does not name", () => {
    const steps = ask("first", "good", "a: { x: 0.4 }, b: { x: 0.7, y: 0.2 }", ["x", "y", "z"]);
    // a: x 0.4, y 0.3, z 0.3. b: x 0.7, y 0.2, z 0.1. c, with no row and no otherwise: a third each.
    expectOdds(jobOf({ a: 1, b: 1, c: 1 }, steps).say("first", "z"), {
      a: 0.3 / (0.4 + 1 / 3),
      b: 0.1 / (0.4 + 1 / 3),
      c: 1 / 3 / (0.4 + 1 / 3),
    });
  });

  it("do not move by a step without evidence, by cannot, or by borderline", () => {
    expectOdds(jobOf({ a: 1, b: 3 }, ask("first", "good", "")).say("first", "yes"), { a: 0.25, b: 0.75 });
    const told = ask("first", "good", 'a: { "yes": 0.9 }, otherwise: { "yes": 0.1 }');
    expectOdds(jobOf({ a: 1, b: 3 }, told).say("first", "cannot"), { a: 0.25, b: 0.75 });
    const steps = measured(
      "borderline: { goto: first, at-most: 2 }",
      "a: { low: 0.9 }, otherwise: { low: 0.1 }",
    );
    expectOdds(jobOf({ a: 1, b: 3 }, steps).say("first", "0.99"), { a: 0.25, b: 0.75 });
  });

  it("count only the latest result of a step", () => {
    const steps = `
  first:
    ask: Well?
    answers: { again: { goto: first, at-most: 5, else: bad }, "no": { goto: good } }
    evidence: { a: { again: 0.9 }, otherwise: { again: 0.5 } }`;
    const job = jobOf({ a: 1, b: 1 }, steps);
    expectOdds(job.say("first", "again"), { a: 9 / 14, b: 5 / 14 });
    expectOdds(job.say("first", "again"), { a: 9 / 14, b: 5 / 14 });
    expectOdds(job.say("first", "no"), { a: 1 / 6, b: 5 / 6 });
  });

  it("take a close call that was decided as a mixture of its bands", () => {
    const evidence = "a: { low: 0.9 }, otherwise: { low: 0.2 }";
    // At the very limit half of the true values lie on each side: each fault says one half, and nothing is learnt.
    expectOdds(jobOf({ a: 1, b: 1 }, measured("", evidence)).say("first", "1.00"), { a: 0.5, b: 0.5 });
    const job = jobOf({ a: 1, b: 1 }, measured("", evidence)).say("first", "0.99");
    const low = job.run.readings.first?.shares?.low ?? 0;
    expect(low).toBeGreaterThan(0.5);
    const [a, b] = [low * 0.9 + (1 - low) * 0.1, low * 0.2 + (1 - low) * 0.8];
    expectOdds(job, { a: a / (a + b), b: b / (a + b) });
  });

  it("bring the reading's own uncertainty into a density where the call was close", () => {
    const evidence = "a: { reads: 0.9 V ± 0.1 V }, b: { reads: 1.1 V ± 0.1 V }";
    const job = jobOf({ a: 1, b: 1 }, measured("", evidence)).say("first", "0.99");
    const low = job.run.readings.first?.shares?.low ?? 0;
    // Each density has its limit two standard deviations off: .97725 on its own side (NIST e-Handbook, memory).
    const far = 0.9772498680518208;
    expectOdds(job, { a: low * far + (1 - low) * (1 - far), b: low * (1 - far) + (1 - low) * far }, 9);
  });

  it("are unknown to a second look at the same step: it takes the place of the first", () => {
    const steps = measured("borderline: { goto: first, at-most: 2 }", "a: { low: 0.9 }, b: { low: 0.1 }");
    const job = jobOf({ a: 1, b: 1 }, steps).say("first", "0.99").say("first", "0.98");
    expectOdds(job, { a: 0.5, b: 0.5 });
    expectOdds(job.say("first", "0.5"), { a: 0.9, b: 0.1 });
  });

  it("take a clear reading at its band's word", () => {
    const job = jobOf({ a: 1, b: 1 }, measured("", "a: { low: 0.9 }, otherwise: { low: 0.2 }"));
    expectOdds(job.say("first", "0.2"), { a: 9 / 11, b: 2 / 11 });
  });
});

/** Bands at 1 V, the meter of the fan's procedure. */
function measured(more: string, evidence: string): string {
  return `
  first:
    measure: voltage
    unit: V
    with: meter
    bands: { low: { under: 1 V, goto: bad }, high: { from: 1 V, goto: good } }
    ${more}
    evidence: { ${evidence} }`;
}

describe("reads", () => {
  // Standard normal distribution function: .84134 at 1, .97725 at 2 (NIST/SEMATECH e-Handbook, 1.3.6.7.1; memory).
  const [ONE, TWO] = [0.8413447460685429, 0.9772498680518208];

  it("is a normal density whose ± is two standard deviations", () => {
    const job = jobOf({ a: 1, b: 1 }, measured("", "a: { reads: 950 mV ± 0.1 V }, otherwise: { low: 0.5 }"));
    // One standard deviation of 0.05 V below the limit.
    expectOdds(job.say("first", "0.2"), { a: ONE / (ONE + 0.5), b: 0.5 / (ONE + 0.5) }, 9);
  });

  it("counts against a specification, too, in a run and for the proofs", () => {
    const steps = `
  first:
    measure: resistance
    unit: Ohm
    specification: winding
    outcomes: { below: { goto: bad }, within: { goto: good }, above: { goto: bad } }
    evidence: { a: { reads: 1.0 Ohm ± 0.2 Ohm }, otherwise: { within: 0.5 } }`;
    // Within 0.3 to 1.2 Ohm: from 7 standard deviations below to 2 above.
    const job = jobOf({ a: 1, b: 1 }, steps).say("first", "0.9");
    expectOdds(job, { a: TWO / (TWO + 0.5), b: 0.5 / (TWO + 0.5) }, 9);
  });

  it("counts where the limits were told in the run", () => {
    const steps = `
  first:
    measure: resistance
    unit: Ohm
    specification: winding
    outcomes: { below: { goto: bad }, within: { goto: good }, above: { goto: bad } }
    evidence: { a: { reads: 1.0 Ohm ± 0.2 Ohm }, otherwise: { within: 0.5 } }`;
    const job = jobOf({ a: 1, b: 1 }, steps);
    job.give({ type: "specification", specification: "winding", limits: { to: "1.1" }, source: "sheet" });
    expectOdds(job.say("first", "0.9"), { a: ONE / (ONE + 0.5), b: 0.5 / (ONE + 0.5) }, 9);
  });

  it("is not looked at where the fault has a row", () => {
    const job = jobOf(
      { a: 1, b: 1 },
      measured("", "a: { low: 0.3, reads: 5 V ± 0.1 V }, otherwise: { low: 0.6 }"),
    );
    expectOdds(job.say("first", "0.2"), { a: 1 / 3, b: 2 / 3 });
  });
});

describe("answers that no fault explains", () => {
  it("leave the last odds, and are named", () => {
    const steps =
      ask("first", "second", 'a: { "yes": 1 }, otherwise: { "yes": 0.5 }') +
      ask("second", "third", 'a: { "yes": 0 }, b: { "yes": 0 }') +
      ask("third", "good", 'a: { "yes": 0.5 }, b: { "yes": 0.25 }');
    const job = jobOf({ a: 1, b: 1 }, steps).say("first", "yes").say("second", "yes");
    expect(posterior(job.procedure, job.run).atOdds).toEqual(["second"]);
    expectOdds(job, { a: 2 / 3, b: 1 / 3 });
    // Later evidence counts all the same.
    expectOdds(job.say("third", "yes"), { a: 0.8, b: 0.2 });
  });

  it("name the one whose slip would let the others fit best, not the newest", () => {
    const steps =
      ask("first", "second", 'a: { "yes": 1 }, b: { "yes": 0 }') +
      ask("second", "third", 'a: { "yes": 0 }, b: { "yes": 0.9 }') +
      ask("third", "good", 'a: { "yes": 0.9 }, b: { "yes": 0.9 }');
    const rare = jobOf({ a: 99, b: 1 }, steps).say("first", "yes").say("second", "yes").say("third", "yes");
    // Without "second" a explains all (0.99 × 0.9); without "first" only b does (0.01 × 0.9 × 0.9).
    expect(posterior(rare.procedure, rare.run)).toMatchObject({ atOdds: ["second"], lookAgain: "second" });
    const common = jobOf({ a: 1, b: 99 }, steps).say("first", "yes").say("second", "yes").say("third", "yes");
    expect(posterior(common.procedure, common.run)).toMatchObject({
      atOdds: ["second"],
      lookAgain: "first",
    });
    expectOdds(common, { a: 1, b: 0 });
  });

  it("name the one with fewer other answers where the others fit alike without either", () => {
    const steps =
      ask("first", "second", 'a: { "yes": 1 }, b: { "yes": 0 }') +
      ask("second", "good", "a: { x: 0, y: 0.5 }, b: { x: 1 }", ["x", "y", "z"]);
    const job = jobOf({ a: 1, b: 1 }, steps).say("first", "yes").say("second", "x");
    expect(posterior(job.procedure, job.run).lookAgain).toBe("first");
  });

  it("fit again once the answer is amended", () => {
    const steps =
      ask("first", "second", 'a: { "yes": 1 }, b: { "yes": 0 }') +
      ask("second", "good", 'a: { "yes": 0 }, b: { "yes": 0.9 }');
    const job = jobOf({ a: 1, b: 1 }, steps).say("first", "yes").say("second", "yes");
    job.give({
      type: "amend",
      seq: 1,
      event: { type: "answer", at: job.now, step: "first", answer: "no" },
    });
    const { atOdds, lookAgain } = posterior(job.procedure, job.run);
    expect([atOdds, lookAgain]).toEqual([[], undefined]);
    expectOdds(job, { a: 0, b: 1 });
  });
});

describe("something else", () => {
  it("is a fault that is written, and takes its share", () => {
    const told = ask("first", "good", 'a: { "yes": 0.9 }, other: { "yes": 0.3 }');
    expectOdds(jobOf({ a: 3, other: 1 }, told).say("first", "yes"), { a: 0.9, other: 0.1 });
  });

  it("is not thought of where nobody wrote it: the odds are over what is written", () => {
    const told = ask("first", "good", 'a: { "yes": 0.01 }, b: { "yes": 0.01 }');
    expectOdds(jobOf({ a: 1, b: 1 }, told).say("first", "yes"), { a: 0.5, b: 0.5 });
  });
});
