import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { getAdjacencyMap, getShortestPaths } from "xstate/graph";
import type { RunEvent } from "../../../engine/machine/event.ts";
import type { Run } from "../../../engine/machine/run.ts";
import { stepOfState, toStatechart } from "../../../engine/machine/statechart.ts";
import type { Procedure, Step, StepId } from "../../../engine/procedure/model.ts";
import { type Analysis, analyse, isReached } from "../../../engine/soundness/analysis.ts";
import { isImpliedEnd } from "../../../engine/soundness/flow.ts";
import { plainConditions, sampleReading } from "../../../engine/soundness/sample-reading.ts";
import { witnessTo } from "../../../engine/soundness/witness.ts";
import { randomProcedure } from "./random-procedure.ts";
import { checked } from "./seeded/checked.ts";
import { SOUND } from "./seeded/suite.ts";

const OPENING = { run: "graph", at: 0 };

/** Whatever the author wrote an outcome for; `cannot` where it is written. */
function eventsAt(procedure: Procedure, step: Step): readonly RunEvent[] {
  const base = { at: 0, step: step.id };
  const cannot: RunEvent[] =
    step.outcomes.get("cannot")?.implied === false ? [{ ...base, type: "cannot", reason: "dark" }] : [];
  switch (step.kind) {
    case "ask":
      return [
        ...step.answers.map(({ id }): RunEvent => ({ ...base, type: "answer", answer: id })),
        ...cannot,
      ];
    case "measure":
      return [
        ...[...step.outcomes.keys()].flatMap((outcome): readonly RunEvent[] => {
          const reading = sampleReading(procedure, step, outcome);
          return reading === undefined
            ? []
            : [{ ...base, type: "reading", reading, ...plainConditions(procedure, step) }];
        }),
        ...cannot,
      ];
    case "do":
    case "conclude":
      return [{ ...base, type: "done" }, ...cannot];
    case "call":
    case "end":
      return [];
  }
}

/** What the chart's own graph utilities find: how few events lead to each step, and to what states there are. */
function charted(procedure: Procedure) {
  const machine = toStatechart(procedure);
  const events = [...procedure.steps.values()].flatMap((step) => eventsAt(procedure, step));
  const options = {
    input: OPENING,
    events,
    // All that later branches hang on: where the run stands, and how often counted branches were taken.
    serializeState: ({
      value,
      context,
    }: {
      readonly value: unknown;
      readonly context: { readonly run: Run };
    }) => JSON.stringify([value, Object.entries(context.run.taken).toSorted()]),
  };
  const shortest = new Map<StepId, number>();
  for (const { state, steps } of getShortestPaths(machine, options)) {
    const step = stepOfState(machine, state.value) ?? "";
    // The path's first row is the chart's own beginning.
    const events = steps.filter(({ event }) => !event.type.startsWith("xstate.")).length;
    shortest.set(step, Math.min(shortest.get(step) ?? Infinity, events));
  }
  const states = Object.values(getAdjacencyMap(machine, options)).map(({ state }) => ({
    step: stepOfState(machine, state.value) ?? "",
    taken: state.context.run.taken,
  }));
  return { shortest, states };
}

/** Nobody stands at a call or at an end that returns; where unwritten outcomes lead is nobody's step. */
function isStoodAt(step: Step): boolean {
  return (
    step.kind !== "call" && !(step.kind === "end" && step.returnsTo !== undefined) && !isImpliedEnd(step)
  );
}

function expectSameGraph(procedure: Procedure): void {
  const analysis = analyse(procedure);
  const { counted, flow } = analysis;
  const { shortest, states } = charted(procedure);
  const steps = flow.steps.filter(isStoodAt).map(({ id }) => id);
  const reached = steps.filter((id) => isReached(analysis, indexOf(analysis, id)));
  expect(steps.filter((id) => states.some(({ step }) => step === id))).toEqual(reached);
  const asked = (id: StepId) =>
    witnessTo(analysis, indexOf(analysis, id))?.filter(
      ({ step }) => procedure.steps.get(step)?.kind !== "call",
    ).length;
  const byStep = <T>(of: (id: StepId) => T) => reached.map((id) => [id, of(id)] as const);
  expect(byStep((id) => shortest.get(id))).toEqual(byStep(asked));
  const ours = (id: StepId) => counted.steps.filter((index) => flow.steps[index]?.id === id).length;
  const theirs = (id: StepId) =>
    new Set(states.flatMap(({ step, taken }) => (step === id ? countsInside(analysis, id, taken) : []))).size;
  expect(byStep(theirs)).toEqual(byStep(ours));
}

function indexOf({ flow }: Analysis, id: StepId): number {
  return flow.indexOf.get(id) ?? -1;
}

/** The counts of those branches that stay in the circle a step stands in: no others can matter to it any more. */
function countsInside(analysis: Analysis, id: StepId, taken: Run["taken"]): string {
  const circle = (step: StepId) => analysis.components.of[indexOf(analysis, step)];
  const inside = Object.entries(taken).filter(([key]) => {
    const [from = "", outcome = ""] = key.split(":");
    const branch = analysis.procedure.steps.get(from)?.outcomes.get(outcome);
    return [from, ...(branch?.arms.map(({ goto }) => goto) ?? [])].every(
      (step) => circle(step) === circle(id),
    );
  });
  return JSON.stringify(inside.toSorted());
}

/** In how many ways the counted branches can have been taken: XState's utilities walk each of them. */
function mostCounts({ steps }: Procedure): number {
  return [...steps.values()]
    .flatMap((step) => [...step.outcomes.values()])
    .reduce((product, { atMost = 0 }) => product * (atMost + 1), 1);
}

/** Without what has to be known, read or made first, which takes events of its own. */
function isPlain({ facts, setUps, cautions, specifications, steps }: Procedure): boolean {
  const first = [...specifications.values()].some(({ open }) => open) || setUps.size + cautions.size > 0;
  const conditions = [...steps.values()].some((step) =>
    [...step.outcomes.values()].some((branch) => branch.arms.length > 1),
  );
  const computed = [...steps.values()].some((step) => step.kind === "measure" && step.value !== undefined);
  return [...facts.values()].every(({ list }) => list) && !first && !conditions && !computed;
}

describe("XState's own graph utilities on the chart of a procedure", () => {
  it("find the same reachable states and the same shortest ways as the proofs, on random procedures", () => {
    fc.assert(
      fc.property(randomProcedure(), (procedure) => {
        fc.pre(mostCounts(procedure) <= 80);
        expectSameGraph(procedure);
      }),
      { numRuns: 100 },
    );
  });

  const plain = SOUND.flatMap((one) => {
    const { procedure } = checked(one);
    return procedure && isPlain(procedure) ? [{ id: one.id, procedure }] : [];
  });

  it.each(plain)("find the same in $id", ({ procedure }) => {
    expectSameGraph(procedure);
  });

  it("were asked about calls, counted branches and measured steps as well", () => {
    const kinds = plain.flatMap(({ procedure }) => [...procedure.steps.values()].map(({ kind }) => kind));
    expect(plain.length).toBeGreaterThanOrEqual(15);
    expect(kinds).toEqual(expect.arrayContaining(["call", "measure", "do", "conclude"]));
  });
});
