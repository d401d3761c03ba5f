/** Bands, units, corrections and readings that something is wrong with. */
import { type Defect, defect } from "./defect.ts";

export const READING_DEFECTS: readonly Defect[] = [
  defect("reading-gap", "feed-two-bands", "a stretch between two bands", "12 V", [
    ["good: { from: 11 V,", "good: { from: 12 V,"],
  ]),
  defect("reading-gap", "coil-three-bands", "one single number", "80 Ohm", [
    ["to: 80 Ohm, goto: refer", "under: 80 Ohm, goto: refer"],
  ]),
  defect("reading-gap", "limits-cited", "over range", "feed.to", [
    ["      high: { over: feed.to, goto: refer }\n", ""],
    ["wire-bad: { low: 0.97, high: 0.01 }", "wire-bad: { low: 0.97 }"],
    ["part-bad: { good: 0.97, high: 0.01 }", "part-bad: { good: 0.97 }"],
  ]),
  defect("reading-gap", "reading-below-zero", "all that is negative", "-0.2 V", [
    ["      minus: { under: -0.2 V, goto: ground-found }\n", ""],
    ["ground-bad: { minus: 0.45, plus: 0.5 }", "ground-bad: { plus: 0.97 }"],
  ]),
  defect("reading-gap", "drop-in-two-units", "limits in two units that do not meet", "700 mV", [
    ["high: { from: 500 mV,", "high: { from: 700 mV,"],
  ]),
  defect("reading-gap", "pressure-by-specification", "above the specification", "gauge", [
    ["      above: { goto: governor-found }\n", ""],
    ["governor-off: { above: 0.96, below: 0.01 }", "governor-off: { within: 0.99 }"],
    ["  governor-found: { conclude: governor-off, verify: again }\n", ""],
    ["  governor-off: { title: Governor off, prior: 1, repair: mend }\n", ""],
    ["      governor-off: { within: 0.99 }\n", "      otherwise: { within: 0.99 }\n"],
  ]),
  defect("reading-gap", "limits-looked-up", "below a limit that is looked up in the run", "draw", [
    ["      below: { goto: wire-found }\n", ""],
    ["wire-bad: { below: 0.97, above: 0.01 }", "wire-bad: { within: 0.97 }"],
    ["part-bad: { above: 0.97, below: 0.01 }", "part-bad: { above: 0.97 }"],
    ["      within: { goto: refer }\n", "      within: { goto: wire-found }\n"],
  ]),
  defect("reading-gap", "difference-reckoned", "of a value that is reckoned", "1 V", [
    ["much: { from: 0.5 V,", "much: { from: 1 V,"],
  ]),

  defect("reading-overlap", "feed-two-bands", "a stretch of two bands", "{ from: 10 V", [
    ["good: { from: 11 V,", "good: { from: 10 V,"],
  ]),
  defect("reading-overlap", "coil-three-bands", "one single number in two", "{ from: 80 Ohm", [
    ["open: { over: 80 Ohm,", "open: { from: 80 Ohm,"],
  ]),
  defect("reading-overlap", "limits-cited", "a band inside another", "{ over: feed.from", [
    ["high: { over: feed.to, goto: refer }", "high: { over: feed.from, goto: refer }"],
  ]),
  defect(
    "reading-overlap",
    "drop-in-two-units",
    "limits in two units that pass each other",
    "{ from: 400 mV",
    [["high: { from: 500 mV,", "high: { from: 400 mV,"]],
  ),
  defect("reading-overlap", "reading-below-zero", "a sign left out", "{ from: -0.2 V", [
    ["minus: { under: -0.2 V,", "minus: { under: 0.2 V,"],
  ]),
  defect("reading-overlap", "rate-by-time", "of a value that is reckoned", "{ from: 0.4 bar", [
    ["leaks: { from: 0.5 bar,", "leaks: { from: 0.4 bar,"],
  ]),
  defect("reading-overlap", "limits-by-temperature", "a lower limit that passes the upper one", "sensor", [
    ["[90 degC, 220 Ohm]", "[90 degC, 320 Ohm]"],
  ]),

  defect("unit-mismatch", "feed-two-bands", "a torque among volts", "11 N.m", [
    ["good: { from: 11 V,", "good: { from: 11 N.m,"],
  ]),
  defect(
    "unit-mismatch",
    "coil-three-bands",
    "ohms that are to be volts",
    "V",
    [["    unit: Ohm\n", "    unit: V\n"]],
    ["unit-mismatch"],
  ),
  defect("unit-mismatch", "pressure-by-specification", "a specification of something else", "cut-in", [
    ["from: 6.5 bar, to: 7.5 bar,", "from: 6.5 V, to: 7.5 V,"],
  ]),
  defect("unit-mismatch", "battery-one-limit", "a wait in volts", "30 V", [["wait: 30 min", "wait: 30 V"]]),
  defect("unit-mismatch", "set-ups-in-turn", "a torque in millimetres", "4 mm", [
    ["torque: 4 N.m }", "torque: 4 mm }"],
  ]),
  defect("unit-mismatch", "limits-by-temperature", "a table by volts", "20 V", [
    ["from: { by: facts.coolant, table: [ [20 degC, 2300", "from: { by: facts.coolant, table: [ [20 V, 2300"],
  ]),
  defect("unit-mismatch", "limits-of-a-sheet", "a sheet in another unit than the step", "{ title: Feed", [
    ["feed: { title: Feed, from: 11.8 V,", "feed: { title: Feed, from: 11.8 A,"],
  ]),
  defect("unit-mismatch", "read-as-a-number", "a reading in volts among ohms", "2 V", [
    ["reads: 2 Ohm ± 2 Ohm", "reads: 2 V ± 2 V"],
  ]),

  defect("reference-mismatch", "winding-corrected", "corrected to nowhere", "{ ask", [
    ["      to: 20 degC\n", ""],
  ]),
  defect("reference-mismatch", "limits-by-temperature", "a specification that says no temperature", "{ ask", [
    [
      "    specification: sensor\n",
      "    correct: { temperature: { ask: Temperature of the housing, metal: copper } }\n    specification: sensor\n",
    ],
  ]),
  defect(
    "reference-mismatch",
    "winding-corrected",
    "to another temperature than the limits hold at",
    "25 degC",
    [
      [
        "start: winding",
        "specifications:\n  wound: { title: Winding, to: 5 Ohm, at: 20 degC, source: depot practice }\nstart: winding",
      ],
      [
        "to: 20 degC\n    bands:\n      sound: { under: 5 Ohm, goto",
        "to: 25 degC\n    specification: wound\n    outcomes:\n      within: { goto",
      ],
      ["high: { from: 5 Ohm, goto", "above: { goto"],
      ["wire-bad: { sound:", "wire-bad: { within:"],
      ["part-bad: { high:", "part-bad: { above:"],
    ],
  ),
  defect("reference-mismatch", "limits-looked-up", "limits looked up, and nothing about at what", "{ ask", [
    [
      "  draw: { title: Motor current, ask: true, unit: A,",
      "  draw: { title: Motor winding, ask: true, unit: Ohm,",
    ],
    ["    measure: current\n", "    measure: resistance\n"],
    [
      "    unit: A\n    with: meter\n",
      "    unit: Ohm\n    with: meter\n    correct: { temperature: { ask: Temperature of the motor, metal: copper } }\n",
    ],
  ]),
  defect("reference-mismatch", "plug-called", "in the procedure that is called", "{ ask", [
    [
      "start: look\nsteps:\n  look:\n",
      "start: loop\nsteps:\n  loop:\n    measure: resistance\n    say: Measure the pair.\n    unit: Ohm\n    correct: { temperature: { ask: Temperature of the wire, metal: copper } }\n    goto: look\n  look:\n",
    ],
  ]),
  defect(
    "reference-mismatch",
    "winding-corrected",
    "in degrees Fahrenheit, and another temperature",
    "70 degF",
    [
      [
        "start: winding",
        "specifications:\n  wound: { title: Winding, to: 5 Ohm, at: 20 degC, source: depot practice }\nstart: winding",
      ],
      [
        "to: 20 degC\n    bands:\n      sound: { under: 5 Ohm, goto",
        "to: 70 degF\n    specification: wound\n    outcomes:\n      within: { goto",
      ],
      ["high: { from: 5 Ohm, goto", "above: { goto"],
      ["wire-bad: { sound:", "wire-bad: { within:"],
      ["part-bad: { high:", "part-bad: { above:"],
    ],
  ),

  defect("reading-not-taken", "difference-reckoned", "a value from a reading that comes later", '"readings', [
    ["start: battery", "start: lamp"],
    ["little: { under: 0.5 V, goto: part-found }", "little: { under: 0.5 V, goto: battery }"],
    ["    goto: lamp\n", "    goto: part-found\n"],
  ]),
  defect(
    "reading-not-taken",
    "guarded-reading",
    "a guard left out where one may not be able to look",
    `'readings["sag"]`,
    [[`'"sag" in readings && readings["sag"] > 10.5'`, `'readings["sag"] > 10.5'`]],
  ),
  defect("reading-not-taken", "rate-by-time", "the time since a step that is walked past", "'(readings", [
    [`elapsed["full"]`, `elapsed["start"]`],
    ["  line-found:", "  start: { do: Start the engine., done: { goto: refer } }\n  line-found:"],
    ["tight: { under: 0.5 bar, goto: refer }", "tight: { under: 0.5 bar, goto: start }"],
  ]),
  defect(
    "reading-not-taken",
    "set-up-undone-again",
    "a reading of one way only, where two ways meet",
    '"readings',
    [
      [
        "    ask: Is the complaint gone?\n    answers:\n      gone: { goto: mended }",
        '    ask: Is the complaint gone?\n    answers:\n      gone: { then: [ { if: "readings.socket > 11.0", goto: mended }, { goto: mended } ] }',
      ],
    ],
  ),
  defect("reading-not-taken", "limits-by-temperature", "a table by a reading to come", "readings", [
    [
      "to: { by: facts.coolant, table: [ [20 degC, 2800 Ohm], [90 degC, 290 Ohm] ] }",
      "to: { by: readings.later, table: [ [20 degC, 2800 Ohm], [90 degC, 2400 Ohm] ] }",
    ],
    ["      below: { goto: refer }\n", "      below: { goto: later }\n"],
    [
      "  wire-found:",
      "  later: { measure: temperature, say: Measure it., unit: degC, goto: refer }\n  wire-found:",
    ],
  ]),
  defect(
    "reading-not-taken",
    "plug-called-twice",
    "the reading of a call that may be skipped",
    `'readings["pin"]`,
    [
      [
        "start: look\nsteps:\n",
        "start: pin\nsteps:\n  pin: { measure: voltage, say: Measure the pin., unit: V, cannot: { goto: look }, goto: look }\n",
      ],
      [
        "      dry: { goto: none }",
        `      dry: { then: [ { if: 'readings["pin"] > 1.0', goto: none }, { goto: none } ] }`,
      ],
    ],
  ),

  defect("instrument-too-coarse", "coil-three-bands", "a band of a few tenths", "{ over: 20 Ohm", [
    ["sound: { over: 20 Ohm, to: 80 Ohm,", "sound: { over: 20 Ohm, to: 20.3 Ohm,"],
    ["open: { over: 80 Ohm,", "open: { over: 20.3 Ohm,"],
  ]),
  defect("instrument-too-coarse", "pressure-by-specification", "a gauge of few marks", "gauge", [
    [
      "pressure: { reading: 1 %, counts: 1, resolution: 0.01 bar }",
      "pressure: { reading: 1 %, counts: 1, resolution: 1 bar }",
    ],
  ]),
  defect(
    "instrument-too-coarse",
    "limits-cited",
    "limits cited that are close to each other",
    "{ from: feed.from",
    [["from: 11.5 V, to: 15 V,", "from: 11.5 V, to: 11.52 V,"]],
  ),
  defect(
    "instrument-too-coarse",
    "reading-below-zero",
    "a share of a full scale that is far off",
    "{ from: -0.2 V",
    [
      [
        "voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V }",
        "voltage: { up-to: 600 V, full-scale: 1 % }",
      ],
    ],
  ),
  defect(
    "instrument-too-coarse",
    "limits-of-a-sheet",
    "with one of the sheets only",
    "feed",
    [["feed: { title: Feed, from: 11.8 V,", "feed: { title: Feed, from: 11.8 V, to: 11.82 V,"]],
    ["reading-gap"],
  ),
  defect(
    "instrument-too-coarse",
    "drop-in-two-units",
    "millivolts with a meter for volts",
    "{ from: 500 mV",
    [
      [
        "high: { from: 500 mV, goto: wire-found }",
        "high: { from: 500 mV, to: 510 mV, goto: wire-found }\n      more: { over: 510 mV, goto: wire-found }",
      ],
      ["wire-bad: { high: 0.98 }", "wire-bad: { high: 0.4, more: 0.58 }"],
    ],
  ),
];
