/** Hazards without a caution or a referral, and set-ups against each other. */
import { type Defect, defect } from "./defect.ts";

export const SAFETY_DEFECTS: readonly Defect[] = [
  defect("missing-caution", "horn-two-questions", "at a step", "direct", [
    ["    ask: Fed straight", "    hazards: [electric-energised]\n    ask: Fed straight"],
  ]),
  defect("missing-caution", "set-ups-in-turn", "at a set-up", "cover-off", [
    ["    minutes: 3\n    cautions: [turning]\n", "    minutes: 3\n"],
  ]),
  defect("missing-caution", "set-up-undone-again", "where something is put back", "{ do: Press", [
    [
      "put-back: { do: Press it home., minutes: 1 }",
      "put-back: { do: Press it home., minutes: 1, hazards: [hot] }",
    ],
  ]),
  defect("missing-caution", "repair-with-hazards", "at one act of a repair", "{ say: Let", [
    [", cautions: [pressed] }", " }"],
  ]),
  defect("missing-caution", "hazard-of-the-machine", "of the machine, before the first work", "swap", [
    ["    cautions: [chocks]\n", ""],
  ]),
  defect("missing-caution", "limits-of-a-sheet", "of one machine that its sheet knows of", "feed", [
    ["hazards: [hot]\n", "hazards: [hot, battery-gas]\n"],
  ]),
  defect("missing-caution", "high-voltage-handed-on", "a caution that covers something else", "look", [
    ["covers: [electric-high]", "covers: [electric-energised]"],
  ]),
  defect("missing-caution", "nothing-to-put-back", "of a repair as a whole", "{ minutes: 20", [
    ["mend: { minutes: 20,", "mend: { minutes: 20, hazards: [fuel],"],
  ]),

  defect("set-up-not-put-back", "set-ups-in-turn", "one that another needs", "cover-off", [
    ["    put-back: { do: Refit the cover., minutes: 2, torque: 4 N.m }\n", ""],
  ]),
  defect("set-up-not-put-back", "plug-named", "one that a called procedure works in", "lift-plug-apart", [
    ["    put-back: { do: Plug it in., minutes: 1 }\n", ""],
  ]),
  defect(
    "set-up-not-put-back",
    "nothing-to-put-back",
    "nothing said where nothing is to be done",
    "key-off",
    [["    put-back: none\n", ""]],
  ),
  defect("set-up-not-put-back", "set-up-undone-again", "one that is undone on the way", "bridge-in", [
    [
      "    put-back: { do: Take the lead out., minutes: 1, cautions: [live], hazards: [electric-energised] }\n",
      "",
    ],
  ]),
  defect("set-up-not-put-back", "repair-with-hazards", "one that only a repair needs", "tank-open", [
    ["faults:\n", "set-ups:\n  tank-open: { do: Open the tank., minutes: 1 }\nfaults:\n"],
    ["    minutes: 25\n", "    minutes: 25\n    needs: [tank-open]\n"],
  ]),
  defect("set-up-not-put-back", "horn-two-questions", "one that nothing needs", "hood-up", [
    ["faults:\n", "set-ups:\n  hood-up: { do: Raise the hood., minutes: 1 }\nfaults:\n"],
  ]),

  defect("set-up-made-again", "set-up-undone-again", "made again after a reading without it", "once-more", [
    ["good: { from: 11 V, goto: load-found }", "good: { from: 11 V, goto: once-more }"],
    [
      "  contact-found:",
      "  once-more: { do: Bridge it once more., needs: [bridge-in], done: { goto: load-found } }\n  contact-found:",
    ],
  ]),
  defect("set-up-made-again", "set-ups-in-turn", "two made again, one standing on the other", "twice", [
    ["lights: { goto: blower-found }", "lights: { goto: turned }"],
    [
      "  blower-found:",
      "  turned: { do: Turn the wheel by hand., without: [cover-off], done: { goto: twice } }\n  twice: { do: Look at the pins., needs: [plug-apart], done: { goto: blower-found } }\n  blower-found:",
    ],
  ]),
  defect("set-up-made-again", "plug-named", "on one of two ways only", "twice", [
    ["silent: { goto: motor-found }", "silent: { goto: fed }"],
    [
      "  motor-found:",
      "  fed: { do: Feed it plugged in., without: [lift-plug-apart], done: { goto: twice } }\n  twice: { do: Look at the pins., needs: [lift-plug-apart], done: { goto: motor-found } }\n  motor-found:",
    ],
  ]),
  defect("set-up-made-again", "feed-two-bands", "by steps one behind the other", "again-apart", [
    ["low: { under: 11 V, goto: wire-found }", "low: { under: 11 V, goto: apart }"],
    [
      "start: feed\nsteps:\n",
      "set-ups:\n  off: { do: Unplug it., minutes: 1, put-back: { do: Plug it in., minutes: 1 } }\nstart: feed\nsteps:\n  apart: { do: Look at it., needs: [off], done: { goto: whole } }\n  whole: { do: Look at it plugged in., without: [off], done: { goto: again-apart } }\n  again-apart: { do: Look at it again., needs: [off], done: { goto: wire-found } }\n",
    ],
  ]),
  defect("set-up-made-again", "coil-three-bands", "undone by another set-up", "third", [
    ["start: coil\n", "start: first\n"],
    [
      "steps:\n",
      "set-ups:\n  open: { do: Open it., minutes: 1, put-back: none }\n  shut: { do: Shut it., minutes: 1, without: [open], put-back: none }\nsteps:\n  first: { do: Look at it., needs: [open], done: { goto: second } }\n  second: { do: Listen to it., needs: [shut], done: { goto: third } }\n  third: { do: Look at it again., needs: [open], without: [shut], done: { goto: coil } }\n",
    ],
  ]),

  defect("set-up-conflict", "set-ups-in-turn", "needed and undone by the same step", "plug-apart", [
    [
      "    needs: [plug-apart]\n    hazards: [electric-energised]",
      "    needs: [plug-apart]\n    without: [plug-apart]\n    hazards: [electric-energised]",
    ],
  ]),
  defect("set-up-conflict", "set-up-undone-again", "undone, and needed by what is needed", "bridged", [
    ["    ask: Bridged, does it run?\n", "    ask: Bridged, does it run?\n    without: [relay-out]\n"],
  ]),
  defect("set-up-conflict", "set-ups-in-turn", "two that need each other", "[cover-off]", [
    ["    minutes: 3\n", "    minutes: 3\n    needs: [plug-apart]\n"],
  ]),
  defect(
    "set-up-conflict",
    "repair-with-hazards",
    "a repair that needs two that can't be together",
    "change-filter",
    [
      [
        "faults:\n",
        "set-ups:\n  open: { do: Open it., minutes: 1, put-back: none }\n  shut: { do: Shut it., minutes: 1, without: [open], put-back: none }\nfaults:\n",
      ],
      ["    minutes: 25\n", "    minutes: 25\n    needs: [open, shut]\n"],
    ],
  ),
  defect("set-up-conflict", "set-up-undone-again", "a set-up that undoes what it stands on", "relay-out", [
    [
      "    needs: [relay-out]\n    cautions: [live]\n",
      "    needs: [relay-out]\n    without: [relay-out]\n    cautions: [live]\n",
    ],
  ]),
  defect("set-up-conflict", "plug-named", "a set-up that needs itself", "[lift-plug-apart]", [
    ["    minutes: 2\n", "    minutes: 2\n    needs: [lift-plug-apart]\n"],
  ]),

  defect("hazard-not-referred", "high-voltage-handed-on", "looked at, and gone on with", "look", [
    ["whole: { goto: inside-found }", "whole: { goto: lead-found }"],
    [
      "    answers:\n      chafed",
      "    evidence: { lead-bad: { whole: 0.99 }, inside: { chafed: 0.999 } }\n    answers:\n      chafed",
    ],
  ]),
  defect("hazard-not-referred", "repair-with-hazards", "an airbag at one act of a repair", "filter-found", [
    ["hazards: [stored-pressure]", "hazards: [stored-pressure, airbag]"],
    ["covers: [stored-pressure]", "covers: [stored-pressure, airbag]"],
  ]),
  defect(
    "hazard-not-referred",
    "set-ups-in-turn",
    "high voltage behind a cover",
    "lamp",
    [
      [
        "    minutes: 3\n    cautions: [turning]\n    hazards: [rotating]\n",
        "    minutes: 3\n    cautions: [turning]\n    hazards: [electric-high]\n",
      ],
      ["covers: [rotating]", "covers: [rotating, electric-high]"],
    ],
    ["hazard-not-referred"],
  ),
  defect("hazard-not-referred", "complaint-not-there", "looked at, and closed without a fault", "present", [
    [
      "faults:\n",
      "cautions:\n  bag: { signal: danger, hazard: The airbag can fire., avoid: Keep clear., covers: [airbag] }\nfaults:\n",
    ],
    [
      "    ask: Does it stall now?\n",
      "    ask: Does it stall now?\n    hazards: [airbag]\n    cautions: [bag]\n",
    ],
  ]),
  defect("hazard-not-referred", "plug-called", "in the procedure that is called", "look", [
    [
      "faults:\n  pin-wet",
      "cautions:\n  orange: { signal: danger, hazard: Orange plugs kill., avoid: Touch none., covers: [electric-high] }\nfaults:\n  pin-wet",
    ],
    [
      "    ask: Are the pins wet or green?\n",
      "    ask: Are the pins wet or green?\n    hazards: [electric-high]\n    cautions: [orange]\n",
    ],
  ]),
  defect(
    "hazard-not-referred",
    "lamp-one-question",
    "at a repair that is verified",
    "{ conclude: bulb-open",
    [
      [
        "faults:\n",
        "cautions:\n  ballast: { signal: danger, hazard: The ballast kills., avoid: Leave it shut., covers: [electric-high] }\nfaults:\n",
      ],
      ["mend: { minutes: 20,", "mend: { minutes: 20, hazards: [electric-high], cautions: [ballast],"],
    ],
  ),
];
