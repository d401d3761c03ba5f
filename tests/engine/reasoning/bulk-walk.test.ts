import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import { branchKey } from "../../../engine/machine/decide.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import type { Run } from "../../../engine/machine/run.ts";
import { sceneOf } from "../../../engine/machine/scene.ts";
import { evaluateExpression } from "../../../engine/procedure/expression.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import { END_WORDS, type Procedure } from "../../../engine/procedure/model.ts";
import { type BulkProcedure, bulkProcedure } from "../../../engine/reasoning/bulk-procedure.ts";
import { type BulkWalk, blankWalk, openWalk, stepWalk } from "../../../engine/reasoning/bulk-walk.ts";
import { SHIPPED, shippedProcedure } from "../../trees.ts";
import { randomEvent } from "../random-event.ts";
import { randomTexts } from "../random-procedure.ts";

const AT = 1_700_000_000_000;

function armsOf(procedure: Procedure, bulk: BulkProcedure, run: () => Run) {
  return (number: number) => {
    const branch = bulk.branches[number];
    if (branch === undefined) return -1;
    const last = branch.arms.length - 1;
    for (const [index, arm] of branch.arms.entries()) {
      if (arm.if === undefined) return index;
      const holds = evaluateExpression(arm.if, sceneOf(procedure, run(), AT));
      if (!holds.ok) return holds.why === "unknown-fact" ? last : -1;
      if (holds.value === true) return index;
    }
    return last;
  };
}

/** What both know of a run. */
function seen(bulk: BulkProcedure, walk: BulkWalk) {
  return {
    step: walk.step < 0 ? undefined : bulk.steps[walk.step]?.id,
    end: walk.end < 0 ? undefined : END_WORDS[walk.end],
    minutes: walk.minutes.toFixed(6),
    made: bulk.setUps.names(walk.made),
    struck: bulk.faults.filter((_, index) => walk.struck[index] === 1),
    verifying: walk.verifying < 0 ? undefined : bulk.steps[walk.verifying]?.id,
    taken: bulk.branches.flatMap((branch, index) =>
      (walk.taken[index] ?? 0) > 0 ? `${branchKey(branch)} ${walk.taken[index]}` : [],
    ),
    hops: walk.hops.map((hop) => {
      const branch = bulk.branches[hop < 0 ? ~hop : hop];
      return branch && branchKey(branch);
    }),
  };
}

function expected(procedure: Procedure, bulk: BulkProcedure, run: Run, hops: Run["hops"]) {
  return {
    step: procedure.steps.has(run.step) ? run.step : undefined,
    end: run.end,
    minutes: run.minutes.toFixed(6),
    made: run.made,
    struck: bulk.faults.filter((id) => run.struck.includes(id)),
    // What a call has verified can't fail any more: the run knows of it only for the odds.
    verifying: run.verifying?.faults.length === 0 ? undefined : run.verifying?.step,
    taken: bulk.branches.flatMap((branch) => {
      const times = run.taken[branchKey(branch)] ?? 0;
      return times > 0 ? `${branchKey(branch)} ${times}` : [];
    }),
    hops: hops.map(branchKey),
  };
}

/** Walks both by the same draws and compares them wherever a step is open, and at the end. */
function walkBoth(procedure: Procedure, draws: readonly number[]): number {
  const bulk = bulkProcedure(procedure);
  const walk = blankWalk(bulk);
  let run = openRun(procedure, { run: "both", at: AT });
  const arms = armsOf(procedure, bulk, () => run);
  let hops = run.hops;
  openWalk(bulk, walk, arms);
  let compared = 0;
  for (const draw of draws) {
    if (run.phase !== "ready") {
      expect(seen(bulk, walk)).toEqual(expected(procedure, bulk, run, hops));
      compared += 1;
    }
    if (run.end !== undefined) break;
    const asked = promptOf(procedure, run);
    const event = randomEvent(asked, draw, AT);
    if (event === undefined) break;
    const from = run.step;
    const next = advance(procedure, run, event);
    if (!next.ok) continue;
    run = next.run;
    const first = run.hops[0];
    if (first === undefined) continue;
    hops = run.hops;
    stepWalk(bulk, walk, bulk.outcomes[bulk.indexOf.get(from) ?? -1]?.indexOf(first.outcome) ?? -1, arms);
  }
  return compared;
}

describe("the bulk walk", () => {
  it("walks random procedures as the machine does, step for step", () => {
    let compared = 0;
    fc.assert(
      fc.property(
        randomTexts(),
        fc.array(fc.nat(9999), { minLength: 20, maxLength: 60 }),
        ({ text, called }, draws) => {
          const { procedure } = loadProcedure(text, "random-one.yaml", {
            procedure: (id) => (id === "random-called" ? called : undefined),
            equipment: () => undefined,
          });
          if (procedure !== undefined) compared += walkBoth(procedure, draws);
        },
      ),
      { numRuns: 400 },
    );
    expect(compared).toBeGreaterThan(800);
  });

  it.each(SHIPPED)("walks %s as the machine does", (id) => {
    const procedure = shippedProcedure(id);
    let compared = 0;
    fc.assert(
      fc.property(fc.array(fc.nat(9999), { minLength: 60, maxLength: 120 }), (draws) => {
        compared += walkBoth(procedure, draws);
      }),
      { numRuns: 40 },
    );
    expect(compared).toBeGreaterThan(80);
  });
});
