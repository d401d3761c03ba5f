import { type Library, type Loaded, loadProcedure, usable } from "../../../engine/procedure/load.ts";
import type { Procedure, Step, StepId } from "../../../engine/procedure/model.ts";

/** A small sound procedure `fan`; its parts can be replaced or added to by their keys. */
export function fanText(parts: Readonly<Record<string, string>> = {}): string {
  const whole = { ...FAN, ...parts };
  return Object.entries(whole)
    .map(([key, value]) => (value.includes("\n") ? `${key}:\n${value}` : `${key}: ${value}`))
    .join("\n");
}

const FAN = {
  procedure: "fan",
  title: "Fan stays off",
  revision: "3",
  complaint: "The fan stays off.",
  instruments: `
  meter:
    title: Handheld meter
    accuracy:
      voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V }
      resistance: { reading: 0.9 %, counts: 2, resolution: 0.1 Ohm, leads: 0.3 Ohm }`,
  specifications: `
  feed-voltage: { from: 11.5 V, source: depot practice }
  winding: { from: 0.3 Ohm, to: 1.2 Ohm, at: 20 degC }`,
  cautions: `
  fan-starts: { signal: warning, hazard: The fan can start., avoid: Keep hands out., covers: [rotating] }`,
  "set-ups": `
  shield-off: { do: Take the shield off., minutes: 8, put-back: { do: Refit it., minutes: 6, torque: 9 N.m } }
  plug-apart: { do: Unplug it., minutes: 4, needs: [shield-off], put-back: { do: Plug it in., minutes: 1 } }`,
  faults: `
  fuse-open: { title: Fuse open, prior: 5, repair: fit-fuse }
  motor-open: { title: Motor open, prior: 3, repair: fit-motor }
  other: { title: Something else, prior: 1 }`,
  repairs: `
  fit-fuse: { minutes: 3, do: [ { say: Fit a fuse. } ] }
  fit-motor: { minutes: 45, needs: [shield-off], do: [ { say: Fit a motor., torque: { from: 8 N.m, to: 9 N.m } } ] }`,
  start: "hot",
  steps: `
  hot:
    ask: Does the fan stay still?
    cautions: [fan-starts]
    answers:
      "yes": { goto: feed }
      "no": { goto: not-present }
  feed:
    measure: voltage
    unit: V
    with: meter
    needs: [plug-apart]
    bands:
      dead: { under: 1 V, goto: fuse-bad }
      live: { from: 1 V, goto: winding }
    evidence:
      fuse-open: { dead: 0.98 }
      otherwise: { live: 0.97 }
  winding:
    measure: resistance
    unit: Ohm
    with: meter
    wait: 90 s
    correct: { leads: subtract, temperature: { ask: Temperature of the case, metal: copper } }
    specification: winding
    outcomes:
      below: { goto: referred }
      within: { goto: other-found }
      above: { goto: motor-bad }
    borderline: { goto: winding, at-most: 2 }
    evidence:
      motor-open: { above: 0.99 }
      other: { reads: 0.6 Ohm ± 0.1 Ohm }
  fuse-bad: { conclude: fuse-open, verify: again }
  motor-bad: { conclude: [motor-open, fuse-open], verify: again }
  other-found: { conclude: other, goto: referred }
  again:
    ask: Does it run?
    answers: { runs: { goto: fixed }, still: { goto: hot, at-most: 1, else: referred } }
  fixed: { end: fixed }
  not-present: { end: no-fault-found }
  referred: { end: referred }`,
};

/** A small sound procedure `connector`, to be called; returns `fault-found`, `no-fault-found`, `unresolved`. */
export const CONNECTOR = `
procedure: connector
title: Connector inspection
revision: 1
complaint: A connector is suspected.
facts:
  which: { ask: Which connector?, choices: { valve-plug: The valve plug, gateway: The gateway } }
  heat: { measure: temperature, unit: degC }
cautions:
  pins: { signal: caution, hazard: Pins bend., avoid: Use the right probe. }
set-ups:
  apart: { do: "Unplug {facts.which}.", minutes: 2, put-back: { do: Plug it in., minutes: 1 } }
faults:
  pin-loose: { title: "Pin loose in {facts.which}", prior: 2, repair: fit-pin }
repairs:
  fit-pin: { minutes: 9, needs: [apart], do: [ { say: Fit a new pin., cautions: [pins] } ] }
start: look
steps:
  look:
    ask: "Look at {facts.which}. Are the pins straight?"
    needs: [apart]
    cautions: [pins]
    answers:
      straight: { then: [ { if: "facts.heat > 40.0", goto: clean }, { goto: clean } ] }
      bent: { goto: loose }
    evidence: { pin-loose: { bent: 0.9 } }
  loose: { conclude: pin-loose, verify: again }
  again: { ask: Straight now?, answers: { "yes": { goto: mended }, "no": { goto: gone } } }
  mended: { end: fixed }
  gone: { end: unresolved }
  clean: { end: no-fault-found }
`;

export function libraryOf(texts: Readonly<Record<string, string>>): Library {
  const table = new Map(Object.entries(texts));
  return { procedure: (id) => table.get(id), equipment: (id) => table.get(`equipment/${id}`) };
}

/** The text loaded as `trees/fan.yaml`, beside others by id and `equipment/<id>`. */
export function load(text: string, others: Readonly<Record<string, string>> = {}): Loaded {
  return loadProcedure(text, "trees/fan.yaml", libraryOf(others));
}

/** The procedure of a text that has nothing to be found wrong. */
export function sound(text: string, others: Readonly<Record<string, string>> = {}): Procedure {
  const { procedure, findings } = load(text, others);
  if (procedure === undefined || !usable(findings)) throw new Error(JSON.stringify(findings));
  return procedure;
}

/** Findings as code, path and params, short enough to compare. */
export function told(loaded: Pick<Loaded, "findings">): readonly string[] {
  return loaded.findings.map(({ code, node, params }) => {
    const said = Object.entries(params).map(([key, value]) => `${key}=${value}`);
    return [code, node.path.join("."), ...said].join(" ");
  });
}

/** The step of that kind, or a failed test. */
export function stepOf<K extends Step["kind"]>(
  procedure: Procedure | undefined,
  id: StepId,
  kind: K,
): Extract<Step, { kind: K }> {
  const step = procedure?.steps.get(id);
  if (step?.kind !== kind) throw new Error(`${id} is no ${kind}`);
  return step as Extract<Step, { kind: K }>;
}

/** Where each outcome of a step leads, arms joined. */
export function waysOf(step: Step): Readonly<Record<string, string>> {
  return Object.fromEntries(
    [...step.outcomes].map(([outcome, branch]) => [outcome, branch.arms.map((arm) => arm.goto).join("|")]),
  );
}
