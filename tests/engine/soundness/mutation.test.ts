import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { proveByWalking } from "./brute-force.ts";
import { type Mutant, mutantsOf, randomSound } from "./random-sound.ts";
import { CODES, isProven, isTold, told } from "./told-defects.ts";

interface Judged {
  readonly what: string;
  readonly proven: readonly string[];
  readonly told: ReadonlySet<string>;
  readonly complete: boolean;
}

const SOUND = fc.sample(
  randomSound().filter((procedure) => proveByWalking(procedure).defects.size === 0),
  // Shares and kinds are counted below: the same procedures each time.
  { numRuns: 30, seed: 20261126 },
);
/** Every seventh of them, or it would take minutes. */
const MUTANTS = SOUND.flatMap(mutantsOf).filter((_, at) => at % 7 === 0);

function judged({ what, procedure }: Mutant): Judged {
  const { defects, complete } = proveByWalking(procedure);
  return { what, proven: [...defects], told: told(procedure), complete };
}

describe("a slip in a sound procedure", () => {
  const mutants = MUTANTS.map(judged);
  const walked = mutants.filter(({ complete }) => complete);
  const proven = walked.flatMap((one) => one.proven.map((defect) => ({ one, defect })));
  const missed = proven.filter(({ one, defect }) => !isTold(one.told, defect));
  const about = ({ one, defect }: (typeof proven)[number]) => `${one.what}: ${defect}`;

  it("is looked for where neither the walker nor the proofs find anything yet", () => {
    for (const procedure of SOUND) expect([...told(procedure)]).toEqual([]);
  });

  it("makes 300 defective mutants or more, of every kind, nearly all walked to their ends", () => {
    expect(walked.filter((one) => one.proven.length > 0).length).toBeGreaterThanOrEqual(300);
    expect(walked.length).toBeGreaterThan(mutants.length * 0.9);
    const kinds = new Set(proven.map(({ defect }) => defect.split(" ")[0]));
    expect([...kinds].toSorted()).toEqual([...CODES, "no-end"].toSorted());
  });

  it("is found each time where it leaves readings out, counts them twice, or cuts steps off", () => {
    const always = ["reading-gap", "reading-overlap", "impossible-branch", "unreachable-step"];
    expect(missed.filter(({ defect }) => always.includes(defect.split(" ")[0] ?? "")).map(about)).toEqual([]);
  });

  it("is found in 99 of 100 cases, whatever it is", () => {
    if (missed.length > proven.length / 100) expect(missed.map(about)).toEqual([]);
    expect(missed.length).toBeLessThanOrEqual(proven.length / 100);
  });

  it("is not found where the walker finds none", () => {
    const alarms = walked.flatMap((one) =>
      [...one.told].filter((each) => !isProven(one.proven, each)).map((each) => `${one.what}: ${each}`),
    );
    expect(alarms).toEqual([]);
  });
});
