/** Sound procedures whose readings are corrected, reckoned with or compared with earlier ones. */
import { AFTER, MEND, METER, type SoundCase, sound } from "./parts.ts";

const TWO_FAULTS = `faults:
  wire-bad: { title: Wire bad, prior: 2, repair: mend }
  part-bad: { title: Part bad, prior: 3, repair: mend }`;

const FOUND = `  wire-found: { conclude: wire-bad, verify: again }
  part-found: { conclude: part-bad, verify: again }
${AFTER}
${MEND}`;

export const SOUND_RECKONED: readonly SoundCase[] = [
  sound(
    "winding-corrected",
    "The fan motor hums",
    `
${METER}
${TWO_FAULTS}
start: winding
steps:
  winding:
    measure: resistance
    say: Measure across the motor.
    unit: Ohm
    with: meter
    correct:
      leads: subtract
      temperature: { ask: Temperature of the case, metal: copper }
      to: 20 degC
    bands:
      sound: { under: 5 Ohm, goto: wire-found }
      high: { from: 5 Ohm, goto: part-found }
    evidence:
      wire-bad: { sound: 0.97 }
      part-bad: { high: 0.97 }
${FOUND}`,
  ),
  sound(
    "difference-reckoned",
    "The tail lamps are dim",
    `
${METER}
${TWO_FAULTS}
start: battery
steps:
  battery:
    measure: voltage
    say: Measure at the battery.
    unit: V
    with: meter
    plausible: { from: 5 V }
    goto: lamp
  lamp:
    measure: voltage
    say: Measure at the lamp.
    unit: V
    with: meter
    value: "readings.battery - reading"
    bands:
      little: { under: 0.5 V, goto: part-found }
      much: { from: 0.5 V, goto: wire-found }
    evidence:
      wire-bad: { much: 0.98 }
      part-bad: { little: 0.98 }
${FOUND}`,
  ),
  sound(
    "guarded-reading",
    "The winch stops at times",
    `
${METER}
${TWO_FAULTS}
start: sag
steps:
  sag:
    measure: voltage
    say: Measure at the winch while it pulls.
    unit: V
    with: meter
    bands:
      low: { under: 10 V, goto: wire-found }
      good: { from: 10 V, goto: warm }
    cannot: { goto: warm }
    evidence:
      wire-bad: { low: 0.9 }
      part-bad: { good: 0.98 }
  warm:
    ask: Is the motor hot to the nose?
    answers:
      hot:
        then:
          - { if: '"sag" in readings && readings["sag"] > 10.5', goto: part-found }
          - { goto: part-found }
      cool: { goto: refer }
    evidence:
      part-bad: { hot: 0.98 }
      otherwise: { cool: 0.97 }
${FOUND}`,
  ),
  sound(
    "rate-by-time",
    "The air tank empties",
    `
${METER}
faults:
  line-leaks: { title: Line leaks, prior: 3, repair: mend }
  other: { title: Something else, prior: 1 }
start: full
steps:
  full:
    measure: pressure
    say: Read the gauge with the engine off.
    unit: bar
    with: meter
    goto: later
  later:
    measure: pressure
    say: Read it again after ten minutes.
    unit: bar
    with: meter
    wait: 10 min
    value: '(readings.full - reading) / max(elapsed["full"], 1.0) * 10.0'
    bands:
      tight: { under: 0.5 bar, goto: refer }
      leaks: { from: 0.5 bar, goto: line-found }
    evidence:
      line-leaks: { leaks: 0.97 }
      otherwise: { tight: 0.97 }
  line-found: { conclude: line-leaks, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "same-temperature-twice",
    "The glow relay chatters",
    `
${METER}
specifications:
  coil: { title: Coil, from: 20 Ohm, to: 30 Ohm, at: 20 degC, source: depot practice }
${TWO_FAULTS}
start: coil
steps:
  coil:
    measure: resistance
    say: Measure across the coil.
    unit: Ohm
    with: meter
    correct:
      leads: ask
      temperature: { ask: Temperature of the relay, metal: copper }
      to: 68 degF
    specification: coil
    outcomes:
      below: { goto: part-found }
      within: { goto: wire-found }
      above: { goto: part-found }
    evidence:
      wire-bad: { within: 0.97 }
      part-bad: { above: 0.5, below: 0.47 }
${FOUND}`,
  ),
];
