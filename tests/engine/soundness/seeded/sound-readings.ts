/** Sound procedures that go by readings. */
import { AFTER, MEND, METER, type SoundCase, sound } from "./parts.ts";

const TWO_FAULTS = `faults:
  wire-bad: { title: Wire bad, prior: 2, repair: mend }
  part-bad: { title: Part bad, prior: 3, repair: mend }`;

const FOUND = `  wire-found: { conclude: wire-bad, verify: again }
  part-found: { conclude: part-bad, verify: again }
${AFTER}
${MEND}`;

export const SOUND_READINGS: readonly SoundCase[] = [
  sound(
    "feed-two-bands",
    "The beacon stays dark",
    `
${METER}
${TWO_FAULTS}
start: feed
steps:
  feed:
    measure: voltage
    say: Measure at the plug.
    unit: V
    with: meter
    bands:
      low: { under: 11 V, goto: wire-found }
      good: { from: 11 V, goto: part-found }
    borderline: { goto: feed, at-most: 1 }
    evidence:
      wire-bad: { low: 0.98 }
      part-bad: { good: 0.98 }
${FOUND}`,
  ),
  sound(
    "coil-three-bands",
    "The coil does not pull",
    `
${METER}
faults:
  coil-shorted: { title: Coil shorted, prior: 1, repair: mend }
  coil-open: { title: Coil open, prior: 3, repair: mend }
  other: { title: Something else, prior: 2 }
start: coil
steps:
  coil:
    measure: resistance
    say: Measure across the coil.
    unit: Ohm
    with: meter
    bands:
      shorted: { to: 20 Ohm, goto: shorted-found }
      sound: { over: 20 Ohm, to: 80 Ohm, goto: refer }
      open: { over: 80 Ohm, goto: open-found }
    evidence:
      coil-shorted: { shorted: 0.97, sound: 0.02 }
      coil-open: { open: 0.97, sound: 0.02 }
      otherwise: { sound: 0.98, open: 0.01 }
  shorted-found: { conclude: coil-shorted, verify: again }
  open-found: { conclude: coil-open, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "pressure-by-specification",
    "The brake builds up slowly",
    `
${METER}
specifications:
  cut-in: { title: Cut-in pressure, from: 6.5 bar, to: 7.5 bar, source: depot practice }
faults:
  pipe-leaks: { title: Pipe leaks, prior: 3, repair: mend }
  governor-off: { title: Governor off, prior: 1, repair: mend }
start: gauge
steps:
  gauge:
    measure: pressure
    say: Read the gauge at the tank.
    unit: bar
    with: meter
    specification: cut-in
    outcomes:
      below: { goto: pipe-found }
      within: { goto: refer }
      above: { goto: governor-found }
    borderline: { goto: gauge, at-most: 2, else: refer }
    evidence:
      pipe-leaks: { below: 0.95 }
      governor-off: { above: 0.96, below: 0.01 }
  pipe-found: { conclude: pipe-leaks, verify: again }
  governor-found: { conclude: governor-off, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "battery-one-limit",
    "The battery is flat at dawn",
    `
${METER}
specifications:
  rested: { title: Rested battery, from: 12.4 V, source: depot practice }
faults:
  battery-worn: { title: Battery worn, prior: 3, repair: mend }
  other: { title: Something else, prior: 2 }
start: rest
steps:
  rest:
    measure: voltage
    say: Measure at the posts after a night.
    unit: V
    with: meter
    wait: 30 min
    specification: rested
    outcomes:
      below: { goto: battery-found }
      within: { goto: refer }
    evidence:
      battery-worn: { below: 0.96 }
      otherwise: { within: 0.95 }
  battery-found: { conclude: battery-worn, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "drop-in-two-units",
    "The starter turns slowly",
    `
${METER}
${TWO_FAULTS}
start: drop
steps:
  drop:
    measure: voltage
    say: Measure along the cable while it cranks.
    unit: mV
    with: meter
    limit: 5 s
    bands:
      fine: { under: 0.5 V, goto: part-found }
      high: { from: 500 mV, goto: wire-found }
    evidence:
      wire-bad: { high: 0.98 }
      part-bad: { fine: 0.98 }
${FOUND}`,
  ),
  sound(
    "limits-cited",
    "The reversing lamp stays dark",
    `
${METER}
specifications:
  feed: { title: Feed, from: 11.5 V, to: 15 V, source: depot practice }
${TWO_FAULTS}
start: feed
steps:
  feed:
    measure: voltage
    say: Measure at the lamp.
    unit: V
    with: meter
    bands:
      low: { under: feed.from, goto: wire-found }
      good: { from: feed.from, to: feed.to, goto: part-found }
      high: { over: feed.to, goto: refer }
    evidence:
      wire-bad: { low: 0.97, high: 0.01 }
      part-bad: { good: 0.97, high: 0.01 }
${FOUND}`,
  ),
  sound(
    "limits-looked-up",
    "The crane motor is weak",
    `
${METER}
specifications:
  draw: { title: Motor current, ask: true, unit: A, limits: [from, to] }
${TWO_FAULTS}
start: draw
steps:
  draw:
    measure: current
    say: Clamp round the motor lead.
    unit: A
    with: meter
    specification: draw
    outcomes:
      below: { goto: wire-found }
      within: { goto: refer }
      above: { goto: part-found }
    evidence:
      wire-bad: { below: 0.97, above: 0.01 }
      part-bad: { above: 0.97, below: 0.01 }
${FOUND}`,
  ),
  sound(
    "limits-by-temperature",
    "The coolant gauge stays low",
    `
${METER}
facts:
  coolant: { title: Coolant temperature, measure: temperature, unit: degC, with: meter }
specifications:
  sensor:
    title: Coolant sensor
    from: { by: facts.coolant, table: [ [20 degC, 2300 Ohm], [90 degC, 220 Ohm] ] }
    to: { by: facts.coolant, table: [ [20 degC, 2800 Ohm], [90 degC, 290 Ohm] ] }
    source: depot practice
${TWO_FAULTS}
start: sensor
steps:
  sensor:
    measure: resistance
    say: Measure at the sensor.
    unit: Ohm
    with: meter
    specification: sensor
    outcomes:
      below: { goto: refer }
      within: { goto: wire-found }
      above: { goto: part-found }
    evidence:
      wire-bad: { within: 0.97, below: 0.01 }
      part-bad: { above: 0.97, below: 0.01 }
${FOUND}`,
  ),
  sound(
    "read-as-a-number",
    "The glow plug stays cold",
    `
${METER}
decide-at: 0.9
faults:
  plug-open: { title: Plug open, prior: 3, repair: mend }
  plug-fine: { title: Plug fine and relay stuck, prior: 3, repair: mend }
start: plug
steps:
  plug:
    measure: resistance
    say: Measure from plug to block.
    unit: Ohm
    with: meter
    decide-at: 0.99
    bands:
      sound: { under: 10 Ohm, goto: relay-found }
      open: { from: 10 Ohm, goto: plug-found }
    borderline: { goto: plug, at-most: 1 }
    evidence:
      plug-fine: { reads: 2 Ohm ± 2 Ohm }
      plug-open: { open: 0.98 }
  plug-found: { conclude: plug-open, verify: again }
  relay-found: { conclude: plug-fine, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "reading-below-zero",
    "The gate drifts by itself",
    `
${METER}
faults:
  ground-bad: { title: Ground bad, prior: 2, repair: mend }
  valve-stuck: { title: Valve stuck, prior: 2, repair: mend }
start: offset
steps:
  offset:
    measure: voltage
    say: Measure between the two grounds.
    unit: V
    with: meter
    bands:
      minus: { under: -0.2 V, goto: ground-found }
      none: { from: -0.2 V, to: 0.2 V, goto: valve-found }
      plus: { over: 0.2 V, goto: ground-found }
    evidence:
      ground-bad: { minus: 0.45, plus: 0.5 }
      valve-stuck: { none: 0.97 }
  ground-found: { conclude: ground-bad, verify: again }
  valve-found: { conclude: valve-stuck, verify: again }
${AFTER}
${MEND}`,
  ),
];
