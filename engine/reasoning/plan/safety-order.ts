/** Which tests do something for safety that others, written behind them, do not do themselves. */
import { safetyMarks } from "../../machine/comes-first.ts";
import { requirementsOf, withNeeds } from "../../machine/set-ups.ts";
import type { BulkProcedure } from "../bulk-procedure.ts";
import type { TestsOfWays } from "./planned-tests.ts";
import type { Passed, WrittenWay } from "./written-ways.ts";

export interface SafetyOrder {
  /** By test: those that it may not overtake, for they do so on every way to it. */
  readonly behind: readonly ReadonlySet<number>[];
  /** Tests that rest on what different ones do on different ways, or do on some ways only: asked in their turn only. */
  readonly inTurn: ReadonlySet<number>;
}

/**
 * A test rests on those before it that acknowledge a caution, or make or undo a set-up, that has to do with a hazard
 * and that it would not do in their place. The same rule as for a step that is taken by choice: nobody can tell from
 * the text that the one does not rest on the other. On the safe side: what some way to it has done before it counts,
 * though another has not.
 */
export function safetyOrder(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  { planned, answers }: TestsOfWays,
): SafetyOrder {
  const marksAt = marksReader(bulk);
  const found: (Set<number> | undefined)[] = planned.map(() => undefined);
  /** By test and mark that it rests on: the tests that bear it on each way which has it. */
  const bearers = planned.map(() => new Map<string, ReadonlySet<number>>());
  for (const [index] of written.entries()) {
    const given = answers[index] ?? [];
    const state: Reached = { made: 0, warned: [] };
    const before: { readonly test: number; readonly state: Reached; readonly does: ReadonlySet<string> }[] =
      [];
    for (const { test, outcome } of given) {
      const steps = stepsOf(planned[test]?.walked[outcome] ?? []);
      const known = found[test];
      const [first] = steps;
      const missing = before.map((one) => {
        const own = first === undefined ? one.does : marksAt(first, one.state);
        return { test: one.test, marks: [...one.does].filter((mark) => !own.has(mark)) };
      });
      const resting = missing.filter((one) => one.marks.length > 0);
      found[test] = new Set(resting.map((one) => one.test).filter((one) => known?.has(one) !== false));
      for (const [mark, bearing] of bearersOf(resting)) {
        const others = bearers[test]?.get(mark);
        bearers[test]?.set(
          mark,
          others === undefined ? bearing : new Set([...bearing].filter((one) => others.has(one))),
        );
      }
      const here = { ...state };
      const does = new Set<string>();
      for (const step of steps) {
        for (const mark of marksAt(step, state)) does.add(mark);
        state.made = bulk.setUps.after(step, state.made, false);
        state.warned = withCautions(bulk, step, state.warned);
      }
      before.push({ test, state: here, does });
    }
  }
  const behind = found.map((each) => each ?? new Set<number>());
  const rests = (test: number) =>
    [...(bearers[test]?.values() ?? [])].some((tests) => ![...tests].some((one) => behind[test]?.has(one)));
  return { behind, inTurn: new Set([...planned.keys()].filter(rests)) };
}

function bearersOf(
  resting: readonly { readonly test: number; readonly marks: readonly string[] }[],
): ReadonlyMap<string, ReadonlySet<number>> {
  const found = new Map<string, Set<number>>();
  for (const { test, marks } of resting)
    for (const mark of marks) found.set(mark, (found.get(mark) ?? new Set()).add(test));
  return found;
}

/** What is made, and which cautions were shown. */
interface Reached {
  made: number;
  warned: readonly string[];
}

function stepsOf(walked: readonly Passed[]): readonly number[] {
  return walked.flatMap((passed) => ("step" in passed ? [passed.step] : []));
}

/** Marks of a step in a state; kept, for many ways share their beginning. */
function marksReader({ procedure, steps, setUps }: BulkProcedure) {
  const known = new Map<string, ReadonlySet<string>>();
  return (at: number, { made, warned }: Reached): ReadonlySet<string> => {
    const key = `${at} ${made} ${warned.join()}`;
    const before = known.get(key);
    if (before !== undefined) return before;
    const step = steps[at];
    const marks =
      step === undefined
        ? new Set<string>()
        : safetyMarks(procedure, { made: setUps.names(made), warned }, step);
    known.set(key, marks);
    return marks;
  };
}

function withCautions({ procedure, steps }: BulkProcedure, at: number, warned: readonly string[]) {
  const step = steps[at];
  if (step === undefined) return warned;
  const setUps = withNeeds(procedure, requirementsOf(procedure, step).needs);
  const shown = [...step.cautions, ...setUps.flatMap((id) => procedure.setUps.get(id)?.cautions ?? [])];
  return [...new Set([...warned, ...shown])].sort();
}
