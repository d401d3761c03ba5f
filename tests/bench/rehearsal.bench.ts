/**
 * The bulk stepper against XState's pure transition, on the same walks of a shipped procedure. Target: at least 20
 * times as fast, step for step. A walk in the chart also takes what stands before a step (facts, set-ups, cautions) as
 * events of its own, so the ratio is printed by walk and by event.
 */
import { bench, describe } from "vitest";
import { createActor, transition } from "xstate";
import { advance } from "../../engine/machine/advance.ts";
import { openRun } from "../../engine/machine/apply.ts";
import type { RunEvent } from "../../engine/machine/event.ts";
import { promptOf } from "../../engine/machine/prompt-of.ts";
import { toStatechart } from "../../engine/machine/statechart.ts";
import { END_WORDS, type Procedure } from "../../engine/procedure/model.ts";
import { bulkProcedure } from "../../engine/reasoning/bulk-procedure.ts";
import { type ArmChooser, blankWalk, openWalk, stepWalk } from "../../engine/reasoning/bulk-walk.ts";
import { expectedRun } from "../../engine/reasoning/expected-run.ts";
import { rehearsal } from "../../engine/reasoning/rehearse.ts";
import { randomEvent } from "../engine/random-event.ts";
import { shippedProcedure } from "../trees.ts";

const AT = 1_700_000_000_000;
const OPENING = { run: "bench", at: AT };
const procedure = shippedProcedure("gate-lift-does-not-lower");
const bulk = bulkProcedure(procedure);
const machine = toStatechart(procedure);

interface Recorded {
  readonly events: readonly RunEvent[];
  /** Outcomes by number, and the arms of branches with conditions, in the order asked for. */
  readonly outcomes: readonly number[];
  readonly arms: readonly number[];
  readonly end: string;
}

function recordWalk(of: Procedure, seed: number): Recorded {
  let state = seed;
  const draw = () => {
    state = (Math.imul(state, 1_103_515_245) + 12_345) & 0x7fff_ffff;
    return state >> 8;
  };
  let run = openRun(of, OPENING);
  const events: RunEvent[] = [];
  const outcomes: number[] = [];
  const arms: number[] = [];
  for (let tried = 0; run.end === undefined && tried < 2_000; tried += 1) {
    const event = randomEvent(promptOf(of, run), draw() % 36, AT);
    if (event === undefined) break;
    const from = run.step;
    const next = advance(of, run, event);
    if (!next.ok) continue;
    run = next.run;
    events.push(event);
    const first = run.hops[0];
    if (first === undefined) continue;
    outcomes.push(bulk.outcomes[bulk.indexOf.get(from) ?? -1]?.indexOf(first.outcome) ?? -1);
    for (const hop of run.hops) {
      const branch = of.steps.get(hop.step)?.outcomes.get(hop.outcome);
      if (hop.arm !== "else" && branch !== undefined && branch.arms.length > 1) arms.push(hop.arm);
    }
  }
  if (run.end === undefined) throw new Error(`walk ${seed} does not end`);
  return { events, outcomes, arms, end: run.end };
}

const walks = Array.from({ length: 100 }, (_, seed) => recordWalk(procedure, seed + 1));
const walk = blankWalk(bulk);

function walkInBulk({ outcomes, arms }: Recorded): string | undefined {
  let asked = 0;
  const chooser: ArmChooser = () => {
    asked += 1;
    return arms[asked - 1] ?? 0;
  };
  openWalk(bulk, walk, chooser);
  for (const outcome of outcomes) stepWalk(bulk, walk, outcome, chooser);
  return END_WORDS[walk.end];
}

const opened = createActor(machine, { input: OPENING }).getSnapshot();

function walkInChart({ events }: Recorded): string | undefined {
  let snapshot = opened;
  for (const event of events) [snapshot] = transition(machine, snapshot, event);
  return snapshot.context.run.end;
}

/** Seconds for all walks, the best of several rounds, each of which is repeated so that a clock can see it. */
function secondsFor(go: (one: Recorded) => string | undefined, repeated: number): number {
  let best = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 5; round += 1) {
    const begun = performance.now();
    for (let time = 0; time < repeated; time += 1)
      for (const one of walks) if (go(one) !== one.end) throw new Error("the walks come apart");
    best = Math.min(best, (performance.now() - begun) / 1000 / repeated);
  }
  return best;
}

const inChart = secondsFor(walkInChart, 1);
const inBulk = secondsFor(walkInBulk, 200);
const events = walks.reduce((sum, one) => sum + one.events.length, 0);
const steps = walks.reduce((sum, one) => sum + one.outcomes.length, 0);
const byStep = inChart / events / (inBulk / steps);
process.stdout.write(
  `bulk stepper: ${Math.round(steps / inBulk)} steps/s; XState's transition: ${Math.round(events / inChart)} events/s; ` +
    `${Math.round(inChart / inBulk)} times as fast by walk, ${Math.round(byStep)} times by event\n`,
);
if (byStep < 20) throw new Error(`The bulk stepper is only ${byStep.toFixed(1)} times as fast.`);

describe("the same 100 walks of a shipped procedure", () => {
  bench("the bulk stepper", () => {
    for (const one of walks) walkInBulk(one);
  });
  bench("XState's pure transition", () => {
    for (const one of walks) walkInChart(one);
  });
});

describe("a rehearsal of a shipped procedure", () => {
  bench("100,000 runs", () => rehearsal(bulk, { seed: 1, slips: 0 }).run(0, 100_000), {
    iterations: 5,
    time: 0,
  });
  bench("the exact expectation", () => void expectedRun(bulk), { iterations: 5, time: 0 });
});
