/** Which tests do something for safety that others, written behind them, do not do themselves. */
import { safetyMarks } from "../../machine/comes-first.ts";
import { requirementsOf, withNeeds } from "../../machine/set-ups.ts";
import type { BulkProcedure } from "../bulk-procedure.ts";
import type { TestsOfWays } from "./planned-tests.ts";
import type { Passed, WrittenWay } from "./written-ways.ts";

/**
 * By test: those that it may not overtake. On every way to it they come first and acknowledge a caution, or make or
 * undo a set-up, that has to do with a hazard and that it would not do in their place. The same rule as for a step
 * that is taken by choice: nobody can tell from the text that the one does not rest on the other.
 */
export function safetyOrder(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  { planned, answers }: TestsOfWays,
): readonly ReadonlySet<number>[] {
  const marksAt = marksReader(bulk);
  const found: (Set<number> | undefined)[] = planned.map(() => undefined);
  for (const [index] of written.entries()) {
    const given = answers[index] ?? [];
    const state: Reached = { made: 0, warned: [] };
    const before: { readonly test: number; readonly state: Reached; readonly does: ReadonlySet<string> }[] =
      [];
    for (const { test, outcome } of given) {
      const steps = stepsOf(planned[test]?.walked[outcome] ?? []);
      const known = found[test];
      const first = steps[0];
      const resting = before.filter(
        (one) =>
          first !== undefined &&
          one.does.size > 0 &&
          known?.has(one.test) !== false &&
          ![...one.does].every((mark) => marksAt(first, one.state).has(mark)),
      );
      found[test] = new Set(resting.map((one) => one.test));
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
  return found.map((each) => each ?? new Set());
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
