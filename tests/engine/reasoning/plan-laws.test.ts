import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type BulkProcedure, bulkProcedure } from "../../../engine/reasoning/bulk-procedure.ts";
import { expectedRun } from "../../../engine/reasoning/expected-run.ts";
import { type Planned, planned, planReport } from "../../../engine/reasoning/plan/plan-report.ts";
import { planText } from "../../../engine/reasoning/plan/plan-text.ts";
import { writtenPlan } from "../../../engine/reasoning/plan/written-plan.ts";
import { meanMinutes, writtenWays } from "../../../engine/reasoning/plan/written-ways.ts";
import { checked } from "../soundness/seeded/checked.ts";
import { randomOrder } from "./random-order.ts";

const RUNS = { numRuns: 120 };
const CLOSE = 1e-6;

interface Case {
  readonly text: string;
  readonly bulk: BulkProcedure;
  readonly both: Planned;
}

/** A random procedure with its plan; undefined where the text does not load. */
function caseOf(seed: number): Case | undefined {
  const text = randomOrder(seed);
  const { procedure } = checked({ id: "random-order", text });
  const both = procedure && planned(procedure);
  return procedure && both && { text, bulk: bulkProcedure(procedure), both };
}

/** The best order as a text; undefined where none is written. */
function textOf({ text, both: { plan, best, asWritten } }: Case): string | undefined {
  if (asWritten !== undefined) return undefined;
  const made = planText(text, plan, writtenPlan(plan, best), "random-order");
  return made.ok ? made.text : undefined;
}

/** By step, copies counted as one: the steps that tell nothing of faults which stand before it, on each way. */
function actsBefore(bulk: BulkProcedure): ReadonlyMap<string, ReadonlySet<string>> {
  const found = new Map<string, Set<string>>();
  for (const { passed } of writtenWays(bulk)) {
    const acts: string[] = [];
    for (const one of passed) {
      const step = "step" in one ? bulk.steps[one.step] : undefined;
      if (step === undefined) continue;
      const id = step.id.replace(/-\d+$/, "");
      found.set(id, (found.get(id) ?? new Set()).add(acts.join()));
      if (step.evidence === undefined) acts.push(id);
    }
  }
  return found;
}

describe("any order that is compared with the written one", () => {
  it("takes no longer than it, none takes less than the bound, and moves promise no more than the best order", () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const one = caseOf(seed);
        if (one === undefined) return;
        const { written, best, lowerBound, withMoves } = planReport(one.both);
        expect(lowerBound).toBeLessThanOrEqual(best.expectedMinutes + CLOSE);
        expect(best.expectedMinutes).toBeLessThanOrEqual(written.expectedMinutes + CLOSE);
        // Not only because the report says so.
        expect(one.both.best.minutes).toBeLessThanOrEqual(meanMinutes(one.both.plan.written) + CLOSE);
        expect(withMoves.expectedMinutes).toBeGreaterThanOrEqual(lowerBound - CLOSE);
        expect(withMoves.expectedMinutes).toBeLessThanOrEqual(written.expectedMinutes + CLOSE);
      }),
      RUNS,
    );
  });

  it("is said to find what a rehearsal of the written order finds", () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const one = caseOf(seed);
        if (one === undefined) return;
        const expected = expectedRun(one.bulk);
        const { shares } = planReport(one.both).written;
        if (!expected.ok || shares === undefined) return;
        // What is proven sooner than the written order concludes it would be counted otherwise.
        if (Math.abs((one.both.found?.written.minutes ?? 0) - expected.minutes) > CLOSE) return;
        const { isolated, wrong, unresolved } = shares;
        for (const [ending, share] of [isolated, wrong, unresolved].entries())
          expect(share).toBeCloseTo(expected.endings[ending] ?? 0, 6);
      }),
      RUNS,
    );
  });

  it("as a text has no error that the author's has not, takes what was promised, and finds every fault still", () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const one = caseOf(seed);
        const text = one && textOf(one);
        if (one === undefined || text === undefined) return;
        const again = checked({ id: "random-order", text });
        const errors = (findings: ReturnType<typeof checked>["findings"]) =>
          findings.flatMap(({ severity, code }) => (severity === "error" ? [code] : []));
        const known = errors(checked({ id: "random-order", text: one.text }).findings);
        expect(errors(again.findings).filter((code) => !known.includes(code))).toEqual([]);
        if (again.procedure === undefined) throw new Error("does not load");
        const bulk = bulkProcedure(again.procedure);
        const { best } = planReport(one.both);
        // What comes too seldom to be written down ends sooner in the text.
        const off = 0.1 + best.expectedMinutes / 40;
        expect(Math.abs(meanMinutes(writtenWays(bulk)) - best.expectedMinutes)).toBeLessThan(off);
        const before = expectedRun(one.bulk);
        const after = expectedRun(bulk);
        if (!before.ok || !after.ok) return;
        for (const [fault, { endings }] of before.perFault.entries())
          expect(after.perFault[fault]?.endings[0]).toBeGreaterThanOrEqual(0.85 * (endings[0] ?? 0));
      }),
      RUNS,
    );
  });

  it("has behind the acts and questions what the written order has behind them, and nothing else", () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const one = caseOf(seed);
        const text = one && textOf(one);
        const again = text === undefined ? undefined : checked({ id: "random-order", text }).procedure;
        if (one === undefined || again === undefined) return;
        const written = actsBefore(one.bulk);
        for (const [step, sets] of actsBefore(bulkProcedure(again)))
          for (const acts of sets) expect([...(written.get(step) ?? [])]).toContain(acts);
      }),
      RUNS,
    );
  });
});
