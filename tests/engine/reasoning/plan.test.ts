import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type BestPlan, bestPlan } from "../../../engine/reasoning/plan/best-plan.ts";
import type { PlanState } from "../../../engine/reasoning/plan/plan-space.ts";
import { type PlanProblem, sharedSetUps } from "../../../engine/reasoning/plan/problem.ts";
import { codedProblem } from "./coded-problem.ts";

/** A problem as the brute force reads it: rows of P(outcome | fault) by test and fault. */
interface Plain {
  readonly weights: readonly number[];
  readonly minutes: readonly number[];
  readonly rows: readonly (readonly (readonly number[])[])[];
  readonly needs: readonly (readonly number[])[];
  readonly setUpMinutes: readonly number[];
  readonly after: readonly (readonly number[])[];
  /** Outcomes that end the work, as `test:outcome`. */
  readonly ends: readonly string[];
  readonly groups: readonly (readonly number[])[];
  readonly certainty: number;
}

/** What must come out: each order tried, nothing shared with the planner but the words of the problem. */
function bruteForce(plain: Plain): number {
  const { weights, minutes, rows, needs, setUpMinutes, after, ends, groups, certainty } = plain;
  const total = weights.reduce((sum, each) => sum + each, 0);
  const memo = new Map<string, number>();
  const possible = (test: number, path: readonly number[] = []): boolean =>
    !path.includes(test) && (after[test] ?? []).every((before) => possible(before, [...path, test]));
  const waitsFor = (test: number, other: number): boolean =>
    (after[test] ?? []).some((before) => before === other || waitsFor(before, other));
  const minutesFrom = (given: readonly number[]): number => {
    const key = given.join();
    const before = memo.get(key);
    if (before !== undefined) return before;
    const left = weights.map((weight, fault) =>
      given.reduce(
        (p, outcome, test) => (outcome < 0 ? p : p * (rows[test]?.[fault]?.[outcome] ?? 0)),
        weight / total,
      ),
    );
    const mass = left.reduce((sum, each) => sum + each, 0);
    const there = new Set(given.flatMap((outcome, test) => (outcome < 0 ? [] : (needs[test] ?? []))));
    // Nothing is concluded before the first test.
    const begun = given.some((outcome) => outcome >= 0);
    const proven =
      begun &&
      groups.some(
        (group) => group.reduce((sum, fault) => sum + (left[fault] ?? 0), 0) / mass >= certainty - 1e-12,
      );
    const tells = (test: number) => {
      const shown = (rows[test] ?? []).filter((_, fault) => (left[fault] ?? 0) > 0);
      return shown.some((row) => row.some((p, outcome) => Math.abs(p - (shown[0]?.[outcome] ?? 0)) > 1e-12));
    };
    const open = given.flatMap((outcome, test) => (outcome < 0 && possible(test) ? [test] : []));
    let best = Number.POSITIVE_INFINITY;
    if (proven || !open.some(tells)) best = 0;
    else
      for (const test of open) {
        if (!(after[test] ?? []).every((one) => (given[one] ?? -1) >= 0)) continue;
        // What tells nothing is done only where it opens the way to what does.
        if (!open.some((one) => tells(one) && (one === test || waitsFor(one, test)))) continue;
        let sum = minutes[test] ?? 0;
        for (const need of needs[test] ?? []) sum += there.has(need) ? 0 : (setUpMinutes[need] ?? 0);
        for (const outcome of rows[test]?.[0]?.keys() ?? []) {
          const chance =
            left.reduce((all, each, fault) => all + each * (rows[test]?.[fault]?.[outcome] ?? 0), 0) / mass;
          if (chance <= 0) continue;
          const next = given.map((old, index) => (index === test ? outcome : old));
          if (!ends.includes(`${test}:${outcome}`)) sum += chance * minutesFrom(next);
        }
        best = Math.min(best, sum);
      }
    memo.set(key, best);
    return best;
  };
  return minutesFrom(minutes.map(() => -1));
}

function problemOf(plain: Plain): PlanProblem {
  return {
    weights: plain.weights,
    tests: plain.rows.map((rows, test) => ({
      id: `t${test}`,
      after: plain.after[test] ?? [],
      outcomes: (rows[0] ?? []).map((_, outcome) => ({
        id: String(outcome),
        minutes: plain.minutes[test] ?? 0,
        chances: rows.map((row) => row[outcome] ?? 0),
        ends: plain.ends.includes(`${test}:${outcome}`),
      })),
    })),
    setUps: sharedSetUps(plain.setUpMinutes, plain.needs),
    made: 0,
    groups: plain.groups,
    certainty: plain.certainty,
  };
}

/** Minutes of the plan's own tree, followed by hand. */
function followed({ space, policy }: BestPlan, state: PlanState = space.start): number {
  if (state.stop !== undefined) return 0;
  return space
    .steps(state, policy(state))
    .reduce(
      (sum, step) =>
        sum + step.state.mass * step.minutes + followed({ space, policy } as BestPlan, step.state),
      0,
    );
}

