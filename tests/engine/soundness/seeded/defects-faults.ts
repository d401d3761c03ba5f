/** Faults and evidence that something is wrong with. */
import { type Defect, defect } from "./defect.ts";

export const FAULT_DEFECTS: readonly Defect[] = [
  defect(
    "unsupported-conclusion",
    "horn-two-questions",
    "a test that hardly tells",
    "{ conclude: horn-dead",
    [["otherwise: { sounds: 0.98 }", "otherwise: { sounds: 0.2 }"]],
  ),
  defect(
    "unsupported-conclusion",
    "door-not-to-be-seen",
    "not able to see, and concluded",
    "{ conclude: rod-off",
    [["    cannot: { goto: pull }", "    cannot: { goto: rod-found }"]],
  ),
  defect(
    "unsupported-conclusion",
    "flasher-counted-loop",
    "used up, and concluded",
    "{ conclude: contact-loose",
    [["at-most: 2, else: refer }", "at-most: 2, else: contact-found }"]],
  ),
  defect(
    "unsupported-conclusion",
    "fan-less-certain",
    "more certainty asked for",
    "{ conclude: ",
    [["certainty: 0.6", "certainty: 0.75"]],
    ["unsupported-conclusion"],
  ),
  defect(
    "unsupported-conclusion",
    "wiper-two-together",
    "one concluded of two that look alike",
    "{ conclude: arm-loose",
    [
      ["conclude: [arm-loose, link-off]", "conclude: arm-loose"],
      [
        "      silent: { goto: motor-found }",
        "      silent: { goto: motor-found }\n      grinds: { goto: link-found }",
      ],
      ["  motor-found:", "  link-found: { conclude: link-off, verify: again }\n  motor-found:"],
      ["otherwise: { hums: 0.98 }", "link-off: { hums: 0.5, grinds: 0.49 }\n      otherwise: { hums: 0.98 }"],
    ],
  ),
  defect(
    "unsupported-conclusion",
    "pressure-by-specification",
    "too close to call, and concluded",
    "{ conclude: pipe-leaks",
    [["at-most: 2, else: refer }", "at-most: 2, else: pipe-found }"]],
  ),
  defect(
    "unsupported-conclusion",
    "valve-ways-joined",
    "one of two ways proves it, the other does not",
    "{ conclude: valve-leaks",
    [["seal-worn: { cold: 0.95 }", "seal-worn: { cold: 0.3 }"]],
  ),
  defect(
    "unsupported-conclusion",
    "pump-second-round",
    "only after a first repair that did not help",
    "{ conclude: pump-dead",
    [
      ['plug-off: { "off": 0.97 }', 'plug-off: { "off": 0.97 }\n      pump-dead: { "off": 0.005 }'],
      ["faults:\n", "faults:\n  wire-cut: { title: Wire cut, prior: 2 }\n"],
      ["pump-dead: { still: 0.95 }", "pump-dead: { still: 0.95 }\n      wire-cut: { still: 0.16 }"],
      ["  sprays:\n", "  wire-found: { conclude: wire-cut, goto: refer }\n  sprays:\n"],
      ["runs: { goto: refer }", "runs: { goto: refer }\n      sparks: { goto: wire-found }"],
    ],
  ),

  defect("fault-never-found", "lamp-one-question", "a fault that nobody looks for", "socket-bad", [
    ["faults:\n", "faults:\n  socket-bad: { title: Socket bad, prior: 0.01, repair: mend }\n"],
    ["bulb-open: { broken: 0.97 }", "bulb-open: { broken: 0.97 }\n      socket-bad: { whole: 0.97 }"],
  ]),
  defect(
    "fault-never-found",
    "seat-three-ways",
    "a conclusion that names another fault",
    "switch-bad",
    [
      [
        "switch-found: { conclude: switch-bad, verify: again }",
        "switch-found: { conclude: fuse-blown, verify: again }",
      ],
    ],
    ["unsupported-conclusion"],
  ),
  defect("fault-never-found", "plug-called", "a fault of the called procedure", "pin-bent", [
    ["faults:\n  pin-wet: {", "faults:\n  pin-bent: { title: Pin bent, prior: 0.01 }\n  pin-wet: {"],
    ["      pin-wet: { wet: 0.98 }", "      pin-wet: { wet: 0.98 }\n      pin-bent: { wet: 0.05 }"],
  ]),
  defect("fault-never-found", "high-voltage-handed-on", "handed on without a conclusion", "inside", [
    ["chafed: { goto: inside-found }", "chafed: { goto: refer }"],
    ["whole: { goto: inside-found }", "whole: { goto: refer }"],
    ["  inside-found: { conclude: inside, goto: refer }\n", ""],
  ]),
  defect("fault-never-found", "coil-three-bands", "a band that leads past its conclusion", "coil-open", [
    ["open: { over: 80 Ohm, goto: open-found }", "open: { over: 80 Ohm, goto: refer }"],
    ["  open-found: { conclude: coil-open, verify: again }\n", ""],
  ]),
  defect("fault-never-found", "wiper-two-together", "a fault dropped from a group", "link-off", [
    ["  link-off: { title: Link off, prior: 2,", "  link-off: { title: Link off, prior: 0.02,"],
    ["conclude: [arm-loose, link-off]", "conclude: arm-loose"],
    ["motor-dead: { silent: 0.95 }", "motor-dead: { silent: 0.95 }\n      link-off: { hums: 0.9 }"],
  ]),

  defect(
    "faults-not-told-apart",
    "horn-two-questions",
    "two faults without a row of their own",
    "chime-off",
    [
      ["  other: {", "  chime-off: { title: Chime off, prior: 0.01, repair: mend }\n  other: {"],
      [
        "  fuse-found:",
        "  other-found: { conclude: other, goto: refer }\n  chime-found: { conclude: chime-off, verify: again }\n  fuse-found:",
      ],
      ["sounds: { goto: refer }", "sounds: { goto: other-found }\n      rattles: { goto: chime-found }"],
    ],
    ["unsupported-conclusion"],
  ),
  defect(
    "faults-not-told-apart",
    "seat-three-ways",
    "two rows that say the same",
    "mat-burnt",
    [["switch-bad: { lit: 0.94, dark: 0.03 }", "switch-bad: { mark: 0.96, dark: 0.02 }"]],
    ["unsupported-conclusion"],
  ),
  defect(
    "faults-not-told-apart",
    "belt-handed-on",
    "the only test without evidence",
    "belt-worn",
    [["    evidence:\n      belt-worn: { stops: 0.98 }\n      pulley-dry: { stays: 0.97 }\n", ""]],
    ["no-evidence", "unsupported-conclusion"],
  ),
  defect(
    "faults-not-told-apart",
    "feed-two-bands",
    "a third fault that no reading shows",
    "bolt-loose",
    [
      [
        "faults:\n",
        "faults:\n  bolt-loose: { title: Bolt loose, prior: 0.01, repair: mend }\n  nut-loose: { title: Nut loose, prior: 0.01, repair: mend }\n",
      ],
      [
        "  wire-found: {",
        "  bolt-found: { conclude: bolt-loose, verify: again }\n  nut-found: { conclude: nut-loose, verify: again }\n  wire-found: {",
      ],
      [
        "good: { from: 11 V, goto: part-found }",
        "good: { from: 11 V, to: 15 V, goto: part-found }\n      high: { over: 15 V, to: 20 V, goto: bolt-found }\n      higher: { over: 20 V, goto: nut-found }",
      ],
    ],
    ["unsupported-conclusion"],
  ),
  defect(
    "faults-not-told-apart",
    "valve-ways-joined",
    "a second fault that answers like the first",
    "valve-loose",
    [
      [
        "  valve-leaks: { title",
        "  valve-loose: { title: Valve loose, prior: 0.01, repair: mend }\n  valve-leaks: { title",
      ],
      ["valve-leaks: { dry: 0.97 }", "valve-leaks: { dry: 0.97 }\n      valve-loose: { dry: 0.97 }"],
      ["valve-leaks: { warm: 0.95 }", "valve-leaks: { warm: 0.95 }\n      valve-loose: { warm: 0.95 }"],
      ["warm: { goto: valve-found }", "warm: { goto: valve-found }\n      hot: { goto: loose-found }"],
      ["  seal-found:", "  loose-found: { conclude: valve-loose, verify: again }\n  seal-found:"],
    ],
    ["unsupported-conclusion"],
  ),

  defect(
    "evidence-sum",
    "lamp-one-question",
    "more than one in two shares",
    "{ broken",
    [["bulb-open: { broken: 0.97 }", "bulb-open: { broken: 0.97, whole: 0.05 }"]],
    ["unsupported-conclusion"],
  ),
  defect("evidence-sum", "seat-three-ways", "three shares that leave something over", "{ dark", [
    ["fuse-blown: { dark: 0.97 }", "fuse-blown: { dark: 0.9, mark: 0.02, lit: 0.02 }"],
  ]),
  defect("evidence-sum", "coil-three-bands", "the row of all others", "{ sound", [
    ["otherwise: { sound: 0.98, open: 0.01 }", "otherwise: { sound: 0.98, open: 0.05 }"],
  ]),
  defect("evidence-sum", "plug-called", "in the procedure that is called", "{ dry", [
    ["otherwise: { dry: 0.99 }", "otherwise: { dry: 0.99, wet: 0.02 }"],
  ]),
  defect("evidence-sum", "pressure-by-specification", "a specification's three outcomes", "{ above", [
    [
      "governor-off: { above: 0.96, below: 0.01 }",
      "governor-off: { above: 0.96, below: 0.01, within: 0.01 }",
    ],
  ]),

  defect("no-evidence", "complaint-not-there", "whether the complaint is there", "present", [
    ['    evidence:\n      otherwise: { "yes": 0.9 }\n', ""],
  ]),
  defect("no-evidence", "valve-ways-joined", "a question that parts the ways", "load", [
    ["    evidence:\n      otherwise: { sinks: 0.7 }\n", ""],
  ]),
  defect("no-evidence", "read-as-a-number", "a reading before the one that tells", "feed", [
    [
      "start: plug\nsteps:\n",
      "start: feed\nsteps:\n  feed:\n    measure: voltage\n    say: Measure at the rail.\n    unit: V\n    with: meter\n    bands:\n      low: { under: 9 V, goto: refer }\n      good: { from: 9 V, goto: plug }\n",
    ],
  ]),
  defect("no-evidence", "guarded-reading", "after a look that one may be unable to take", "colour", [
    ["    cannot: { goto: warm }", "    cannot: { goto: colour }"],
    [
      "  warm:\n",
      "  colour:\n    ask: Is the cable brown?\n    answers:\n      brown: { goto: refer }\n      bright: { goto: warm }\n  warm:\n",
    ],
  ]),
  defect("no-evidence", "plug-called", "in the procedure that is called", "shut", [
    [
      "start: look\nsteps:\n",
      "start: shut\nsteps:\n  shut:\n    ask: Is the plug shut?\n    answers:\n      shut: { goto: look }\n      open: { goto: none }\n",
    ],
  ]),

  defect("certain-evidence", "lamp-one-question", "an answer that is never wrong", "1", [
    ["bulb-open: { broken: 0.97 }", "bulb-open: { broken: 1 }"],
  ]),
  defect("certain-evidence", "seat-three-ways", "an answer that never comes", "0", [
    ["mat-burnt: { mark: 0.96, dark: 0.02 }", "mat-burnt: { mark: 0.96, dark: 0 }"],
  ]),
  defect("certain-evidence", "feed-two-bands", "a band that is never left", "1.0", [
    ["wire-bad: { low: 0.98 }", "wire-bad: { low: 1.0 }"],
  ]),
  defect("certain-evidence", "battery-one-limit", "all others for certain", "1", [
    ["otherwise: { within: 0.95 }", "otherwise: { within: 1 }"],
  ]),
  defect("certain-evidence", "plug-called", "in the procedure that is called", "0", [
    ["pin-wet: { wet: 0.98 }", "pin-wet: { wet: 0.98, dry: 0 }"],
    ["      wet: { goto: wet-found }", "      wet: { goto: wet-found }\n      damp: { goto: wet-found }"],
  ]),
];
