import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { contributions } from "../../../engine/reasoning/contributions.ts";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { ask, jobOf } from "./reasoning-job.ts";

describe("what an answer contributed", () => {
  it("is the logarithm of its likelihood ratio", () => {
    const job = jobOf(
      { a: 1, b: 1 },
      ask("first", "good", 'a: { "yes": 0.9 }, otherwise: { "yes": 0.1 }'),
    ).say("first", "yes");
    expect(contributions(job.procedure, job.run, "a")).toEqual([
      { step: "first", outcome: "yes", logRatio: expect.closeTo(Math.log(9), 12), leftOut: false },
    ]);
    expect(contributions(job.procedure, job.run, "b")[0]?.logRatio).toBeCloseTo(-Math.log(9), 12);
  });

  it("is without bound where the answer rules a fault out, and nothing where it fits with nothing", () => {
    const steps =
      ask("first", "second", 'a: { "yes": 1 }, b: { "yes": 0 }') +
      ask("second", "good", 'a: { "yes": 0 }, b: { "yes": 0.9 }');
    const job = jobOf({ a: 1, b: 1 }, steps).say("first", "yes").say("second", "yes");
    const told = (fault: string) =>
      contributions(job.procedure, job.run, fault).map(({ logRatio }) => logRatio);
    expect(told("a")).toEqual([Number.POSITIVE_INFINITY, 0]);
    expect(told("b")).toEqual([Number.NEGATIVE_INFINITY, 0]);
    const leftOut = contributions(job.procedure, job.run, "a").map((one) => one.leftOut);
    expect(leftOut).toEqual([false, true]);
  });

  it("is nothing, and counted all the same, where the answer is as likely under every fault", () => {
    const job = jobOf({ a: 1, b: 1 }, ask("first", "good", 'otherwise: { "yes": 0.5 }')).say("first", "yes");
    expect(contributions(job.procedure, job.run, "a")).toMatchObject([{ logRatio: 0, leftOut: false }]);
  });

  it("adds up from the prior's log-odds to the posterior's", () => {
    const share = fc.integer({ min: 1, max: 9 });
    const rows = fc.array(fc.array(share, { minLength: 3, maxLength: 3 }), { minLength: 1, maxLength: 3 });
    fc.assert(
      fc.property(
        rows,
        fc.array(share, { minLength: 3, maxLength: 3 }),
        fc.array(fc.boolean(), { minLength: 3, maxLength: 3 }),
        (steps, priors, answers) => {
          const names = ["first", "second", "third", "good"];
          const text = steps.map(([a, b, c], at) =>
            ask(
              names[at] ?? "",
              at + 1 < steps.length ? (names[at + 1] ?? "") : "good",
              `a: { "yes": 0.${a} }, b: { "yes": 0.${b} }, c: { "yes": 0.${c} }`,
            ),
          );
          const [a = 1, b = 1, c = 1] = priors;
          const job = jobOf({ a, b, c }, text.join(""));
          for (const at of steps.keys()) job.say(names[at] ?? "", answers[at] ? "yes" : "no");
          const logOdds = (p: number) => Math.log(p) - Math.log1p(-p);
          for (const { fault, probability } of posterior(job.procedure, job.run).faults) {
            const prior = ({ a, b, c }[fault] ?? 0) / (a + b + c);
            const sum = contributions(job.procedure, job.run, fault).reduce(
              (total, { logRatio }) => total + logRatio,
              logOdds(prior),
            );
            expect(sum).toBeCloseTo(logOdds(probability), 9);
          }
        },
      ),
      { numRuns: 60 },
    );
  });
});
