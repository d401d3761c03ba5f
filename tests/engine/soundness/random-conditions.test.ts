import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { RunEvent } from "../../../engine/machine/event.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import type { Run } from "../../../engine/machine/run.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { randomConditions } from "./random-conditions.ts";
import { checked } from "./seeded/checked.ts";
import { expectShown } from "./seeded/expect-shown.ts";

const READINGS = [-1, 0.5, 1, 2.5, 3.5, 4.5, 4.8, 5.2, 5.5, 6.2, 6.8, 8, 11, 14, 30];
const WARM = [-5, 5, 15, 25, 35];
const CODES = [[], ["P1"], ["P1", "P2"], ["P2", "P3"], ["P2"]];

/** An answer to what the run asks, by a number; undefined at its end and before a conclusion. */
function answerTo(procedure: Procedure, run: Run, pick: number): RunEvent | undefined {
  const prompt = promptOf(procedure, run);
  const of = <T>(all: readonly T[]) => all[pick % all.length];
  switch (prompt.kind) {
    case "fact": {
      const { id, list, measure, choices } = prompt.fact;
      const value = list ? of(CODES) : measure ? of(WARM) : of(choices)?.id;
      return value === undefined ? undefined : { type: "fact", at: 0, fact: id, value };
    }
    case "ask":
      return { type: "answer", at: 0, step: run.step, answer: of(prompt.answers)?.id ?? "" };
    case "measure":
      return { type: "reading", at: 0, step: run.step, reading: `${of(READINGS)} V` };
    default:
      return undefined;
  }
}

/** The run that a number gives, as far as it asks something. */
function runOf(procedure: Procedure, seed: number): Run {
  let run = openRun(procedure, { run: "r", at: 0 });
  for (let pick = seed; ; pick = (pick * 48_271) % 2_147_483_647) {
    const event = answerTo(procedure, run, pick >> 8);
    const next = event && advance(procedure, run, event);
    if (next === undefined || !next.ok) return run;
    run = next.run;
  }
}

describe("conclusions behind conditions written at random", () => {
  it("are errors only by ways that runs walk, and are told wherever a run concludes with too little", () => {
    const runs = fc.array(fc.integer({ min: 1, max: 2_147_483_646 }), { minLength: 60, maxLength: 60 });
    const seen = { shown: 0, walked: 0, open: 0 };
    fc.assert(
      fc.property(randomConditions, runs, (text, seeds) => {
        const { procedure, findings } = checked({ id: "forward", text } as never);
        if (procedure === undefined) throw new Error(JSON.stringify(findings));
        const found = findings.filter(({ code }) => code === "unsupported-conclusion");
        for (const finding of found) {
          if (finding.severity !== "error") continue;
          expect(finding.witness?.filter(({ hangsOn }) => hangsOn !== undefined)).toEqual([]);
          expectShown(procedure, finding);
          seen.shown += 1;
        }
        const told = new Set(found.map(({ step }) => step));
        const errors = new Set(found.filter(({ severity }) => severity === "error").map(({ step }) => step));
        for (const run of seeds.map((each) => runOf(procedure, each))) {
          const step = procedure.steps.get(run.step);
          if (step?.kind !== "conclude" || run.path.some(({ verdict }) => verdict === "too-close")) continue;
          const proof = posterior(procedure, run).faults.find(({ fault }) => fault === step.faults[0]);
          if ((proof?.probability ?? 1) >= procedure.certainty - 1e-6) continue;
          expect([...told]).toContain(step.id);
          if (errors.has(step.id)) seen.walked += 1;
          else seen.open += 1;
        }
      }),
      { numRuns: 100 },
    );
    expect(seen.shown).toBeGreaterThan(100);
    expect(seen.walked).toBeGreaterThan(1000);
    // A note that nothing is proven, where a run was not found that there is: hardly ever.
    expect(seen.open).toBeLessThan(seen.walked / 100);
  });
});
