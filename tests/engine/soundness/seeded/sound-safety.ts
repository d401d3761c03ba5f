/** Sound procedures with set-ups and hazards. */
import { AFTER, MEND, METER, type SoundCase, sound } from "./parts.ts";

const LIVE = `  live:
    signal: caution
    hazard: A slipped lead burns.
    avoid: Use fused leads.
    covers: [electric-energised]`;

export const SOUND_SAFETY: readonly SoundCase[] = [
  sound(
    "set-ups-in-turn",
    "The blower stays off",
    `
cautions:
${LIVE}
  turning:
    signal: warning
    hazard: The wheel can start.
    avoid: Keep your hands out.
    covers: [rotating]
set-ups:
  cover-off:
    do: Take the cover off.
    minutes: 3
    cautions: [turning]
    hazards: [rotating]
    put-back: { do: Refit the cover., minutes: 2, torque: 4 N.m }
  plug-apart:
    do: Unplug the blower.
    minutes: 1
    needs: [cover-off]
    put-back: { do: Plug it in., minutes: 1 }
faults:
  blower-dead: { title: Blower dead, prior: 3, repair: fit }
  feed-dead: { title: Feed dead, prior: 2, repair: fit }
start: lamp
steps:
  lamp:
    ask: Does a test lamp light at the plug?
    needs: [plug-apart]
    hazards: [electric-energised]
    cautions: [live]
    answers:
      lights: { goto: blower-found }
      dark: { goto: feed-found }
    evidence:
      blower-dead: { lights: 0.98 }
      feed-dead: { dark: 0.98 }
  blower-found: { conclude: blower-dead, verify: again }
  feed-found: { conclude: feed-dead, verify: again }
${AFTER}
repairs:
  fit:
    minutes: 30
    needs: [plug-apart]
    cautions: [turning]
    hazards: [rotating]
    do:
      - { say: Change the part., torque: { from: 3 N.m, to: 4 N.m } }
      - { say: Turn the wheel by hand., hazards: [rotating] }`,
  ),
  sound(
    "high-voltage-handed-on",
    "The charger stays off",
    `
cautions:
  orange:
    signal: danger
    hazard: Orange cables can kill.
    avoid: Touch nothing orange; wait for those licensed for it.
    covers: [electric-high]
faults:
  lead-bad: { title: Lead bad, prior: 4, repair: mend }
  inside: { title: Something behind the orange cables, prior: 1 }
start: lead
steps:
  lead:
    ask: Does it charge with another lead?
    answers:
      charges: { goto: lead-found }
      stays: { goto: look }
    evidence:
      lead-bad: { charges: 0.97 }
      inside: { stays: 0.98 }
  look:
    ask: Without touching, is an orange cable chafed?
    hazards: [electric-high]
    cautions: [orange]
    answers:
      chafed: { goto: inside-found }
      whole: { goto: inside-found }
  lead-found: { conclude: lead-bad, verify: again }
  inside-found: { conclude: inside, goto: refer }
${AFTER}
${MEND}`,
  ),
  sound(
    "hazard-of-the-machine",
    "The yard tractor's lamp is dark",
    `
hazards: [moving-vehicle]
cautions:
  chocks:
    signal: warning
    hazard: The tractor can roll.
    avoid: Chock the wheels.
    covers: [moving-vehicle]
faults:
  lamp-bad: { title: Lamp bad, prior: 3, repair: mend }
  wire-bad: { title: Wire bad, prior: 1, repair: mend }
start: chocked
steps:
  chocked:
    ask: Are the wheels chocked, and is the lamp dark?
    cautions: [chocks]
    answers:
      dark: { goto: swap }
      lit: { goto: absent }
    evidence:
      otherwise: { dark: 0.95 }
  swap:
    do: Put a known lamp in.
    done: { goto: shines }
  shines:
    ask: Does it shine?
    answers:
      shines: { goto: lamp-found }
      dark: { goto: wire-found }
    evidence:
      lamp-bad: { shines: 0.98 }
      wire-bad: { dark: 0.99 }
  lamp-found: { conclude: lamp-bad, verify: again }
  wire-found: { conclude: wire-bad, verify: again }
${AFTER}
  absent: { end: no-fault-found }
${MEND}`,
  ),
  sound(
    "set-up-undone-again",
    "The relay clicks and nothing runs",
    `
${METER}
cautions:
${LIVE}
set-ups:
  relay-out:
    do: Pull the relay.
    minutes: 1
    put-back: { do: Press it home., minutes: 1 }
  bridge-in:
    do: Bridge the socket with the fused lead.
    minutes: 1
    needs: [relay-out]
    cautions: [live]
    hazards: [electric-energised]
    put-back: { do: Take the lead out., minutes: 1, cautions: [live], hazards: [electric-energised] }
faults:
  contact-bad: { title: Contact bad, prior: 3, repair: mend }
  feed-bad: { title: Feed bad, prior: 2, repair: mend }
  load-dead: { title: Load dead, prior: 2, repair: mend }
start: bridged
steps:
  bridged:
    ask: Bridged, does it run?
    needs: [bridge-in]
    answers:
      runs: { goto: contact-found }
      still: { goto: socket }
    evidence:
      contact-bad: { runs: 0.98 }
      otherwise: { still: 0.98 }
  socket:
    measure: voltage
    say: Measure at the socket's feed.
    unit: V
    with: meter
    needs: [relay-out]
    without: [bridge-in]
    hazards: [electric-energised]
    cautions: [live]
    bands:
      low: { under: 11 V, goto: feed-found }
      good: { from: 11 V, goto: load-found }
    evidence:
      feed-bad: { low: 0.98 }
      otherwise: { good: 0.97 }
  contact-found: { conclude: contact-bad, verify: again }
  feed-found: { conclude: feed-bad, verify: again }
  load-found: { conclude: load-dead, verify: again }
${AFTER}
${MEND}`,
  ),
  sound(
    "repair-with-hazards",
    "The fuel pump hums and nothing comes",
    `
cautions:
  vapour:
    signal: danger
    hazard: Fuel vapour burns.
    avoid: No flame, no spark, good air.
    covers: [fuel]
  pressed:
    signal: warning
    hazard: Fuel sprays from an opened pipe.
    avoid: Let the pressure off first.
    covers: [stored-pressure]
faults:
  filter-full: { title: Filter full, prior: 4, repair: change-filter }
  other: { title: Something else, prior: 1 }
start: flow
steps:
  flow:
    ask: Does fuel come behind the filter?
    hazards: [fuel]
    cautions: [vapour]
    answers:
      comes: { goto: refer }
      dry: { goto: filter-found }
    evidence:
      filter-full: { dry: 0.96 }
      otherwise: { comes: 0.9 }
  filter-found:
    conclude: filter-full
    cautions: [vapour]
    verify: again
${AFTER}
repairs:
  change-filter:
    minutes: 25
    cautions: [vapour]
    hazards: [fuel]
    parts:
      - { part: Filter, quantity: 1, renew: always }
    do:
      - { say: Let the pressure off and change the filter., hazards: [stored-pressure], cautions: [pressed] }`,
  ),
  sound(
    "nothing-to-put-back",
    "The dash stays dark",
    `
set-ups:
  key-off:
    do: Turn the key off.
    minutes: 0
    put-back: none
faults:
  fuse-blown: { title: Fuse blown, prior: 4, repair: mend }
  dash-dead: { title: Dash dead, prior: 1 }
start: fuse
steps:
  fuse:
    ask: Is the fuse blown?
    needs: [key-off]
    answers:
      blown: { goto: fuse-found }
      whole: { goto: dash-found }
    evidence:
      fuse-blown: { blown: 0.99 }
      otherwise: { whole: 0.99 }
  fuse-found: { conclude: fuse-blown, verify: again }
  dash-found: { conclude: dash-dead, goto: refer }
${AFTER}
${MEND}`,
  ),
];
