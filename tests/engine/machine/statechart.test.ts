import { describe, expect, it } from "vitest";
import { createActor, transition } from "xstate";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { RunEvent } from "../../../engine/machine/event.ts";
import { stepOfState, toStatechart } from "../../../engine/machine/statechart.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { fanText, load, sound } from "../procedure/fan-text.ts";

const OPENING = { run: "run-1", at: 0 };

/** Where chart and pure function stand after the events, and whether their runs are the same. */
function together(procedure: Procedure, events: readonly RunEvent[]) {
  const machine = toStatechart(procedure);
  let snapshot = createActor(machine, { input: OPENING }).getSnapshot();
  let run = openRun(procedure, OPENING);
  for (const event of events) {
    [snapshot] = transition(machine, snapshot, event);
    const next = advance(procedure, run, event);
    if (!next.ok) throw new Error(JSON.stringify(next.refusal));
    run = next.run;
  }
  expect(snapshot.context.run).toEqual(run);
  return { chart: stepOfState(machine, snapshot.value), run: run.step };
}

const STEP = (outcomes: string, needs = "") => `
  first: { measure: resistance, unit: Ohm, specification: winding, ${needs} outcomes: { ${outcomes} } }
  good: { end: no-fault-found }`;

describe("the statechart", () => {
  it("goes where a draft's run goes when an outcome leads nowhere", () => {
    const { procedure } = load(fanText({ start: "first", steps: STEP("within: { goto: good }") }));
    if (procedure === undefined) throw new Error("the draft does not link");
    const stood = together(procedure, [{ type: "reading", at: 1, step: "first", reading: "40" }]);
    expect(stood).toEqual({ chart: "end/unresolved", run: "end/unresolved" });
  });

  it("ends unresolved in a draft that leads to no such end", () => {
    const steps = `
  first: { ask: Again?, cannot: { goto: good }, answers: { again: { goto: first, at-most: 1 } } }
  good: { end: no-fault-found }`;
    const faults = "\n  other: { title: Something else, prior: 1 }";
    const { procedure } = load(fanText({ faults, repairs: "{}", start: "first", steps }));
    if (procedure === undefined) throw new Error("the draft does not link");
    const again = { type: "answer", at: 1, step: "first", answer: "again" } as const;
    expect(procedure.steps.has("end/unresolved")).toBe(false);
    expect(together(procedure, [again, again])).toEqual({ chart: "end/unresolved", run: "end/unresolved" });
  });

  it("leads out of a draft's call of what is not there", () => {
    const steps = `
  first: { ask: Well?, answers: { "yes": { goto: inspect } } }
  inspect: { call: connecter, returns: { no-fault-found: { goto: good } } }
  good: { end: no-fault-found }`;
    const { procedure } = load(fanText({ start: "first", steps }));
    if (procedure === undefined) throw new Error("the draft does not link");
    const yes = { type: "answer", at: 1, step: "first", answer: "yes" } as const;
    expect(together(procedure, [yes])).toEqual({ chart: "end/unresolved", run: "end/unresolved" });
  });

  it("tells steps from the ends that nobody wrote, whatever they are called", () => {
    const steps = `
  first: { ask: Well?, answers: { "yes": { goto: unresolved }, "no": { goto: stopped } } }
  unresolved: { ask: Still?, answers: { "yes": { goto: stopped } } }
  stopped: { end: referred }`;
    const procedure = sound(fanText({ start: "first", steps }));
    const yes = { type: "answer", at: 1, step: "first", answer: "yes" } as const;
    const cannot = { type: "cannot", at: 2, step: "unresolved", reason: "no light" } as const;
    const stop = { type: "stop", at: 2, reason: "called away" } as const;
    expect(together(procedure, [yes]).chart).toBe("unresolved");
    expect(together(procedure, [yes, cannot]).chart).toBe("end/unresolved");
    expect(together(procedure, [yes, stop]).chart).toBe("end/stopped");
  });

  it("takes limits that are told unasked, before and at the step", () => {
    const outcomes = "below: { goto: good }, within: { goto: good }, above: { goto: good }";
    const told = {
      type: "specification",
      at: 1,
      specification: "winding",
      limits: { to: "2" },
      source: "sheet",
    } as const;
    for (const needs of ["", "needs: [shield-off],"]) {
      const procedure = sound(fanText({ start: "first", steps: STEP(outcomes, needs) }));
      expect(together(procedure, [told])).toEqual({ chart: "first", run: "first" });
    }
  });

  it("drops what is not asked, and stays where it is", () => {
    const machine = toStatechart(sound(fanText()));
    const before = createActor(machine, { input: OPENING }).getSnapshot();
    const [after] = transition(machine, before, { type: "answer", at: 1, step: "feed", answer: "yes" });
    expect(after.context.run).toBe(before.context.run);
    expect(after.value).toEqual(before.value);
  });
});
