/** Which tests do something for safety that others, written behind them, do not do themselves, or would spoil. */
import {
  doesAsSoon,
  oppositeOf,
  type Reached,
  type SafetyMarks,
  safetyChanges,
  safetyMarks,
  safetyWants,
} from "../../machine/safety-work.ts";
import type { BulkProcedure } from "../bulk-procedure.ts";
import type { TestsOfWays } from "./planned-tests.ts";
import type { Passed, WrittenWay } from "./written-ways.ts";

export interface SafetyOrder {
  /** By test: those that it may not overtake, for they come before it on every way to it. */
  readonly behind: readonly ReadonlySet<number>[];
  /** Tests that rest on what different ones do on different ways, or do on some ways only: asked in their turn only. */
  readonly inTurn: ReadonlySet<number>;
}

/** A test on a way: what stands there, and what it does about it. */
interface Passing {
  readonly test: number;
  readonly state: State;
  readonly does: SafetyMarks;
  readonly changes: ReadonlySet<string>;
  readonly wants: ReadonlySet<string>;
  readonly after: State;
}

/**
 * A test rests on those before it that acknowledge a caution, or make or undo a set-up, that has to do with a hazard
 * and that it would not do in their place, or not as soon. It does not come before those, either, that would find
 * made or undone by it what has to do with a hazard, or want the opposite. The same rules as for a step that is taken
 * by choice: nobody can tell from the text that the one does not rest on the other. On the safe side: what some way
 * to it has done before it counts, though another has not.
 */
export function safetyOrder(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  { planned, answers }: TestsOfWays,
): SafetyOrder {
  const read = stateReader(bulk);
  const found: (Set<number> | undefined)[] = planned.map(() => undefined);
  /** By test and mark that it rests on: the tests that bear it on each way which has it. */
  const bearers = planned.map(() => new Map<string, ReadonlySet<number>>());
  /** By test: all that it would change something for. */
  const spoils = planned.map(() => new Set<number>());
  for (const [index] of written.entries()) {
    const before: Passing[] = [];
    for (const { test, outcome } of answers[index] ?? []) {
      const steps = stepsOf(planned[test]?.walked[outcome] ?? []);
      const known = found[test];
      const [first] = steps;
      const missing = before.map((one) => {
        const own = first === undefined ? one.does : read(first, one.state).marks;
        const lacks = ([mark, work]: readonly [string, ReadonlySet<string>]) => !doesAsSoon(own, mark, work);
        return { test: one.test, marks: [...one.does].filter(lacks).map(([mark]) => mark) };
      });
      const resting = missing.filter((one) => one.marks.length > 0);
      const spoilt = before.filter((one) => spoilsFor(passingOf(read, test, steps, one.state), one));
      for (const one of spoilt) spoils[test]?.add(one.test);
      const earlier = new Set([...resting, ...spoilt].map((one) => one.test));
      found[test] = new Set([...earlier].filter((one) => known?.has(one) !== false));
      for (const [mark, bearing] of bearersOf(standing(resting, before))) {
        const others = bearers[test]?.get(mark);
        bearers[test]?.set(
          mark,
          others === undefined ? bearing : new Set([...bearing].filter((one) => others.has(one))),
        );
      }
      before.push(passingOf(read, test, steps, before.at(-1)?.after ?? START));
    }
  }
  const behind = found.map((each) => each ?? new Set<number>());
  const rests = (test: number) =>
    [...(bearers[test]?.values() ?? [])].some((tests) => ![...tests].some((one) => behind[test]?.has(one))) ||
    [...(spoils[test] ?? [])].some((one) => behind[test]?.has(one) !== true);
  return { behind, inTurn: new Set([...planned.keys()].filter(rests)) };
}

interface Resting {
  readonly test: number;
  readonly marks: readonly string[];
}

/** What tests do for safety as far as none behind them does the opposite: a prop that was taken out holds nothing. */
function standing(resting: readonly Resting[], before: readonly Passing[]): readonly Resting[] {
  const undone = new Set<string>();
  const marksOf = new Map(resting.map(({ test, marks }) => [test, marks]));
  return before.toReversed().map(({ test, does }) => {
    const marks = (marksOf.get(test) ?? []).filter((mark) => !undone.has(mark));
    for (const mark of does.keys()) if (!mark.startsWith("caution ")) undone.add(oppositeMark(mark));
    return { test, marks };
  });
}

