/** The next step by value against a published choice of probe. */
import { describe, expect, it } from "vitest";
import { nextStepAdvice } from "../../engine/reasoning/next-step.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { ask, jobOf } from "../engine/reasoning/reasoning-job.ts";

/**
 * Three multipliers and two adders, de Kleer and Williams, Diagnosing multiple faults, Artificial Intelligence 32
 * (1987); set-up from memory, results computed. A to E are 3 2 2 3 3, F was seen at 10 where 12 is due, G at 12.
 * X = A×C, Y = B×D, Z = C×E, F = X + Y, G = Y + Z. Parts fail alike and independently, here one in a hundred; each
 * minimal diagnosis is one fault. What each probe then shows follows from F, G and the parts that are sound.
 */
const P = 0.01;
const DIAGNOSES = {
  m1: { prior: P, shows: { x: 4, y: 6, z: 6 } },
  a1: { prior: P, shows: { x: 6, y: 6, z: 6 } },
  "m2-m3": { prior: P * P, shows: { x: 6, y: 4, z: 8 } },
  "m2-a2": { prior: P * P, shows: { x: 6, y: 4, z: 6 } },
} as const;

const VALUES = ["4", "6", "8"];

function probe(at: "x" | "y" | "z", next: string): string {
  const rows = Object.entries(DIAGNOSES).map(([id, { shows }]) => `${id}: { "${shows[at]}": 1 }`);
  return ask(at, next, rows.join(", "), VALUES);
}

function circuit() {
  const faults = Object.fromEntries(Object.entries(DIAGNOSES).map(([id, { prior }]) => [id, prior]));
  return jobOf(faults, probe("x", "y") + probe("y", "z") + probe("z", "good"), { start: "x" });
}

function left(job: ReturnType<typeof circuit>): readonly string[] {
  return posterior(job.procedure, job.run)
    .faults.filter(({ probability }) => probability > 0)
    .map(({ fault }) => fault)
    .toSorted();
}

describe("the three-multiplier, two-adder circuit", () => {
  it("is probed at X first, for about one bit of the doubt", () => {
    const job = circuit();
    const advice = nextStepAdvice(job.procedure, job.run);
    expect(advice.map(({ step }) => step)).toEqual(["x", "y", "z"]);
    expect(advice[0]?.tells).toBeGreaterThan(0.9);
    expect(advice[1]?.tells).toBeLessThan(0.1);
  });

  it("is left with M1 after X = 4", () => {
    expect(left(circuit().say("x", "4"))).toEqual(["m1"]);
  });

  it("is left with A1, M2 with M3, and M2 with A2 after X = 6", () => {
    expect(left(circuit().say("x", "6"))).toEqual(["a1", "m2-a2", "m2-m3"]);
  });

  it("is left with M1 and A1 after Y = 6", () => {
    const job = jobOf({ m1: P, a1: P, "m2-m3": P * P, "m2-a2": P * P }, probe("y", "good"), { start: "y" });
    expect(left(job.say("y", "6"))).toEqual(["a1", "m1"]);
  });
});
