/** What each finding would do to the one who walks the procedure, and how it is mended, by code. */
import type { FindingCode } from "./finding.ts";

export const FINDING_MEANINGS: Readonly<Record<FindingCode, string>> = {
  "not-procedure":
    "The text could not be taken apart into keys and values. Most often a line is indented wrongly, a quote is not closed, or a tab stands where spaces belong. Until it can be read, nothing below it is checked.",
  "unknown-name":
    "A key of the format or the name of a fault, caution, set-up or other part is written here that does not exist. It is often a slip of the pen: the nearest name is offered where there is one.",
  "missing-key": "This part cannot be walked without a key that is left out.",
  "wrong-shape": "There is a list where one value belongs, a text where a number belongs, or the like.",
  "bad-quantity":
    "Quantities are written as a number, a space and a unit: 12 V, 0.9 %, 20 degC, 9 N.m. Without the unit nobody could tell 12 V from 12 mV.",
  "bad-expression":
    "The text in quotes is not a sound expression over facts, readings and values. A condition that fails during a run would count as a step that could not be done.",
  "plain-hint":
    "The text is lawful but is read as something else than the eye sees: a percent sign, comma or colon that needs quotes, or a tab.",
  "unknown-step":
    "A branch, a verification or the start names a step that does not exist, so a run would have nowhere to go.",
  "dead-end":
    "A run that comes here can never reach an end. Every step needs a way to a conclusion or to an end.",
  "unreachable-step": "No answer and no reading leads here. Either a branch is missing, or the step can go.",
  "endless-loop":
    "A run could go round here for ever. Every circle needs an at-most on one of its branches, with an else for what comes after.",
  "impossible-branch":
    "No reading within the limits gives this outcome, so what it leads to would wait in vain.",
  "reading-gap":
    "The bands leave some readings out. A meter that shows one of them would leave the technician without a next step. Bands must cover every reading exactly once: from and to include the number, under and over do not.",
  "reading-overlap":
    "Two bands hold the same reading, so it would not be certain where it leads. Let one of them end where the other begins: under on one side, from on the other.",
  "unit-mismatch":
    "A limit is given in a unit that the step's reading can never have, ohms against volts, say.",
  "reference-mismatch":
    "The step corrects the reading to another temperature than the specification is given at. The two numbers cannot be compared.",
  "reading-not-taken":
    "On some way to this place the reading was never taken. Guard the condition with “in readings”, or lead every way through that measurement.",
  "instrument-too-coarse":
    "A band is narrower than what the instrument leaves in doubt, so a reading in it would nearly always be too close to call.",
  "unsupported-conclusion":
    "On the way shown the evidence does not reach the certainty that the procedure asks for. Add a test on that way, state the evidence of the tests there are, or conclude less.",
  "fault-never-found":
    "The fault is listed, yet no conclusion names it on any way through. A machine with that fault would never be repaired by this procedure.",
  "faults-not-told-apart":
    "No step gives a different outcome for these faults, so they are found only together. That is sound if they share a repair; else a test is missing.",
  "no-verification":
    "A run could be closed as fixed although nobody tried whether the complaint is gone, or a repair counts as failed whatever is tried. Let the conclusion lead to a verification that can end as fixed.",
  "evidence-sum":
    "The shares of a row say how likely each outcome is under one fault. Written in full they add up to one; more than one is impossible.",
  "no-evidence":
    "Without evidence the step's outcome changes no fault's probability. Say how likely each outcome is under each fault.",
  "certain-evidence":
    "It says that a test can never be wrong. One slip in measuring would then rule out the true fault for good.",
  "missing-caution":
    "The technician meets a hazard here and is not warned before. Name a caution that covers it, with what hurts and how it is avoided.",
  "set-up-not-put-back":
    "Nothing says how this is put back, or how it is undone where a step must be without it: nobody would be told to do it. Write put-back, or put-back: none where there is nothing to put back.",
  "set-up-made-again":
    "Some way makes a set-up, undoes it for a step that must be without it, and makes it again for a later step. That is lawful, and its minutes are spent twice.",
  "set-up-conflict": "The step needs a set-up and asks for it to be undone, so it could never be begun.",
  "not-acted-on": "The format knows this part; this version keeps it and does nothing with it.",
  "hazard-not-referred":
    "After high voltage or an airbag nobody works on by this text alone: the only way on is to hand the job to someone with the licence, the data and the tools for it.",
};

/** How a finding is mended, whatever its place, by code; `placeFinding` says it for one place. */
export const FINDING_MENDS: Readonly<Record<FindingCode, string>> = {
  "not-procedure": "Mend the line that is pointed at: its indent, its quotes, its tab. Then check again.",
  "unknown-name": "Write the name that is meant, or add the part that is named.",
  "missing-key": "Add the key that the message names.",
  "wrong-shape": "Write it in the shape that the message names: one value, a list, or keys with values.",
  "bad-quantity": "Write a number, a space and a unit, as 12 V or 4.7 kOhm.",
  "bad-expression": "Mend the condition: it is CEL in quotes, numbers beside readings with a decimal point.",
  "plain-hint": "Put the text in quotes, or spaces in the place of the tab.",
  "unknown-step": "Name a step of this procedure, or add the step.",
  "dead-end": "Lead an outcome to an end; where an at-most is used up, say else and the step that follows.",
  "unreachable-step": "Lead an outcome to it, or take it out.",
  "endless-loop": "Write at-most on one branch of the way round, and else for what follows.",
  "impossible-branch": "Take the branch out, or mend the limits or conditions that shut it out.",
  "reading-gap": "Widen a band or add one, so that every reading leads somewhere, OL and negative ones too.",
  "reading-overlap": "Let one band stop with under where the other begins with from.",
  "unit-mismatch": "Write the limit in a unit of what the step measures, or mend what is measured.",
  "reference-mismatch": "Take the to of the correction out, or give the specification its at.",
  "reading-not-taken": 'Take the reading on every way there, or guard it with "step" in readings.',
  "instrument-too-coarse": "Use a finer instrument or range, or make the band wider.",
  "unsupported-conclusion":
    "Add a test on that way, state the evidence of the tests before it, or conclude the faults together.",
  "fault-never-found": "Add a way that concludes the fault, or take the fault out.",
  "faults-not-told-apart": "Add a test that they answer differently, or conclude them together.",
  "no-verification": "Let the conclusion verify at a step that tries whether the complaint is gone.",
  "evidence-sum": "Make the row sum to 1, or leave an outcome out of it to take what is left.",
  "no-evidence": "Add evidence: how likely each outcome is under each fault.",
  "certain-evidence": "Leave some doubt, as 0.01 or 0.99, unless it is truly certain.",
  "missing-caution": "Add a caution whose covers names the hazard, and name it where the hazard is met.",
  "set-up-not-put-back": "Write put-back, or put-back: none where there is nothing to put back.",
  "set-up-made-again": "Do what needs the set-up first, and what must be without it after.",
  "set-up-conflict": "Take the set-up out of needs or out of without.",
  "not-acted-on": "Nothing has to be done; only don't count on it.",
  "hazard-not-referred": "Lead every way on from there to an end: referred.",
};
