/** The English catalogue. Short, spoken, trade words. */
import type { FindingCode } from "./finding.ts";
import { CONCLUSION_WORDS } from "./wording-en-conclusions.ts";
import { EXPRESSION_WORDS } from "./wording-en-expressions.ts";
import { HINT_WORDS } from "./wording-en-hints.ts";
import { PHRASES, SHAPE_WORDS } from "./wording-en-shapes.ts";
import { capital, either, quoted, reason } from "./wording-en-words.ts";
import type { Params, Wording } from "./wording-type.ts";

export const ENGLISH: Readonly<Record<FindingCode, Wording>> = {
  "not-procedure": {
    title: "Not a procedure",
    message: (p) => PHRASES.refusal(p),
    mend: (p) => PHRASES.refusalMend(p),
  },
  "unknown-name": {
    title: "A name that is not known",
    message: (p) => `${unknownName(p)}${didYouMean(p)}`,
    mend: (p) => unknownNameMend(p),
  },
  "missing-key": {
    title: "Something left out",
    message: (p) =>
      reason(p) === "no-leads-figure"
        ? "The leads are to be subtracted, but the instrument states no figure for them."
        : `${capital(where(p) || "this")} needs ${alternatives(p("key"))}.`,
    mend: (p) =>
      reason(p) === "no-leads-figure"
        ? "Write leads: ask, or state the instrument's leads."
        : `Add ${alternatives(p("key"))}.`,
  },
  "wrong-shape": {
    title: "Not written as it should be",
    message: (p) => SHAPE_WORDS.message(p),
    mend: (p) => SHAPE_WORDS.mend(p),
  },
  "bad-quantity": {
    title: "A quantity that can't be read",
    message: (p) => `${quoted(p("text")) || "This"} is no quantity: ${PHRASES.quantity(p)}.`,
    mend: () => "Write a number, a space and a unit, as 12 V or 4.7 kOhm.",
  },
  "bad-expression": {
    title: "A condition that can't be read",
    message: (p) => EXPRESSION_WORDS.message(p),
    mend: (p) => EXPRESSION_WORDS.mend(p),
  },
  "plain-hint": {
    title: "Text that reads otherwise than it looks",
    message: (p) => HINT_WORDS.message(p),
    mend: (p) => HINT_WORDS.mend(p),
  },
  "unknown-step": {
    title: "A step that is not there",
    message: (p) => `There is no step ${quoted(p("name"))}.${didYouMean(p)}`,
    mend: (p) =>
      p("nearest") === ""
        ? "Name a step of this procedure, or add the step."
        : `Write ${p("nearest")}, or add the step.`,
  },
  "dead-end": {
    title: "A way that leads nowhere",
    message: (p) =>
      p("atMost") === ""
        ? `From step ${quoted(p("step"))} no end can be reached.`
        : reason(p) === "not-proven"
          ? `Outcome ${quoted(p("outcome"))} of step ${quoted(p("step"))} may be taken at most ${times(p("atMost"))}, and there are too many rounds to look at each: that it never leads nowhere is not shown.`
          : `Outcome ${quoted(p("outcome"))} of step ${quoted(p("step"))} leads nowhere once it was taken ${times(p("atMost"))}.`,
    mend: (p) =>
      p("atMost") === "" ? "Lead it to an end." : "Say else: and the step that comes after that.",
  },
  "unreachable-step": {
    title: "A step that no way leads to",
    message: (p) =>
      reason(p) === "not-proven"
        ? `There are too many rounds, as by step ${quoted(p("step"))}, to look at each: that a run can come to every step is not shown.`
        : `No way leads to step ${quoted(p("step"))}.`,
    mend: (p) =>
      reason(p) === "not-proven"
        ? "Bound fewer branches of one circle, or write smaller bounds."
        : "Lead an outcome to it, or take it out.",
  },
  "endless-loop": {
    title: "A loop without an end",
    message: (p) => endlessLoop(p),
    mend: (p) =>
      reason(p) === "calls" ? "Take one of the calls out." : "Give one branch on the way round an at-most.",
  },
  "impossible-branch": {
    title: "An outcome that can't be",
    message: (p) =>
      `Outcome ${quoted(p("outcome"))} of step ${quoted(p("step"))} can't come up${impossible(p)}.`,
    mend: (p) =>
      reason(p) === "no-instrument"
        ? "Name an instrument that states its accuracy under with:, or take the branch out."
        : reason(p) === "not-judged"
          ? "Give the step bands or a specification, or take the branch out."
          : "Take it out, or mend the limits or conditions that shut it out.",
  },
  "reading-gap": {
    title: "A reading with nowhere to go",
    message: (p) =>
      reason(p) === "not-proven"
        ? `The limits of ${quoted(p("step"))} can stand in too many orders to look at each: that every reading leads somewhere is not shown.`
        : p("from") !== "" && p("from") === p("to")
          ? `Exactly ${p("reading")} fits no band of ${quoted(p("step"))}. A meter that shows it would leave the technician without a next step.`
          : `No band of ${quoted(p("step"))} takes ${p("reading")}${between(p)}. The technician would be left without a next step.`,
    mend: (p) =>
      reason(p) === "not-proven"
        ? "Write fewer limits that only a run is told, or tables with fewer rows."
        : "Widen a band or add one, so that every reading leads somewhere.",
  },
  "reading-overlap": {
    title: "A reading in two bands",
    message: (p) =>
      `In step ${quoted(p("step"))}, ${p("reading")} is both ${quoted(p("first"))} and ${quoted(p("second"))}.`,
    mend: (p) =>
      reason(p) === "inverted"
        ? "Mend the specification: its lower limit may nowhere stand above its upper one."
        : "Let one of them stop where the other begins: under: and from:.",
  },
  "unit-mismatch": {
    title: "A unit that doesn't fit",
    message: (p) =>
      `${wordOr(either(p, "found", "unit"), "This")} doesn't fit here: ${either(p, "expected", "needs")} is needed.`,
    mend: (p) => {
      const needs = either(p, "expected", "needs");
      return reason(p) === "cited"
        ? `Name a specification of ${needs}, or write the limit here in a unit of ${needs}.`
        : `Write it in a unit of ${needs}.`;
    },
  },
  "reference-mismatch": {
    title: "Two reference temperatures",
    message: (p) => referenceMismatch(p),
    mend: (p) =>
      reason(p) === "none"
        ? "Give the specification an at:, or the correction a to:."
        : "Take the to: out: the specification's own at: counts.",
  },
  "reading-not-taken": {
    title: "A reading not taken yet",
    message: (p) =>
      `${p("what") === "elapsed" ? "The time since step" : "The reading of step"} ${quoted(either(p, "reading", "name"))} is used here, but ${reason(p) === "not-proven" ? "it is not shown that every way takes it: there are too many to follow each." : "some way gets here without it."}`,
    mend: (p) =>
      p("what") === "elapsed"
        ? "Walk through that step on every way here."
        : `Take the reading on every way here, or guard it: "${either(p, "reading", "name")}" in readings.`,
  },
  "instrument-too-coarse": {
    title: "An instrument too coarse for the band",
    message: (p) =>
      `Band ${quoted(p("band"))} is ${p("width")} wide, but the instrument is only sure to ${p("u")}.`,
    mend: () => "Use a finer instrument, or a wider band.",
  },
  "unsupported-conclusion": {
    title: "A conclusion without enough proof",
    message: (p) => CONCLUSION_WORDS.message(p),
    mend: (p) => CONCLUSION_WORDS.mend(p),
  },
  "fault-never-found": {
    title: "A fault that no way finds",
    message: (p) => `No way ends at fault ${quoted(p("fault"))}.`,
    mend: () => "Add a way that concludes it, or take it out.",
  },
  "faults-not-told-apart": {
    title: "Faults that look the same",
    message: (p) => `No test tells these faults apart: ${p("faults")}.`,
    mend: () => "Add a test that they answer differently, or conclude them together.",
  },
  "no-verification": {
    title: "A repair not verified",
    message: (p) =>
      reason(p) === "no-repair"
        ? `Step ${quoted(p("step"))} verifies a repair, but nothing repairs fault ${quoted(p("fault"))}.`
        : reason(p) === "not-repaired"
          ? `Step ${quoted(p("step"))} ends as fixed, but on some way nothing was repaired.`
          : reason(p) === "never-holds"
            ? `Step ${quoted(p("step"))} verifies at ${quoted(p("verify"))}, from where no way ends as fixed before another conclusion: whatever is answered, the repair counts as failed.`
            : `Step ${quoted(p("step"))} ends as fixed, but on some way no answer or clear reading shows that it is.`,
    mend: (p) =>
      reason(p) === "no-repair"
        ? "Give the fault a repair:, or conclude it with goto: to an end: referred."
        : reason(p) === "not-repaired"
          ? "Lead that way to a conclusion first, or to another end."
          : reason(p) === "never-holds"
            ? "Verify at a step that tries the complaint again and leads, where it is gone, to an end: fixed."
            : "Let the conclusion verify: at a step that looks and can say no.",
  },
  "evidence-sum": {
    title: "Shares that don't add up",
    message: (p) => `The shares for ${quoted(p("fault"))} add up to ${p("sum")}.`,
    mend: () => "Make them 1 in all, or leave one out for what is left.",
  },
  "no-evidence": {
    title: "A test that proves nothing",
    message: (p) => `Step ${quoted(p("step"))} has no evidence: its outcome says nothing about any fault.`,
    mend: () => "Say how likely each outcome is under each fault.",
  },
  "certain-evidence": {
    title: "Evidence without any doubt",
    message: (p) =>
      `Outcome ${quoted(p("outcome"))} under ${quoted(p("fault"))} has the probability ${either(p, "value", "share")}: a single slip can't be made good.`,
    mend: () => "Leave some doubt, as 0.01 or 0.99, unless it is truly certain.",
  },
  "missing-caution": {
    title: "A hazard without a caution",
    message: (p) =>
      p("what") === "equipment"
        ? `${p("equipment") === "" ? "The procedure's hazards name" : "The equipment brings the hazard"} ${quoted(p("hazard"))}, and ${workOf(p)} before any caution that covers it.`
        : `The hazard ${quoted(p("hazard"))} is met at ${hazardPlace(p)}, and no caution there covers it.`,
    mend: (p) => `Add a caution with covers: [${p("hazard")}].`,
  },
  "set-up-not-put-back": {
    title: "A set-up never put back",
    message: (p) =>
      reason(p) === "without"
        ? `Step ${quoted(p("step"))} must be without set-up ${quoted(p("setUp"))}, and nothing says how that one is undone: nobody is told to do it.`
        : `Nothing says how set-up ${quoted(p("setUp"))} is put back.`,
    mend: (p) =>
      reason(p) === "without"
        ? "Say in its put-back how it is undone, or leave it out of without."
        : "Add put-back, or put-back: none where there is nothing to put back.",
  },
  "set-up-conflict": {
    title: "Set-ups against each other",
    message: (p) =>
      reason(p) === "circle"
        ? `Set-up ${quoted(p("setUp"))} needs itself in the end.`
        : `Set-up ${quoted(p("setUp"))} is both needed and to be undone${conflictPlace(p)}.`,
    mend: (p) =>
      reason(p) === "circle" ? "Take one of the needs out." : "Take it out of needs or out of without.",
  },
  "set-up-made-again": {
    title: "A set-up made twice",
    message: (p) =>
      `On a way to step ${quoted(p("step"))}, set-up ${quoted(p("setUp"))} is made, undone and made again: ${p("minutes")} min more.`,
    mend: () => "Do what needs it before what must be without it.",
  },
  "hazard-not-referred": {
    title: "A hazard that must be referred",
    message: (p) =>
      `Step ${quoted(p("step"))} meets the hazard ${quoted(p("hazard"))}, but a way from it ends at ${quoted(p("end"))}.`,
    mend: () => "Lead every way from here to an end: referred, for people licensed to do this work.",
  },
  "not-acted-on": {
    title: "Read, but not acted on yet",
    message: (p) => `${quoted(either(p, "part", "name"))} is read, but changes nothing yet.`,
    mend: () => "Leave it if you like; don't count on it.",
  },
};