const subset = (of: number, most: number): fc.Arbitrary<number[]> =>
  fc.uniqueArray(fc.nat(of - 1), { maxLength: most });

/** Random problems; crisp ones may be large, for noisy ones the brute force has to look at every set of answers. */
function randomProblem(
  crisp: boolean,
  faults: number,
  tests: number,
  few = [0, 1, 2, 5, 40],
): fc.Arbitrary<Plain> {
  const row = (outcomes: number) =>
    crisp
      ? fc
          .nat(outcomes - 1)
          .map((at) => Array.from({ length: outcomes }, (_, index) => (index === at ? 1 : 0)))
      : fc.array(fc.constantFrom(...few), { minLength: outcomes, maxLength: outcomes }).map((all) => {
          const sum = all.reduce((a, b) => a + b, 0);
          return all.map((each) => (sum === 0 ? 1 / outcomes : each / sum));
        });
  const rowsOf = (outcomes: number) => fc.array(row(outcomes), { minLength: faults, maxLength: faults });
  return fc.record({
    weights: fc.array(fc.integer({ min: 1, max: 40 }), { minLength: faults, maxLength: faults }),
    minutes: fc.array(fc.integer({ min: 1, max: 12 }), { minLength: tests, maxLength: tests }),
    rows: fc.array(fc.constantFrom(2, 2, 2, 3).chain(rowsOf), { minLength: tests, maxLength: tests }),
    needs: fc.array(subset(3, 2), { minLength: tests, maxLength: tests }),
    setUpMinutes: fc.array(fc.nat(15), { minLength: 3, maxLength: 3 }),
    // A test waits at most for one of lower number, in one problem of three.
    after: fc
      .boolean()
      .chain((ordered) =>
        fc
          .array(fc.nat(99), { minLength: tests, maxLength: tests })
          .map((draws) =>
            draws.map((draw, test) => (ordered && test > 0 && draw % 3 === 0 ? [draw % test] : [])),
          ),
      ),
    ends: fc
      .array(fc.nat(tests * 2 - 1), { maxLength: 1 })
      .map((all) => all.map((n) => `${n >> 1}:${n & 1}`)),
    groups: fc
      .array(subset(faults, 3), { maxLength: 2 })
      .map((more) => [
        ...Array.from({ length: faults }, (_, fault) => [fault]),
        ...more.filter((g) => g.length > 1),
      ]),
    certainty: crisp ? fc.constantFrom(1, 1, 0.9) : fc.constantFrom(0.8, 0.9, 0.97),
  });
}

describe("the exact planner", () => {
  const equals = (plain: Plain) => {
    const best = bestPlan(problemOf(plain));
    const wanted = bruteForce(plain);
    expect(best.exact).toBe(true);
    expect(best.minutes).toBeCloseTo(wanted, 8);
    expect(followed(best)).toBeCloseTo(wanted, 8);
    const hurried = bestPlan(problemOf(plain), { exact: 1, tried: 4000 });
    expect(hurried.minutes).toBeGreaterThanOrEqual(wanted - 1e-9);
    expect(hurried.lowerBound).toBeLessThanOrEqual(wanted + 1e-9);
  };

  it("equals brute force on 300 random problems of tests that never err, up to 10 faults and 10 tests", () => {
    const sized = fc
      .record({ faults: fc.integer({ min: 1, max: 10 }), tests: fc.integer({ min: 1, max: 10 }) })
      .chain(({ faults, tests }) => randomProblem(true, faults, tests));
    fc.assert(fc.property(sized, equals), { numRuns: 300, seed: 71 });
  });

  it("equals brute force on 200 random problems of tests that rule nothing out, up to 10 faults and 7 tests", () => {
    const sized = fc
      .record({ faults: fc.integer({ min: 1, max: 10 }), tests: fc.integer({ min: 1, max: 7 }) })
      .chain(({ faults, tests }) => randomProblem(false, faults, tests, [1, 2, 5, 40]));
    fc.assert(fc.property(sized, equals), { numRuns: 200, seed: 73 });
  });

  it("equals brute force on 200 random problems of tests that err, up to 10 faults and 7 tests", () => {
    const sized = fc
      .record({ faults: fc.integer({ min: 1, max: 10 }), tests: fc.integer({ min: 1, max: 7 }) })
      .chain(({ faults, tests }) => randomProblem(false, faults, tests));
    fc.assert(fc.property(sized, equals), { numRuns: 200, seed: 72 });
  });
});

describe("the planner of large problems", () => {
  it.each([1, 2, 3])(
    "ends within a tenth of a bound that can be met, at 200 faults and 200 tests (seed %i)",
    (seed) => {
      const best = bestPlan(codedProblem(200, seed));
      expect(best.minutes).toBeLessThan(1.1 * best.lowerBound);
      // Each order has to tell 200 faults apart by yes and no.
      expect(best.lowerBound).toBeGreaterThan(Math.log2(200) - 1);
      expect(followed(best)).toBeCloseTo(best.minutes, 9);
    },
  );
});
