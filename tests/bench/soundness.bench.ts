/**
 * Proofs of procedures as large as anyone writes, and larger. Targets: 10,000 steps in under a second, growth no
 * worse than n log n to 100,000, the recheck after one edit of 1,000 steps in under 16 ms. Linking is not counted.
 */
import { bench, describe } from "vitest";
import { getShortestPaths } from "xstate/graph";
import type { RunEvent } from "../../engine/machine/event.ts";
import { toStatechart } from "../../engine/machine/statechart.ts";
import { keepUnchanged } from "../../engine/procedure/keep-unchanged.ts";
import type { Branch, Outcome, Procedure, Step } from "../../engine/procedure/model.ts";
import { checkProcedure } from "../../engine/soundness/check.ts";
import { sampleReading } from "../../engine/soundness/sample-reading.ts";
import { largeProcedure } from "../engine/soundness/large-procedure.ts";

const once = { iterations: 5, warmupIterations: 2, time: 0, warmupTime: 0 };

/** A copy of which nothing is known from an earlier proof. Copying is counted; it takes a fiftieth of the time. */
function unknown(procedure: Procedure): Procedure {
  const steps = [...procedure.steps].map(([id, step]) => [id, { ...step }] as const);
  return { ...procedure, faults: new Map(procedure.faults), steps: new Map(steps) };
}

describe("a procedure is proved", () => {
  for (const steps of [1_000, 10_000, 100_000]) {
    const procedure = largeProcedure(steps);
    bench(`${steps} steps`, () => void checkProcedure(unknown(procedure)), once);
  }
});

describe("1,000 steps, one of them edited", () => {
  const before = largeProcedure(1_000);
  checkProcedure(before);
  let edits = 0;
  /** Linked again after an edit: equal in all but one step, the same in nothing. */
  const edited = (change: (step: Step) => Step, kind = /^test/): Procedure => {
    edits += 1;
    const again = largeProcedure(1_000);
    const ids = [...again.steps.keys()].filter((each) => kind.test(each));
    const id = ids[(edits * 7) % ids.length] ?? "";
    const step = again.steps.get(id);
    const steps = new Map(again.steps);
    if (step !== undefined) steps.set(id, change(step));
    return { ...again, steps };
  };
  const inWords = (step: Step): Step => ({ ...step, title: `Edit ${edits}` });
  const inEvidence = (step: Step): Step => {
    const { evidence } = step;
    const otherwise = new Map([["good", 0.98 + edits / 10_000]]);
    return evidence === undefined ? step : { ...step, evidence: { ...evidence, otherwise } };
  };
  /** Another bound of a way back: what runs can go round changes, and nothing is found. */
  const inBound = (step: Step): Step => withBranch(step, "dirty", { atMost: 3 + (edits % 2) });
  /** Dry parts are looked at as wet ones are: the ways to conclusions change. */
  const inGoto = (step: Step): Step => {
    const [arm] = step.outcomes.get("done")?.arms ?? [];
    const goto = step.id.replace("dry", "wet");
    return arm === undefined ? step : withBranch(step, "done", { arms: [{ ...arm, goto }] });
  };
  /** Both bands of a reading meet at another voltage. */
  const inLimit = (step: Step): Step => {
    if (step.kind !== "measure" || step.judged.by !== "bands") return step;
    const limit = { kind: "fixed", quantity: { value: 2 + edits / 100, unit: "V" } } as const;
    const bands = step.judged.bands.map(({ low, high, ...band }) => ({
      ...band,
      ...(low === undefined ? {} : { low: { ...low, limit } }),
      ...(high === undefined ? {} : { high: { ...high, limit } }),
    }));
    return { ...step, judged: { ...step.judged, bands } };
  };
  const many = { iterations: 60, warmupIterations: 30, time: 0, warmupTime: 0 };
  const rechecked = (name: string, change: (step: Step) => Step, kind?: RegExp): void => {
    let texts: readonly Procedure[] = [];
    let next = -1;
    const check = (): void => {
      next = (next + 1) % texts.length;
      checkProcedure(keepUnchanged(before, texts[next] ?? before));
    };
    // Few at a time, so that what is measured is not the collector's work on them.
    const setup = (): void => {
      texts = Array.from({ length: 10 }, () => edited(change, kind));
    };
    const teardown = (): void => {
      texts = [];
    };
    bench(`in ${name}, what is unchanged kept`, check, { ...many, setup, teardown });
  };
  rechecked("its words", inWords);
  rechecked("its evidence", inEvidence);
  rechecked("a bound", inBound);
  rechecked("a limit", inLimit, /^r\d/);
  rechecked("where it leads", inGoto, /^dry/);
  bench("checked as if new", () => void checkProcedure(unknown(before)), many);
});

function withBranch(step: Step, outcome: Outcome, change: Partial<Branch>): Step {
  const branch = step.outcomes.get(outcome);
  if (branch === undefined) return step;
  return { ...step, outcomes: new Map([...step.outcomes, [outcome, { ...branch, ...change }]]) };
}

describe("every step reached from the start, on a size that both finish", () => {
  const procedure = largeProcedure(40);
  bench("the whole proof", () => void checkProcedure(unknown(procedure)), once);
  bench("XState's shortest paths alone", () => void shortestPaths(procedure), once);
});

/** Walked by the chart's own utilities, states told apart by all that later branches hang on. */
function shortestPaths(procedure: Procedure): number {
  const events = [...procedure.steps.values()].flatMap((step): readonly RunEvent[] => {
    const base = { at: 0, step: step.id };
    if (step.kind === "ask") return step.answers.map(({ id }) => ({ ...base, type: "answer", answer: id }));
    if (step.kind !== "measure") return [{ ...base, type: "done" }];
    return [...step.outcomes.keys()].flatMap((outcome) => {
      const reading = sampleReading(procedure, step, outcome);
      return reading === undefined ? [] : [{ ...base, type: "reading" as const, reading }];
    });
  });
  return getShortestPaths(toStatechart(procedure), {
    input: { run: "graph", at: 0 },
    events,
    serializeState: ({ value, context }) => JSON.stringify([value, Object.entries(context.run.taken)]),
  }).length;
}