function unknownName(p: Params): string {
  const { what, name } = { what: p("what"), name: quoted(p("name")) };
  if (what === "reserved")
    return `${name} is a word with a meaning of its own and no name for an answer or band.`;
  if (what === "word") return `${name} is not one of the words for ${where(p)}.`;
  if (what === "sheet-limit")
    return `The procedure goes by the limit ${name} of this specification, and this sheet leaves it out: a run would take it for no limit at all.`;
  if (what !== "key") return `There is no ${PHRASES.thing(what)} ${name}.`;
  const owners = PHRASES.owners(p("belongs"));
  return owners === ""
    ? `${capital(where(p))} has no key ${name}.`
    : `${name} does not belong to ${where(p)}: it is a key of ${owners}.`;
}

function unknownNameMend(p: Params): string {
  const [what, nearest] = [p("what"), p("nearest")];
  if (what === "reserved") {
    if (p("name") === "reads") return "Choose another name: in evidence, reads: says what a fault reads.";
    return p("name") === "stop"
      ? "Take it out: every step can be stopped, and ends stopped."
      : `Write ${p("name")}: beside answers or bands, as a key of the step.`;
  }
  if (what === "sheet-limit")
    return `Add ${p("name")}: here, or take the whole specification out of the sheet.`;
  if (nearest !== "") return `Write ${nearest}.`;
  if (what === "word") return `Write one of ${p("allowed").split(" ").join(", ")}.`;
  if (what === "key")
    return p("belongs") === "" ? "Take it out." : "Move it to where it belongs, or take it out.";
  return `Name one that is there, or add the ${PHRASES.thing(what)}.`;
}

