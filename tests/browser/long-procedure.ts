/** A procedure that strains the screens: nine answers, long texts, every signal word, a wait and a time limit. */
export const LONG_PROCEDURE = `procedure: strained-screens
revision: 1
title: Every second lamp along the left side of the load bed flickers when the indicator is on and the rear door is open
complaint: On the left side of the load bed lamps two, four and six flicker in the rhythm of the indicator, but only with the rear door open and the engine idling.
tools: [multimeter]
cautions:
  falls:
    signal: danger
    hazard: The open rear door ends one and a half metres above the yard.
    consequence: A fall from there kills or cripples.
    avoid: Work from the platform with its rail up. Nobody stands at the door's edge, not even for a moment and not even to hold a lamp.
  glass:
    signal: caution
    hazard: Lamp glass breaks when it is twisted out of a corroded holder.
    avoid: Gloves and glasses on.
  stripped:
    signal: notice
    hazard: The lamp's plastic screws strip easily.
    avoid: By hand only.
  live:
    signal: warning
    hazard: The lamp feed stays live with the ignition off.
    avoid: Rings and watch off.
faults:
  wire: { title: The common feed wire of the even lamps has chafed through where it crosses the hinge of the rear door, prior: 2 }
  other: { title: Something else, prior: 1 }
start: which
steps:
  which:
    title: Which lamps flicker
    ask: Open the rear door fully, let the engine idle, switch the left indicator on and watch all lamps along the left side of the load bed for at least one minute. Which of them flicker?
    cautions: [falls, glass, stripped, live]
    where: Left side of the load bed, numbered from the cab to the rear door; number six is behind the folded loading ramp.
    answers:
      one: { label: Lamp one, goto: found }
      two: { label: Lamp two, goto: found }
      three: { label: Lamp three, goto: found }
      four: { label: Lamp four, goto: found }
      five: { label: Lamp five, goto: found }
      six: { label: "Lamp six, the one behind the folded loading ramp beside the rear door", goto: found }
      even: { label: "Two, four and six", goto: settle }
      all: { label: All of them, goto: found }
      none: { label: None of them, goto: found }
    evidence:
      wire: { even: 0.9 }
      otherwise: { none: 0.5 }
  settle:
    title: Let the battery settle
    measure: voltage
    say: Leads on the battery's posts.
    unit: V
    wait: 10 min
    limit: 5 s
    bands:
      low: { under: 12 V, goto: found }
      right: { from: 12 V, goto: found }
  found:
    title: Found
    conclude: wire
    goto: away
  away: { end: referred }
`;
