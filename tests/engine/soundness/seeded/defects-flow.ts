/** Ways that lead nowhere, round for ever, or past the verification. */
import { type Defect, defect } from "./defect.ts";

export const FLOW_DEFECTS: readonly Defect[] = [
  defect("dead-end", "flasher-counted-loop", "a counted way round with nothing after it", "{ goto: shake", [
    ["{ goto: shake, at-most: 2, else: refer }", "{ goto: shake, at-most: 2 }"],
  ]),
  defect("dead-end", "feed-two-bands", "a band that may be read twice and then no more", "{ from: 11 V", [
    ["{ from: 11 V, goto: part-found }", "{ from: 11 V, goto: feed, at-most: 2 }"],
    ["  part-found: { conclude: part-bad, verify: again }\n", ""],
    ["  part-bad: { title: Part bad, prior: 3, repair: mend }\n", ""],
    ["      part-bad: { good: 0.98 }\n", ""],
  ]),
  defect(
    "dead-end",
    "door-not-to-be-seen",
    "two ways not to see, each sending to the other",
    "{ goto: look",
    [
      [
        "      slips: { goto: rod-found }\n",
        "      slips: { goto: rod-found }\n    cannot: { goto: look, at-most: 1 }\n",
      ],
    ],
  ),
  defect(
    "dead-end",
    "plug-called",
    "a call made once more",
    "{ goto: tap",
    [
      ["      steady: { goto: refer }", "      steady: { goto: plug }"],
      ["no-fault-found: { goto: tap }", "no-fault-found: { goto: tap, at-most: 1 }"],
    ],
    [],
  ),
  defect(
    "dead-end",
    "lamp-one-question",
    "back to the start after a repair that did not help",
    "{ goto: filament",
    [["there: { goto: refer }", "there: { goto: filament, at-most: 1 }"]],
    ["unsupported-conclusion"],
  ),
  defect("dead-end", "mirror-looked-at-twice", "a thing done once more", "{ goto: folds", [
    ["    done: { goto: folds }", "    done: { goto: folds, at-most: 2 }"],
    ['"no": { goto: refer }\n  clear', '"no": { goto: fold }\n  clear'],
  ]),
  defect(
    "dead-end",
    "valve-ways-joined",
    "two waits that wait for each other",
    "{ do: Wait",
    [
      ["sinks: { goto: wet }", "sinks: { goto: wet }\n      unsure: { goto: wait }"],
      [
        "  wet:\n",
        "  wait: { do: Wait a while., done: { goto: longer } }\n  longer: { do: Wait on., done: { goto: wait } }\n  wet:\n",
      ],
    ],
    ["endless-loop"],
  ),

  defect(
    "unreachable-step",
    "horn-two-questions",
    "both answers lead past a test",
    "direct",
    [['"no": { goto: direct }', '"no": { goto: refer }']],
    ["fault-never-found", "faults-not-told-apart"],
  ),
  defect("unreachable-step", "complaint-not-there", "a step that nothing names", "spare", [
    ["  absent: {", "  spare: { do: Look around., done: { goto: refer } }\n  absent: {"],
  ]),
  defect("unreachable-step", "pump-second-round", "what follows a branch that is never used up", "spent", [
    ["      runs: { goto: refer }", "      runs: { goto: refer, at-most: 1, else: spent }"],
    ["  mended: {", "  spent: { end: unresolved }\n  mended: {"],
  ]),
  defect("unreachable-step", "plug-called", "an end of the called procedure", "green", [
    ["  none: { end: no-fault-found }", "  none: { end: no-fault-found }\n  green: { end: referred }"],
  ]),
  defect(
    "unreachable-step",
    "ways-by-a-fact",
    "a test behind a condition that never holds",
    "smoke",
    [[`'facts.heater == "air"'`, `'facts.heater == "water" && facts.heater == "air"'`]],
    ["impossible-branch", "fault-never-found"],
  ),
  defect("unreachable-step", "drop-in-two-units", "two steps that lead to each other only", "one", [
    [
      "  again:\n",
      "  one: { do: Wait., done: { goto: two } }\n  two: { do: Wait on., done: { goto: one, at-most: 1, else: refer } }\n  again:\n",
    ],
  ]),

  defect("endless-loop", "fan-less-certain", "the same question again", "rattle", [
    ["goes: { goto: leaf-found }", "goes: { goto: leaf-found }\n      unsure: { goto: rattle }"],
  ]),
  defect(
    "endless-loop",
    "lamp-one-question",
    "back to the start after each repair",
    "filament",
    [["there: { goto: refer }", "there: { goto: filament }"]],
    ["unsupported-conclusion"],
  ),
  defect("endless-loop", "pressure-by-specification", "too close to call for ever", "gauge", [
    ["borderline: { goto: gauge, at-most: 2, else: refer }", "borderline: { goto: gauge }"],
  ]),
  defect(
    "endless-loop",
    "flasher-counted-loop",
    "counted, and then round again all the same",
    "{ goto: shake",
    [["at-most: 2, else: refer }", "at-most: 2, else: shake }"]],
  ),
  defect(
    "endless-loop",
    "plug-called",
    "a call that returns to itself",
    "plug",
    [["no-fault-found: { goto: tap }", "no-fault-found: { goto: tap }\n      referred: { goto: plug }"]],
    ["unsupported-conclusion"],
  ),
  defect("endless-loop", "plug-called-twice", "a procedure that calls itself", "look-at-plug", [
    [
      "  look:\n    ask: Are the pins wet or green?\n",
      "  deeper: { call: look-at-plug, returns: { fault-found: { goto: look } } }\n  look:\n    ask: Are the pins wet or green?\n",
    ],
  ]),
  defect("endless-loop", "door-not-to-be-seen", "not to be seen, and to be tried for ever", "look", [
    ["    cannot: { goto: pull }", "    cannot: { goto: look }"],
  ]),
  defect("endless-loop", "hazard-of-the-machine", "three steps round", "chocked", [
    ["      dark: { goto: wire-found }", "      dark: { goto: wire-found }\n      off: { goto: chocked }"],
  ]),

  defect("impossible-branch", "battery-one-limit", "above a limit that is not there", "{ goto: refer", [
    ["      within: { goto: refer }", "      within: { goto: refer }\n      above: { goto: refer }"],
  ]),
  defect("impossible-branch", "coil-three-bands", "a band inside out", "{ over: 80 Ohm", [
    ["sound: { over: 20 Ohm, to: 80 Ohm, goto: refer }", "sound: { over: 80 Ohm, to: 20 Ohm, goto: refer }"],
  ]),
  defect(
    "impossible-branch",
    "limits-looked-up",
    "below a limit that nobody looks up",
    "{ goto: wire-found",
    [["limits: [from, to] }", "limits: [to] }"]],
  ),
  defect("impossible-branch", "ways-by-a-fact", "a second arm for the same choice", "{ if", [
    [
      `        - { if: 'facts.heater == "air"', goto: smoke }`,
      `        - { if: 'facts.heater == "air"', goto: smoke }\n        - { if: 'facts.heater == "air" || facts.heater == "water"', goto: refer }`,
    ],
  ]),
  defect(
    "impossible-branch",
    "reading-below-zero",
    "a band of one number that it leaves out",
    "{ from: 0.2 V",
    [
      [
        "plus: { over: 0.2 V, goto: ground-found }",
        "plus: { over: 0.2 V, goto: ground-found }\n      edge: { from: 0.2 V, under: 0.2 V, goto: refer }",
      ],
    ],
  ),
  defect("impossible-branch", "plug-named", "a condition on a choice that there is not", "{ if", [
    [
      "      dry: { goto: none }",
      `      dry: { then: [ { if: 'facts.plug == "middle"', goto: wet-found }, { goto: none } ] }`,
    ],
    ["    give: { plug: front }\n", ""],
  ]),
  defect(
    "impossible-branch",
    "complaint-not-there",
    "an arm behind one that always holds",
    "{ goto: absent",
    [['"yes": { goto: filter }', `"yes": { then: [ { if: '1.0 < 2.0', goto: filter }, { goto: absent } ] }`]],
  ),

  defect("impossible-branch", "guarded-reading", "a reading that would have led another way", "{ if", [
    [`readings["sag"] > 10.5'`, `readings["sag"] < 9.5'`],
    ["    cannot: { goto: warm }\n", ""],
  ]),
  defect("impossible-branch", "difference-reckoned", "a value that no reading comes to", "{ under: -0.1 V", [
    ['value: "readings.battery - reading"', 'value: "abs(readings.battery - reading)"'],
    [
      "little: { under: 0.5 V,",
      "less: { under: -0.1 V, goto: refer }\n      little: { from: -0.1 V, under: 0.5 V,",
    ],
    ["wire-bad: { much: 0.98 }", "wire-bad: { much: 0.98, less: 0.01 }"],
    ["part-bad: { little: 0.98 }", "part-bad: { little: 0.98, less: 0.01 }"],
  ]),
  defect("no-verification", "wiper-two-together", "repaired and at once called fixed", "{ end: fixed", [
    [
      "motor-found: { conclude: motor-dead, verify: again }",
      "motor-found: { conclude: motor-dead, verify: mended }",
    ],
  ]),
  defect("no-verification", "complaint-not-there", "fixed by itself", "{ end: fixed", [
    ['"no": { goto: absent }', '"no": { goto: mended }'],
    ["  absent: { end: no-fault-found, say: Note when it stalls. }\n", ""],
  ]),
  defect("no-verification", "mirror-looked-at-twice", "tried, and not looked at", "{ end: fixed", [
    ["done: { goto: folds }", "done: { goto: mended }"],
    [
      '  folds:\n    ask: Did it fold each time?\n    answers:\n      "yes": { goto: clear }\n      "no": { goto: refer }\n  clear:\n    ask: Is the fault memory empty?\n    answers:\n      "yes": { goto: mended }\n      "no": { goto: refer }\n',
      "",
    ],
    ["  refer: { end: referred }\n", ""],
  ]),
  defect("no-verification", "repair-with-hazards", "not to be looked at, and called fixed", "{ end: fixed", [
    ["      there: { goto: refer }", "      there: { goto: refer }\n    cannot: { goto: mended }"],
  ]),
  defect("no-verification", "plug-called", "nothing found, and called fixed", "{ end: fixed", [
    [
      "no-fault-found: { goto: tap }",
      "no-fault-found: { goto: tap }\n      referred: { goto: tap }\n      unresolved: { goto: mended }",
    ],
    ["      dry: { goto: none }", "      dry: { goto: none }\n    cannot: { goto: unseen }"],
    ["  none: { end: no-fault-found }", "  none: { end: no-fault-found }\n  unseen: { end: unresolved }"],
  ]),
  defect("no-verification", "belt-handed-on", "handed on as fixed", "{ end: fixed", [
    ["{ end: referred, say: Hand", "{ end: fixed, say: Hand"],
  ]),
];