function endlessLoop(p: Params): string {
  if (reason(p) === "calls") return `Procedures call each other in a circle: ${p("name")}.`;
  if (p("to") === "") return `These steps can go round for ever: ${p("steps")}.`;
  return `Outcome ${quoted(p("outcome"))} of step ${quoted(p("step"))} leads back to ${quoted(p("to"))}, and nothing ends the going round.`;
}

/** A unit or a word as it was written, in quotes: a bare A reads as an article. */
function wordOr(word: string, otherwise: string): string {
  return word === "" ? otherwise : quoted(word);
}

function impossible(p: Params): string {
  switch (reason(p)) {
    case "empty":
      return ": its limits leave no reading";
    case "no-limit":
      return ": the specification has no limit on that side";
    case "condition":
      return ` with ${quoted(p("goto"))}: the condition never holds, or one before it always does`;
    case "value":
      return ": no reading gives a value in it";
    case "not-judged":
      return ": the step judges no reading, so none is too close to call";
    case "no-instrument":
      return ": the step does not say which instrument reads it, so no reading is too close to call";
    case "plausible":
      return ": the step asks again for every reading in it, since it is not plausible";
    default:
      return "";
  }
}

function between(p: Params): string {
  const [from, to] = [either(p, "from", "low"), either(p, "to", "high")];
  return from === "" || to === "" ? "" : ` (from ${from} to ${to})`;
}

