/** The short name of each finding in the list, and what it means for the technician, by code. */
import type { FindingCode } from "../../engine/procedure/finding.ts";

export interface FindingWords {
  readonly title: string;
  /** What it would do to the one who walks the procedure, and how it is mended. */
  readonly meaning: string;
}

export const FINDING_WORDS: Readonly<Record<FindingCode, FindingWords>> = {
  "not-procedure": {
    title: "Not readable as a procedure",
    meaning:
      "The text could not be taken apart into keys and values. Most often a line is indented wrongly, a quote is not closed, or a tab stands where spaces belong. Until it can be read, nothing below it is checked.",
  },
  "unknown-name": {
    title: "A name that nothing has",
    meaning:
      "A key of the format or the name of a fault, caution, set-up or other part is written here that does not exist. It is often a slip of the pen: the nearest name is offered where there is one.",
  },
  "missing-key": {
    title: "Something must be said here",
    meaning: "This part cannot be walked without a key that is left out.",
  },
  "wrong-shape": {
    title: "Another kind of value belongs here",
    meaning: "There is a list where one value belongs, a text where a number belongs, or the like.",
  },
  "bad-quantity": {
    title: "A number without a lawful unit",
    meaning:
      "Quantities are written as a number, a space and a unit: 12 V, 0.9 %, 20 degC, 9 N.m. Without the unit nobody could tell 12 V from 12 mV.",
  },
  "bad-expression": {
    title: "A condition that cannot be worked out",
    meaning:
      "The text in quotes is not a sound expression over facts, readings and values. A condition that fails during a run would count as a step that could not be done.",
  },
  "plain-hint": {
    title: "Read differently than it looks",
    meaning:
      "The text is lawful but is read as something else than the eye sees: a percent sign, comma or colon that needs quotes, or a tab.",
  },
  "unknown-step": {
    title: "Leads to a step that is not there",
    meaning:
      "A branch, a verification or the start names a step that does not exist, so a run would have nowhere to go.",
  },
  "dead-end": {
    title: "A step that leads nowhere",
    meaning:
      "A run that comes here can never reach an end. Every step needs a way to a conclusion or to an end.",
  },
  "unreachable-step": {
    title: "A step that nothing leads to",
    meaning: "No answer and no reading leads here. Either a branch is missing, or the step can go.",
  },
  "endless-loop": {
    title: "A circle without an end",
    meaning:
      "A run could go round here for ever. Every circle needs an at-most on one of its branches, with an else for what comes after.",
  },
  "impossible-branch": {
    title: "A branch that is never taken",
    meaning: "No reading within the limits gives this outcome, so what it leads to would wait in vain.",
  },
  "reading-gap": {
    title: "A reading with nowhere to go",
    meaning:
      "The bands leave some readings out. A meter that shows one of them would leave the technician without a next step. Bands must cover every reading exactly once: from and to include the number, under and over do not.",
  },
  "reading-overlap": {
    title: "A reading that fits two bands",
    meaning:
      "Two bands hold the same reading, so it would not be certain where it leads. Let one of them end where the other begins: under on one side, from on the other.",
  },
  "unit-mismatch": {
    title: "Units that do not go together",
    meaning: "A limit is given in a unit that the step's reading can never have, ohms against volts, say.",
  },
  "reference-mismatch": {
    title: "Corrected to another condition",
    meaning:
      "The step corrects the reading to another temperature than the specification is given at. The two numbers cannot be compared.",
  },
  "reading-not-taken": {
    title: "Uses a reading that may not be there",
    meaning:
      "On some way to this place the reading was never taken. Guard the condition with “in readings”, or lead every way through that measurement.",
  },
  "instrument-too-coarse": {
    title: "The instrument cannot tell these apart",
    meaning:
      "A band is narrower than what the instrument leaves in doubt, so a reading in it would nearly always be too close to call.",
  },
  "unsupported-conclusion": {
    title: "A conclusion without enough proof",
    meaning:
      "On the way shown the evidence does not reach the certainty that the procedure asks for. Add a test on that way, state the evidence of the tests there are, or conclude less.",
  },
  "fault-never-found": {
    title: "A fault that no way finds",
    meaning:
      "The fault is listed, yet no conclusion names it on any way through. A machine with that fault would never be repaired by this procedure.",
  },
  "faults-not-told-apart": {
    title: "Faults that are not told apart",
    meaning:
      "No step gives a different outcome for these faults, so they are found only together. That is sound if they share a repair; else a test is missing.",
  },
  "no-verification": {
    title: "Called fixed without a check",
    meaning:
      "A run could be closed as fixed although nobody tried whether the complaint is gone. Let the conclusion lead to a verification.",
  },
  "evidence-sum": {
    title: "Shares that do not add up to one",
    meaning:
      "The shares of a row say how likely each outcome is under one fault. Written in full they add up to one; more than one is impossible.",
  },
  "no-evidence": {
    title: "A step that says nothing about faults",
    meaning:
      "Without evidence the step's outcome changes no fault's probability. Say how likely each outcome is under each fault.",
  },
  "certain-evidence": {
    title: "A share of exactly 0 or 1",
    meaning:
      "It says that a test can never be wrong. One slip in measuring would then rule out the true fault for good.",
  },
  "missing-caution": {
    title: "A hazard without its caution",
    meaning:
      "The technician meets a hazard here and is not warned before. Name a caution that covers it, with what hurts and how it is avoided.",
  },
  "set-up-not-put-back": {
    title: "Taken apart and never put back",
    meaning:
      "Nothing says how this is put back. Write put-back, or put-back: none where there is nothing to put back.",
  },
  "set-up-conflict": {
    title: "Needed and forbidden at once",
    meaning: "The step needs a set-up and asks for it to be undone, so it could never be begun.",
  },
  "not-acted-on": {
    title: "Lawful, but nothing acts on it yet",
    meaning: "The format knows this part; this version keeps it and does nothing with it.",
  },
};
