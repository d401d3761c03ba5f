/** Slips of the pen: text, shape and names. */
import { type Defect, defect } from "./defect.ts";

export const TEXT_DEFECTS: readonly Defect[] = [
  defect("not-procedure", "lamp-one-question", "a list of steps and nothing else", "- steps", [
    ["procedure: lamp-one-question", "- steps"],
  ]),
  defect("not-procedure", "horn-two-questions", "a tag of another program", "!include", [
    ["title: The horn stays silent", "title: !include title.txt"],
  ]),
  defect("not-procedure", "belt-handed-on", "an alias inside what it stands for", "*all", [
    ["faults:\n", "faults: &all\n  again: *all\n"],
  ]),
  defect("not-procedure", "feed-two-bands", "a second document behind the first", "", [
    ["repairs:\n", "---\nrepairs:\n"],
  ]),
  defect("not-procedure", "nothing-to-put-back", "a byte that no text has", "\0", [
    ["title: The dash", "title: The\0dash"],
  ]),

  defect("unknown-name", "wiper-two-together", "a fault misspelt in a conclusion", "arm-lose", [
    ["conclude: [arm-loose,", "conclude: [arm-lose,"],
  ]),
  defect("unknown-name", "seat-three-ways", "a key misspelt", "lable", [
    ["{ label: A burn", "{ lable: A burn"],
  ]),
  defect("unknown-name", "set-ups-in-turn", "a hazard that is none", "turning", [
    ["covers: [rotating]", "covers: [turning]"],
  ]),
  defect("unknown-name", "codes-first", "an answer by a reserved word", "cannot", [
    ["      stays: { goto: other-found }", "      cannot: { goto: other-found }"],
    ["otherwise: { stays: 0.97 }", "otherwise: { changes: 0.03 }"],
  ]),
  defect("unknown-name", "ways-by-a-fact", "a fact misspelt in a condition", "'facts.heeter", [
    [`'facts.heater == "air"'`, `'facts.heeter == "air"'`],
  ]),
  defect("unknown-name", "coil-three-bands", "an outcome misspelt in the evidence", "opne", [
    ["coil-open: { open: 0.97", "coil-open: { opne: 0.97"],
  ]),
  defect("unknown-name", "plug-named", "a procedure that is not there", "look-at-namd-plug", [
    ["call: look-at-named-plug", "call: look-at-namd-plug"],
  ]),

  defect("missing-key", "repair-with-hazards", "a caution that says nothing to do", "pressed", [
    ["    avoid: Let the pressure off first.\n", ""],
  ]),
  defect("missing-key", "lamp-one-question", "a procedure without a start", "procedure", [
    ["start: filament\n", ""],
  ]),
  defect("missing-key", "drop-in-two-units", "a reading without a unit", "drop", [["    unit: mV\n", ""]]),
  defect("missing-key", "limits-looked-up", "a specification to look up, of what it does not say", "draw", [
    [", limits: [from, to] }", " }"],
  ]),
  defect("missing-key", "winding-corrected", "leads to subtract that the meter says nothing of", "subtract", [
    [", leads: 0.2 Ohm }", " }"],
  ]),
  defect("missing-key", "plug-called", "an answer that leads nowhere", "steady", [
    ["steady: { goto: refer }", "steady: { label: Steady }"],
  ]),

  defect("wrong-shape", "valve-ways-joined", "a list for a number", "[1]", [
    ["revision: 1", "revision: [1]"],
  ]),
  defect("wrong-shape", "ways-by-a-fact", "a condition behind which nothing can come", "if", [
    ["        - { goto: refer }", "        - { if: 'facts.heater == \"air\"', goto: refer }"],
  ]),
  defect("wrong-shape", "limits-by-temperature", "a table that falls", "10 degC", [
    [
      "from: { by: facts.coolant, table: [ [20 degC, 2300 Ohm], [90 degC, 220 Ohm] ] }",
      "from: { by: facts.coolant, table: [ [20 degC, 2300 Ohm], [10 degC, 220 Ohm] ] }",
    ],
  ]),
  defect("wrong-shape", "limits-cited", "two limits that cite each other", "{ title: Feed", [
    ["from: 11.5 V, to: 15 V,", "from: feed.to, to: feed.from,"],
  ]),
  defect("wrong-shape", "pump-second-round", "a branch taken at most no times", "0", [
    ['"no": { goto: tap, at-most: 1, else: refer }', '"no": { goto: tap, at-most: 0, else: refer }'],
  ]),
  defect("wrong-shape", "door-not-to-be-seen", "a file by another name", "door-not-seen", [
    ["procedure: door-not-to-be-seen", "procedure: door-not-seen"],
  ]),

  defect("bad-quantity", "feed-two-bands", "a limit without its unit", "11", [
    ["{ from: 11 V,", "{ from: 11,"],
  ]),
  defect("bad-quantity", "pressure-by-specification", "an accuracy without a percent sign", "1", [
    ["pressure: { reading: 1 %,", "pressure: { reading: 1,"],
  ]),
  defect("bad-quantity", "battery-one-limit", "a time in words", "half an hour", [
    ["wait: 30 min", "wait: half an hour"],
  ]),
  defect("bad-quantity", "set-ups-in-turn", "a torque with its unit twice", "4 N.m N.m", [
    ["torque: 4 N.m }", "torque: 4 N.m N.m }"],
  ]),
  defect("bad-quantity", "limits-looked-up", "a unit that is none", "clicks", [
    ["unit: A, limits", "unit: clicks, limits"],
  ]),
  defect("bad-quantity", "read-as-a-number", "a mean in words", "about two", [
    ["reads: 2 Ohm ± 2 Ohm", "reads: about two"],
  ]),

  defect("bad-expression", "ways-by-a-fact", "half a condition", "'facts.heater", [
    [`'facts.heater == "air"'`, "'facts.heater =='"],
  ]),
  defect("bad-expression", "codes-first", "a condition that gives a number", "'size", [
    [`'"P0118" in facts.codes'`, "'size(facts.codes)'"],
  ]),
  defect("bad-expression", "difference-reckoned", "a value that gives a yes or no", '"readings', [
    ['"readings.battery - reading"', '"readings.battery > reading"'],
  ]),
  defect("bad-expression", "flasher-counted-loop", "this reading, where none is taken", '"reading', [
    ["done: { goto: flash }", 'done: { then: [ { if: "reading > 1.0", goto: flash }, { goto: flash } ] }'],
  ]),
  defect("bad-expression", "guarded-reading", "a sum of a number and a text", "'1.0", [
    [`'"sag" in readings && readings["sag"] > 10.5'`, `'1.0 + "a" > 1.0'`],
  ]),

  defect("plain-hint", "complaint-not-there", "a colon in a text", "Driver", [
    ["complaint: The engine stalls", "complaint: Driver: the engine stalls"],
  ]),
  defect("plain-hint", "mirror-looked-at-twice", "a tab for spaces", "\t", [
    ["  fold:\n    do", "  fold:\n\tdo"],
  ]),
  defect("plain-hint", "repair-with-hazards", "a comma that cuts a text in braces", "then wait", [
    ["{ say: Let the pressure off and", "{ say: Let the pressure off, then wait,"],
  ]),
  defect("plain-hint", "hazard-of-the-machine", "the same step twice", "chocked", [
    ["  shines:\n    ask", "  chocked:\n    ask"],
    ["done: { goto: shines }", "done: { goto: chocked }"],
  ]),
  defect("plain-hint", "seat-three-ways", "a quote that is not closed", "", [
    ["ask: What shows first?", 'ask: "What shows first?'],
  ]),
  defect("plain-hint", "codes-first", "a text cut short by a hash", "Sensor", [
    ["ask: Sensor unplugged,", "ask: Sensor #2 unplugged,"],
  ]),

  defect("unknown-step", "horn-two-questions", "an answer to a step misspelt", "dircet", [
    ['"no": { goto: direct }', '"no": { goto: dircet }'],
  ]),
  defect("unknown-step", "lamp-one-question", "a start that is not there", "filamnet", [
    ["start: filament", "start: filamnet"],
  ]),
  defect("unknown-step", "fan-less-certain", "a verification that is not there", "agian", [
    [
      "leaf-found: { conclude: leaf-inside, verify: again }",
      "leaf-found: { conclude: leaf-inside, verify: agian }",
    ],
  ]),
  defect("unknown-step", "pressure-by-specification", "what follows a used-up branch", "reffer", [
    ["at-most: 2, else: refer }", "at-most: 2, else: reffer }"],
  ]),
  defect("unknown-step", "plug-called", "a return to a step of the called one", "look", [
    ["no-fault-found: { goto: tap }", "no-fault-found: { goto: look }"],
  ]),
  defect("unknown-step", "ways-by-a-fact", "an arm of a condition", "hoose", [
    [`"water"', goto: hose }`, `"water"', goto: hoose }`],
  ]),

  defect("not-acted-on", "plug-named", "where the called procedure asks for a fact", "where", [
    ["ask: Which plug?,", "ask: Which plug?, where: On its housing.,"],
  ]),
  defect("not-acted-on", "set-ups-in-turn", "the place where it is put back", "where", [
    ["put-back: { do: Plug it in.,", "put-back: { do: Plug it in., where: Under the seat.,"],
  ]),
  defect("not-acted-on", "limits-by-temperature", "a picture of what a fact is measured at", "picture", [
    ["unit: degC, with: meter }", "unit: degC, with: meter, picture: { file: a.png, alt: The housing } }"],
  ]),
  defect("not-acted-on", "ways-by-a-fact", "where a fact is seen", "where", [
    ["ask: Which heater is fitted?,", "ask: Which heater is fitted?, where: Under the bonnet.,"],
  ]),
  defect("not-acted-on", "set-up-undone-again", "a picture of how it is put back", "picture", [
    [
      "put-back: { do: Press it home.,",
      "put-back: { do: Press it home., picture: { file: a.png, alt: Socket },",
    ],
  ]),
  defect("not-acted-on", "plug-named", "a fact handed on by its own name", "plug", [
    ["give: { plug: front }", 'give: { plug: "{facts.codes}" }'],
  ]),
];