function referenceMismatch(p: Params): string {
  if (reason(p) === "none") return "The reading is corrected for temperature, but nothing says to which.";
  return `The correction goes to ${either(p, "found", "to")}, but the specification holds at ${either(p, "expected", "at")}.`;
}

function hazardPlace(p: Params): string {
  const [what, step] = [p("what"), p("step")];
  if (p("where") !== "") return where(p);
  return what === "" || what === step ? `step ${quoted(step)}` : `${quoted(what)} for step ${quoted(step)}`;
}

/** The first work on a machine that nobody was warned of. */
function workOf(p: Params): string {
  const step = `step ${quoted(p("step"))}`;
  if (p("setUp") !== "") return `set-up ${quoted(p("setUp"))} is made for ${step}`;
  if (p("fact") !== "") return `fact ${quoted(p("fact"))} is measured for ${step}`;
  return `${step} lays hands on the machine`;
}

function conflictPlace(p: Params): string {
  if (p("where") !== "") return ` at ${where(p)}`;
  return p("by") === "" || p("by") === p("setUp") ? "" : `: set-up ${quoted(p("by"))} is against it`;
}

function times(count: string): string {
  return count === "1" ? "once" : count === "2" ? "twice" : `${count} times`;
}

function didYouMean(p: Params): string {
  return p("nearest") === "" ? "" : ` Did you mean ${quoted(p("nearest"))}?`;
}

function where(p: Params): string {
  return PHRASES.place(p("where"));
}

function alternatives(keys: string): string {
  const words = keys.split(" ");
  return words.length < 2 ? keys : `${words.slice(0, -1).join(", ")} or ${words.at(-1)}`;
}