function oppositeMark(mark: string): string {
  return mark.startsWith("make ") ? mark.replace("make ", "undo ") : mark.replace(/^undo /, "make ");
}

/** Whether a test in the place of another would change for that one what has to do with a hazard. */
function spoilsFor({ changes, wants }: Passing, other: Passing): boolean {
  return (
    [...changes].some((each) => !other.changes.has(each)) ||
    [...wants].some((want) => other.wants.has(oppositeOf(want)))
  );
}

function passingOf(read: Reader, test: number, steps: readonly number[], state: State): Passing {
  const does = new Map<string, ReadonlySet<string>>();
  const changes = new Set<string>();
  const wants = new Set<string>();
  const work = new Set<string>();
  let after = state;
  for (const step of steps) {
    const here = read(step, after);
    for (const [mark, own] of here.marks) if (!does.has(mark)) does.set(mark, new Set([...work, ...own]));
    for (const each of here.changes) changes.add(each);
    for (const each of here.wants) wants.add(each);
    for (const each of here.work) work.add(each);
    after = here.after;
  }
  return { test, state, does, changes, wants, after };
}

function bearersOf(resting: readonly Resting[]): ReadonlyMap<string, ReadonlySet<number>> {
  const found = new Map<string, Set<number>>();
  for (const { test, marks } of resting)
    for (const mark of marks) found.set(mark, (found.get(mark) ?? new Set()).add(test));
  return found;
}

/** What is made, by number, which cautions were shown, and which facts were measured. */
interface State {
  readonly made: number;
  readonly warned: readonly string[];
  readonly facts: readonly string[];
}

const START: State = { made: 0, warned: [], facts: [] };

/** What a step does in a state. */
interface Read {
  readonly marks: SafetyMarks;
  readonly changes: ReadonlySet<string>;
  readonly wants: ReadonlySet<string>;
  /** Set-ups that it makes or undoes, and facts that it measures. */
  readonly work: readonly string[];
  readonly after: State;
}

type Reader = (step: number, state: State) => Read;

function stepsOf(walked: readonly Passed[]): readonly number[] {
  return walked.flatMap((passed) => ("step" in passed ? [passed.step] : []));
}

/** What a step does in a state; kept, for many ways share their beginning. */
function stateReader(bulk: BulkProcedure): Reader {
  const known = new Map<string, Read>();
  return (step, state) => {
    const key = `${step} ${state.made} ${state.warned.join()} ${state.facts.join()}`;
    const before = known.get(key);
    if (before !== undefined) return before;
    const read = readAt(bulk, step, state);
    known.set(key, read);
    return read;
  };
}

function readAt({ procedure, steps, setUps }: BulkProcedure, at: number, state: State): Read {
  const step = steps[at];
  if (step === undefined)
    return { marks: new Map(), changes: new Set(), wants: new Set(), work: [], after: state };
  const made = setUps.names(state.made);
  const reached: Reached = {
    made,
    warned: state.warned,
    facts: Object.fromEntries(state.facts.map((id) => [id, 0])),
  };
  const after = setUps.after(at, state.made, false);
  const then = setUps.names(after);
  const facts = step.facts.filter(
    (id) => procedure.facts.get(id)?.measure !== undefined && !state.facts.includes(id),
  );
  const undone = made.filter((id) => !then.includes(id));
  const making = then.filter((id) => !made.includes(id));
  const shown = [
    ...step.cautions,
    ...undone.flatMap((id) => procedure.setUps.get(id)?.putBack?.cautions ?? []),
    ...making.flatMap((id) => procedure.setUps.get(id)?.cautions ?? []),
  ];
  return {
    marks: safetyMarks(procedure, reached, step),
    changes: safetyChanges(procedure, reached, step),
    wants: safetyWants(procedure, step),
    work: [
      ...facts.map((id) => `fact ${id}`),
      ...undone.map((id) => `undo ${id}`),
      ...making.map((id) => `make ${id}`),
    ],
    after: {
      made: after,
      warned: [...new Set([...state.warned, ...shown])].sort(),
      facts: [...state.facts, ...facts].sort(),
    },
  };
}
