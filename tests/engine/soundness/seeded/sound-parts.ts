/** Sound procedures with facts, conditions, calls and equipment sheets. */
import { AFTER, MEND, METER, type SoundCase, sound, written } from "./parts.ts";

const LOOK = written(
  "look-at-plug",
  "A plug may be wet",
  `
faults:
  pin-wet: { title: Pin wet, prior: 3, repair: mend }
start: look
steps:
  look:
    ask: Are the pins wet or green?
    answers:
      wet: { goto: wet-found }
      dry: { goto: none }
    evidence:
      pin-wet: { wet: 0.98 }
      otherwise: { dry: 0.99 }
  wet-found: { conclude: pin-wet, verify: again }
${AFTER}
  none: { end: no-fault-found }
${MEND}`,
);

const LOOK_FOR = written(
  "look-at-named-plug",
  "A named plug may be wet",
  `
facts:
  plug: { title: Plug, ask: Which plug?, choices: { front: Front plug, rear: Rear plug } }
set-ups:
  apart: { do: Pull the halves apart., minutes: 1, put-back: { do: Push them together., minutes: 1 } }
faults:
  pin-wet: { title: Pin wet, prior: 3, repair: mend }
start: look
steps:
  look:
    ask: Are the pins of {facts.plug} wet?
    needs: [apart]
    answers:
      wet: { goto: wet-found }
      dry: { goto: none }
    evidence:
      pin-wet: { wet: 0.98 }
      otherwise: { dry: 0.99 }
  wet-found: { conclude: pin-wet, verify: again }
${AFTER}
  none: { end: no-fault-found }
${MEND}`,
);

export const SOUND_PARTS: readonly SoundCase[] = [
  sound(
    "plug-called",
    "The trailer lamps flicker",
    `
faults:
  lamp-loose: { title: Lamp loose, prior: 2, repair: mend }
start: plug
steps:
  plug:
    call: look-at-plug
    returns:
      fault-found: { goto: mended }
      no-fault-found: { goto: tap }
  tap:
    ask: Does it flicker when the lamp is tapped?
    answers:
      flickers: { goto: lamp-found }
      steady: { goto: refer }
    evidence:
      lamp-loose: { flickers: 0.99 }
      otherwise: { steady: 0.99 }
  lamp-found: { conclude: lamp-loose, verify: again }
${AFTER}
${MEND}`,
    { called: { "look-at-plug": LOOK } },
  ),
  sound(
    "plug-called-twice",
    "The trailer brakes pull to one side",
    `
faults:
  cable-cut: { title: Cable cut, prior: 1 }
start: first
steps:
  first:
    call: look-at-plug
    returns:
      fault-found: { goto: mended }
      no-fault-found: { goto: second }
      referred: { goto: refer }
  second:
    call: look-at-plug
    returns:
      fault-found: { goto: mended }
      no-fault-found: { goto: cable-found }
  cable-found: { conclude: cable-cut, goto: refer }
  mended: { end: fixed }
  refer: { end: referred }`,
    { called: { "look-at-plug": LOOK } },
  ),
  sound(
    "plug-named",
    "The lift motor stays still",
    `
set-ups:
  lift-plug-apart:
    do: Unplug the lift motor.
    minutes: 2
    put-back: { do: Plug it in., minutes: 1 }
faults:
  motor-dead: { title: Motor dead, prior: 2, repair: mend }
start: hum
steps:
  hum:
    ask: Does the motor hum when it is fed?
    needs: [lift-plug-apart]
    answers:
      hums: { goto: plug }
      silent: { goto: motor-found }
    evidence:
      motor-dead: { silent: 0.98 }
      otherwise: { hums: 0.99 }
  plug:
    call: look-at-named-plug
    give: { plug: front }
    set-ups: { apart: lift-plug-apart }
    returns:
      fault-found: { goto: mended }
      no-fault-found: { goto: refer }
  motor-found: { conclude: motor-dead, verify: again }
${AFTER}
${MEND}`,
    { called: { "look-at-named-plug": LOOK_FOR } },
  ),
  sound(
    "ways-by-a-fact",
    "The heater blows cold",
    `
facts:
  heater: { title: Heater, ask: Which heater is fitted?, choices: { water: By water, air: By fuel } }
faults:
  tap-stuck: { title: Tap stuck, prior: 3, repair: mend }
  burner-out: { title: Burner out, prior: 2, repair: mend }
start: warm
steps:
  warm:
    do: Run the engine warm.
    done:
      then:
        - { if: 'facts.heater == "water"', goto: hose }
        - { if: 'facts.heater == "air"', goto: smoke }
        - { goto: refer }
  hose:
    ask: Is the second hose cold?
    answers:
      cold: { goto: tap-found }
      warm: { goto: refer }
    evidence:
      tap-stuck: { cold: 0.97 }
      burner-out: { warm: 0.98 }
  smoke:
    ask: Does the pipe stay without smoke?
    answers:
      none: { goto: burner-found }
      smoke: { goto: refer }
    evidence:
      tap-stuck: { smoke: 0.98 }
      burner-out: { none: 0.97 }
  tap-found: { conclude: tap-stuck, verify: again }
  burner-found: { conclude: burner-out, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "codes-first",
    "The engine lamp is lit",
    `
faults:
  sensor-dead: { title: Sensor dead, prior: 3, repair: mend }
  other: { title: Something else, prior: 1 }
start: lit
steps:
  lit:
    ask: Is the lamp lit with the engine running?
    answers:
      lit:
        then:
          - { if: '"P0118" in facts.codes', goto: unplug }
          - { goto: refer }
      dark: { goto: absent }
    evidence:
      otherwise: { lit: 0.9 }
  unplug:
    ask: Sensor unplugged, does the gauge change?
    answers:
      changes: { goto: sensor-found }
      stays: { goto: other-found }
    evidence:
      sensor-dead: { changes: 0.97 }
      otherwise: { stays: 0.97 }
  sensor-found: { conclude: sensor-dead, verify: again }
  other-found: { conclude: other, goto: refer }
${AFTER}
  absent: { end: no-fault-found }
${MEND}`,
  ),
  sound(
    "limits-of-a-sheet",
    "The work lamp is dim",
    `
equipment: [yard-van]
${METER}
specifications:
  feed: { title: Feed, from: 11.5 V, source: depot practice }
cautions:
  hot-lamp:
    signal: caution
    hazard: The lamp is hot.
    avoid: Wear gloves.
    covers: [hot]
faults:
  feed-weak: { title: Feed weak, prior: 2, repair: mend }
  lamp-old: { title: Lamp old, prior: 3, repair: mend }
start: feed
steps:
  feed:
    measure: voltage
    say: Measure at the lamp.
    unit: V
    with: meter
    cautions: [hot-lamp]
    specification: feed
    outcomes:
      below: { goto: feed-found }
      within: { goto: lamp-found }
    evidence:
      feed-weak: { below: 0.98 }
      lamp-old: { within: 0.98 }
  feed-found: { conclude: feed-weak, verify: again }
  lamp-found: { conclude: lamp-old, verify: again }
${AFTER}
${MEND}`,
    {
      sheets: {
        "yard-van": `equipment: yard-van
title: Yard van
hazards: [hot]
specifications:
  feed: { title: Feed, from: 11.8 V, source: "maker's data" }
`,
      },
    },
  ),
];
