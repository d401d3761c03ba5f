/** The text a new procedure begins with. */

/**
 * Returns a sound, commented procedure named by the given id, ready to be changed.
 *
 * The title is the id in words. All of its numbers are examples and say so.
 */
export function starterText(id: string): string {
  const words = id.replaceAll("-", " ").trim();
  const title = words.charAt(0).toUpperCase() + words.slice(1);
  return STARTER.replaceAll("<id>", () => quoted(id)).replaceAll("<title>", () => quoted(title));
}

/** A plain scalar where YAML reads it as the same text, else quoted. */
function quoted(text: string): string {
  const plain =
    /^[A-Za-z][A-Za-z0-9 _-]*$/.test(text) && !/^(true|false|null|yes|no|on|off|y|n)$/i.test(text);
  return plain ? text : JSON.stringify(text);
}

const STARTER = `# A starting procedure. It is sound as it stands: change the words first, then the steps,
# and the check tells you what no longer holds. The numbers are examples, not maker's data.
procedure: <id>
title: <title>
revision: 1
complaint: What the driver reports, in one sentence.
tools: [multimeter, fused-lead]

instruments:
  multimeter:
    title: Handheld digital multimeter
    accuracy:                        # from the instrument's own manual
      voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V }

# What can hurt, and how it is avoided. A step names the cautions that stand before it.
cautions:
  live-supply:
    signal: caution                  # danger, warning, caution or notice
    hazard: A slipped lead shorts the supply and can burn.
    avoid: Use fused leads and keep the tips apart.
  part-moves:
    signal: warning
    hazard: The part can move without warning and crush.
    avoid: Keep hands and sleeves clear before power is applied.

# States of the machine that steps need. Each costs its minutes once and is put back at the end.
set-ups:
  plug-apart:
    do: Unplug the part's connector.
    minutes: 2
    put-back: { do: Plug the connector in until it clicks., minutes: 1 }

# Every way the machine can have failed, with how often: the weights are compared, not added up.
faults:
  feed-open:   { title: Feed wire open,   prior: 2, repair: mend-feed }
  ground-open: { title: Ground wire open, prior: 2, repair: mend-ground }
  part-failed: { title: Part failed,      prior: 3, repair: fit-part }
  other:       { title: Something else,   prior: 1 }

start: present
steps:
  present:
    ask: Is the complaint there now?
    minutes: 2
    answers:
      "yes": { goto: feed }          # quotes keep yes and no as words
      "no":  { goto: not-present }
    evidence:                        # a fault that comes and goes may hide now and then
      otherwise: { "yes": 0.95 }

  feed:
    measure: voltage
    say: Part commanded on. Red lead to the plug's feed pin, black lead to battery negative.
    unit: V
    with: multimeter
    needs: [plug-apart]
    cautions: [live-supply]
    minutes: 3
    bands:                           # every reading belongs in exactly one band
      low:  { under: 11 V, goto: feed-found }
      good: { from: 11 V,  goto: ground }
    borderline: { goto: feed, at-most: 1 }   # too close to call: measure once more
    evidence:                        # how likely each band is when this fault is present
      feed-open: { low: 0.98 }
      otherwise: { good: 0.97 }

  ground:
    measure: voltage
    say: Red lead to battery positive, black lead to the plug's ground pin.
    unit: V
    with: multimeter
    needs: [plug-apart]
    cautions: [live-supply]
    minutes: 3
    bands:
      low:  { under: 11 V, goto: ground-found }
      good: { from: 11 V,  goto: direct }
    borderline: { goto: ground, at-most: 1 }
    evidence:
      ground-open: { low: 0.98 }
      otherwise:   { good: 0.97 }

  direct:
    ask: Feed the part from the battery with the fused lead, as its maker allows. Does it work?
    needs: [plug-apart]
    cautions: [part-moves, live-supply]
    limit: 5 s                       # the longest it may be energised
    minutes: 4
    answers:
      "yes": { goto: other-found }
      "no":  { goto: part-found }
    evidence:
      part-failed: { "no": 0.98 }
      otherwise:   { "yes": 0.97 }

  # A conclusion runs the fault's repair, then its verification.
  feed-found:   { conclude: feed-open,   verify: again }
  ground-found: { conclude: ground-open, verify: again }
  part-found:   { conclude: part-failed, verify: again }
  other-found:  { conclude: other, goto: refer }   # no repair here: hand it on

  again:
    ask: Everything back in place. Does the complaint stay away?
    cautions: [part-moves]
    minutes: 5
    answers:
      "yes": { goto: done }
      "no":  { goto: refer }

  done:
    end: fixed
  refer:
    end: referred
    say: Hand over with the readings taken so far.
  not-present:
    end: no-fault-found
    say: The complaint is not there now. Note the conditions it was reported under.

repairs:
  mend-feed:
    minutes: 30
    do:
      - { say: Find the break in the feed wire and mend it by the maker's method. }
  mend-ground:
    minutes: 20
    do:
      - { say: Clean the ground point to bare metal and tighten it to the maker's torque. }
  fit-part:
    minutes: 40
    cautions: [part-moves]
    do:
      - { say: Power off. Change the part by the maker's instructions. }
`;
