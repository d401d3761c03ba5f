/** Fault probabilities against published posteriors: the product's own function reckons them from a run. */
import { describe, expect, it } from "vitest";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { Job } from "../engine/machine/job.ts";
import { fanText, sound } from "../engine/procedure/fan-text.ts";

/**
 * The "Asia" network of Lauritzen and Spiegelhalter, Journal of the Royal Statistical Society B 50 (1988). Tables
 * read in the manual of a statistics package; posteriors computed exactly from them (by adding up the joint
 * table, printed to six digits). One fault a run: each way that the illnesses can stand together, with smoking
 * and the journey, is one fault, and they exclude one another.
 */
const P = {
  asia: 0.01,
  smoke: 0.5,
  tub: { asia: 0.05, not: 0.01 },
  lung: { smoke: 0.1, not: 0.01 },
  bronc: { smoke: 0.6, not: 0.3 },
  xray: { either: 0.98, not: 0.05 },
  dysp: { both: 0.9, either: 0.7, bronc: 0.8, neither: 0.1 },
} as const;

interface State {
  readonly id: string;
  readonly prior: number;
  readonly asia: boolean;
  readonly tub: boolean;
  readonly lung: boolean;
  readonly bronc: boolean;
}

const BOTH = [false, true];

const STATES: readonly State[] = BOTH.flatMap((asia) =>
  BOTH.flatMap((smoke) =>
    BOTH.flatMap((tub) =>
      BOTH.flatMap((lung) =>
        BOTH.map((bronc): State => {
          const chance = (yes: boolean, p: number) => (yes ? p : 1 - p);
          const names = { asia, smoke, tub, lung, bronc };
          return {
            id: Object.entries(names)
              .map(([name, yes]) => (yes ? name : `no-${name}`))
              .join("-"),
            prior:
              chance(asia, P.asia) *
              chance(smoke, P.smoke) *
              chance(tub, asia ? P.tub.asia : P.tub.not) *
              chance(lung, smoke ? P.lung.smoke : P.lung.not) *
              chance(bronc, smoke ? P.bronc.smoke : P.bronc.not),
            ...names,
          };
        }),
      ),
    ),
  ),
);

function dyspnoea({ tub, lung, bronc }: State): number {
  const either = tub || lung;
  if (either && bronc) return P.dysp.both;
  if (either) return P.dysp.either;
  return bronc ? P.dysp.bronc : P.dysp.neither;
}

function step(id: string, next: string, yes: (state: State) => number): string {
  const rows = STATES.map((state) => `      ${state.id}: { "yes": ${yes(state)} }`).join("\n");
  return `
  ${id}:
    ask: Well?
    answers: { "yes": { goto: ${next} }, "no": { goto: ${next} } }
    evidence:\n${rows}`;
}

/** P(tub), P(lung), P(bronc) after those answers; what is not told is passed by. */
function illnesses(answers: Readonly<Record<string, string>>) {
  const steps =
    step("asia", "xray", (state) => (state.asia ? 1 : 0)) +
    step("xray", "dysp", ({ tub, lung }) => (tub || lung ? P.xray.either : P.xray.not)) +
    step("dysp", "good", dyspnoea) +
    "\n  good: { end: no-fault-found }";
  const faults = STATES.map(({ id, prior }) => `\n  ${id}: { title: ${id}, prior: ${prior} }`).join("");
  const cannot = steps.replaceAll("    ask: Well?", "    ask: Well?\n    cannot: { goto: @ }");
  const targets = ["xray", "dysp", "good"];
  const text = cannot.replaceAll("@", () => targets.shift() ?? "good");
  const job = new Job(sound(fanText({ faults, repairs: "{}", start: "asia", steps: text })));
  for (const id of ["asia", "xray", "dysp"]) job.say(id, answers[id] ?? "cannot");
  const told = new Map(
    posterior(job.procedure, job.run).faults.map(({ fault, probability }) => [fault, probability]),
  );
  const sum = (has: (state: State) => boolean) =>
    STATES.filter(has).reduce((total, { id }) => total + (told.get(id) ?? 0), 0);
  return {
    tub: sum((state) => state.tub),
    lung: sum((state) => state.lung),
    bronc: sum((state) => state.bronc),
    dysp: STATES.reduce((total, state) => total + (told.get(state.id) ?? 0) * dyspnoea(state), 0),
  };
}

describe("the Asia network", () => {
  it("has its published marginals before anything is answered", () => {
    const { tub, lung, bronc, dysp } = illnesses({});
    expect(tub).toBeCloseTo(0.0104, 6);
    expect(lung).toBeCloseTo(0.055, 6);
    expect(bronc).toBeCloseTo(0.45, 6);
    expect(dysp).toBeCloseTo(0.435971, 6);
  });

  it("gives .087751, .099525, .811402 after a journey and shortness of breath", () => {
    const { tub, lung, bronc } = illnesses({ asia: "yes", dysp: "yes" });
    expect(tub).toBeCloseTo(0.087751, 6);
    expect(lung).toBeCloseTo(0.099525, 6);
    expect(bronc).toBeCloseTo(0.811402, 6);
  });

  it("gives .092411, .488711, .506326 after a positive x-ray", () => {
    const { tub, lung, bronc } = illnesses({ xray: "yes" });
    expect(tub).toBeCloseTo(0.092411, 6);
    expect(lung).toBeCloseTo(0.488711, 6);
    expect(bronc).toBeCloseTo(0.506326, 6);
  });
});
