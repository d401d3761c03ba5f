/** Sound procedures that go by questions. */
import { AFTER, MEND, type SoundCase, sound } from "./parts.ts";

export const SOUND_ANSWERS: readonly SoundCase[] = [
  sound(
    "lamp-one-question",
    "The cab lamp stays dark",
    `
faults:
  bulb-open: { title: Bulb open, prior: 6, repair: mend }
  other: { title: Something else, prior: 1 }
start: filament
steps:
  filament:
    ask: Is the filament broken?
    answers:
      broken: { goto: bulb-found }
      whole: { goto: other-found }
    evidence:
      bulb-open: { broken: 0.97 }
      otherwise: { whole: 0.99 }
  bulb-found: { conclude: bulb-open, verify: again }
  other-found: { conclude: other, goto: refer }
${AFTER}
${MEND}`,
  ),
  sound(
    "horn-two-questions",
    "The horn stays silent",
    `
faults:
  fuse-blown: { title: Fuse blown, prior: 5, repair: mend }
  horn-dead: { title: Horn dead, prior: 3, repair: mend }
  other: { title: Something else, prior: 1 }
start: fuse
steps:
  fuse:
    ask: Is the fuse blown?
    answers:
      "yes": { goto: fuse-found }
      "no": { goto: direct }
    evidence:
      fuse-blown: { "yes": 0.98 }
      otherwise: { "no": 0.99 }
  direct:
    ask: Fed straight from the battery, does it sound?
    answers:
      sounds: { goto: refer }
      silent: { goto: horn-found }
    evidence:
      horn-dead: { silent: 0.98 }
      otherwise: { sounds: 0.98 }
  fuse-found: { conclude: fuse-blown, verify: again }
  horn-found: { conclude: horn-dead, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "wiper-two-together",
    "The wiper stands still",
    `
faults:
  arm-loose: { title: Arm loose, prior: 2, repair: mend }
  link-off: { title: Link off, prior: 2, repair: mend }
  motor-dead: { title: Motor dead, prior: 3, repair: mend }
start: hum
steps:
  hum:
    ask: Does the motor hum?
    answers:
      hums: { goto: linkage-found }
      silent: { goto: motor-found }
    evidence:
      motor-dead: { silent: 0.95 }
      otherwise: { hums: 0.98 }
  linkage-found: { conclude: [arm-loose, link-off], verify: again }
  motor-found: { conclude: motor-dead, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "pump-second-round",
    "The washer pump stays silent",
    `
faults:
  plug-off: { title: Plug off, prior: 4, repair: mend }
  pump-dead: { title: Pump dead, prior: 3, repair: mend }
start: plug
steps:
  plug:
    ask: Is the plug off?
    answers:
      "off": { goto: plug-found, at-most: 1, else: tap }
      "on": { goto: tap }
    evidence:
      plug-off: { "off": 0.97 }
      otherwise: { "on": 0.98 }
  tap:
    ask: Does the pump run when it is tapped?
    answers:
      runs: { goto: refer }
      still: { goto: pump-found }
    evidence:
      pump-dead: { still: 0.95 }
      otherwise: { runs: 0.9 }
  plug-found: { conclude: plug-off, verify: sprays }
  pump-found: { conclude: pump-dead, verify: last }
  sprays:
    ask: Does it spray now?
    answers:
      "yes": { goto: mended }
      "no": { goto: tap, at-most: 1, else: refer }
  last:
    ask: Does it spray at last?
    answers:
      "yes": { goto: mended }
      "no": { goto: refer }
  mended: { end: fixed }
  refer: { end: referred }
${MEND}`,
  ),
  sound(
    "door-not-to-be-seen",
    "The side door does not lock",
    `
faults:
  rod-off: { title: Rod off, prior: 2, repair: mend }
  motor-dead: { title: Lock motor dead, prior: 2, repair: mend }
start: look
steps:
  look:
    ask: Through the hole in the panel, is the rod off?
    answers:
      "off": { goto: rod-found }
      "on": { goto: pull }
    cannot: { goto: pull }
    evidence:
      rod-off: { "off": 0.95 }
      otherwise: { "on": 0.97 }
  pull:
    ask: Pull the knob by hand. Does it lock?
    answers:
      locks: { goto: motor-found }
      slips: { goto: rod-found }
    evidence:
      rod-off: { slips: 0.99 }
      motor-dead: { locks: 0.99 }
  rod-found: { conclude: rod-off, verify: again }
  motor-found: { conclude: motor-dead, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "belt-handed-on",
    "The belt squeals",
    `
faults:
  belt-worn: { title: Belt worn, prior: 4 }
  pulley-dry: { title: Pulley dry, prior: 1 }
start: water
steps:
  water:
    ask: A little water on the belt. Does the squeal stop?
    answers:
      stops: { goto: belt-found }
      stays: { goto: pulley-found }
    evidence:
      belt-worn: { stops: 0.98 }
      pulley-dry: { stays: 0.97 }
  belt-found: { conclude: belt-worn, goto: workshop }
  pulley-found: { conclude: pulley-dry, goto: workshop }
  workshop: { end: referred, say: Hand over with the finding. }`,
  ),
  sound(
    "seat-three-ways",
    "The seat heater stays cold",
    `
faults:
  mat-burnt: { title: Mat burnt, prior: 3, repair: mend }
  switch-bad: { title: Switch bad, prior: 2, repair: mend }
  fuse-blown: { title: Fuse blown, prior: 2, repair: mend }
start: sign
steps:
  sign:
    ask: What shows first?
    answers:
      mark: { label: A burn mark, goto: mat-found }
      dark: { label: The switch stays dark, goto: fuse-found }
      lit: { label: Nothing but a lit switch, goto: switch-found }
    evidence:
      mat-burnt: { mark: 0.96, dark: 0.02 }
      switch-bad: { lit: 0.94, dark: 0.03 }
      fuse-blown: { dark: 0.97 }
  mat-found: { conclude: mat-burnt, verify: again }
  switch-found: { conclude: switch-bad, verify: again }
  fuse-found: { conclude: fuse-blown, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "valve-ways-joined",
    "The tail lift sinks",
    `
faults:
  seal-worn: { title: Seal worn, prior: 3, repair: mend }
  valve-leaks: { title: Valve leaks, prior: 2, repair: mend }
start: load
steps:
  load:
    ask: Does it sink with a load on it, too?
    answers:
      sinks: { goto: wet }
      stays: { goto: warm }
    evidence:
      otherwise: { sinks: 0.7 }
  wet:
    ask: Is the rod wet?
    answers:
      wet: { goto: seal-found }
      dry: { goto: valve-found }
    evidence:
      seal-worn: { wet: 0.97 }
      valve-leaks: { dry: 0.97 }
  warm:
    ask: Is the valve warm?
    answers:
      warm: { goto: valve-found }
      cold: { goto: seal-found }
    evidence:
      seal-worn: { cold: 0.95 }
      valve-leaks: { warm: 0.95 }
  seal-found: { conclude: seal-worn, verify: again }
  valve-found: { conclude: valve-leaks, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "flasher-counted-loop",
    "The flasher works at times",
    `
faults:
  contact-loose: { title: Contact loose, prior: 3, repair: mend }
  other: { title: Something else, prior: 1 }
start: shake
steps:
  shake:
    do: Shake the harness for a minute.
    done: { goto: flash }
  flash:
    ask: Did it go out?
    answers:
      out: { goto: contact-found }
      steady: { goto: shake, at-most: 2, else: refer }
    evidence:
      contact-loose: { out: 0.8 }
      otherwise: { steady: 0.97 }
  contact-found: { conclude: contact-loose, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "mirror-looked-at-twice",
    "The mirror does not fold",
    `
faults:
  gear-broken: { title: Gear broken, prior: 3, repair: mend }
  switch-bad: { title: Switch bad, prior: 1, repair: mend }
start: hear
steps:
  hear:
    ask: Is the motor heard?
    answers:
      heard: { goto: gear-found }
      silent: { goto: switch-found }
    evidence:
      gear-broken: { heard: 0.98 }
      switch-bad: { silent: 0.99 }
  gear-found: { conclude: gear-broken, verify: fold }
  switch-found: { conclude: switch-bad, verify: fold }
  fold:
    do: Fold it ten times.
    done: { goto: folds }
  folds:
    ask: Did it fold each time?
    answers:
      "yes": { goto: clear }
      "no": { goto: refer }
  clear:
    ask: Is the fault memory empty?
    answers:
      "yes": { goto: mended }
      "no": { goto: refer }
  mended: { end: fixed }
  refer: { end: referred }
${MEND}`,
  ),
  sound(
    "fan-less-certain",
    "The cab fan rattles",
    `
certainty: 0.6
faults:
  leaf-inside: { title: Leaf inside, prior: 5, repair: mend }
  bearing-worn: { title: Bearing worn, prior: 5, repair: mend }
start: rattle
steps:
  rattle:
    ask: Does the rattle go with the speed?
    answers:
      goes: { goto: leaf-found }
      stays: { goto: bearing-found }
    evidence:
      leaf-inside: { goes: 0.7 }
      bearing-worn: { stays: 0.7 }
  leaf-found: { conclude: leaf-inside, verify: again }
  bearing-found: { conclude: bearing-worn, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "complaint-not-there",
    "The engine stalls at times",
    `
faults:
  filter-blocked: { title: Filter blocked, prior: 3, repair: mend }
  air-leak: { title: Air leak, prior: 1, repair: mend }
start: present
steps:
  present:
    ask: Does it stall now?
    answers:
      "yes": { goto: filter }
      "no": { goto: absent }
    evidence:
      otherwise: { "yes": 0.9 }
  filter:
    ask: Is the filter black?
    answers:
      black: { goto: filter-found }
      bright: { goto: leak-found }
    evidence:
      filter-blocked: { black: 0.98 }
      air-leak: { bright: 0.98 }
  filter-found: { conclude: filter-blocked, verify: again }
  leak-found: { conclude: air-leak, verify: again }
${AFTER}
  absent: { end: no-fault-found, say: Note when it stalls. }
${MEND}`,
  ),
];
