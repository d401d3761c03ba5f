/** English for the parts of the format: places, things, shapes, and what YAML does to people. */
import { partWords } from "./wording-en-parts.ts";
import { capital } from "./wording-en-words.ts";
import type { Params } from "./wording-type.ts";

/** One of a section: what people call it. */
const SINGULAR: Readonly<Record<string, string>> = {
  steps: "step",
  faults: "fault",
  repairs: "repair",
  cautions: "caution",
  "set-ups": "set-up",
  facts: "fact",
  instruments: "instrument",
  specifications: "specification",
  answers: "answer",
  bands: "band",
  outcomes: "outcome",
  returns: "return",
  evidence: "evidence for",
};

/** Kinds of the schema: what people call them. */
const KINDS: Readonly<Record<string, string>> = {
  top: "the top of the file",
  ask: "an ask step",
  measure: "a measure step",
  do: "a do step",
  call: "a call step",
  conclude: "a conclude step",
  end: "an end step",
  setUp: "a set-up",
  branch: "a branch",
  answer: "an answer",
  band: "a band",
  row: "a row of evidence",
  arms: "an arm of then",
  correct: "correct",
  accuracy: "an accuracy",
  accuracyList: "an accuracy",
  act: "an act of a repair",
  part: "a part",
  limit: "a limit",
  torque: "a torque",
  picture: "a picture",
  fact: "a fact",
  fault: "a fault",
  repair: "a repair",
  caution: "a caution",
  instrument: "an instrument",
  specification: "a specification",
  visit: "an answer",
  entry: "an answer",
};

/** What a place should hold: `expected` of a `wrong-shape`. */
const EXPECTED: Readonly<Record<string, string>> = {
  id: "a name of letters, digits and hyphens",
  stepName: "the name of a step",
  text: "a text",
  quantity: "a number with its unit, as 12 V",
  limit: "a number with its unit, another limit, or a table",
  torque: "a torque, as 9 N.m, or from and to",
  expression: "a condition in quotes",
  share: "a probability from 0 to 1",
  branch: "{ goto: step }",
  answer: "{ goto: step }",
  band: "limits and goto, as { under: 1 V, goto: step }",
  arms: 'a list of { if: "…", goto: step }',
  row: "shares by outcome, as { dead: 0.98 }",
  hazards: "a list of hazards",
  step: "a step: ask, measure, do, call, conclude or end",
  accuracy: "{ reading: 0.5 %, counts: 3, resolution: 0.01 V }",
  accuracyList: "{ reading: 0.5 %, counts: 3, resolution: 0.01 V }",
  instrument: "{ title: …, accuracy: { voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V } } }",
  specification: "limits, as { from: 11 V, to: 15 V }",
  caution: "{ signal: warning, hazard: …, avoid: … }",
  setUp: "{ do: …, minutes: 2 }",
  fact: "{ ask: …, choices: { … } }, or { measure: …, unit: … }",
  fault: "{ title: …, prior: 3 }",
  repair: "{ minutes: 20, do: [{ say: … }] }",
  act: "{ say: … }",
  part: "{ part: … }",
  picture: "{ file: …, alt: … }",
  correct: "leads, or temperature and to",
  given: "a choice, a number with its unit, or a list",
  measureKind: "what is measured, as voltage",
  outcome: "the name of an outcome",
  reference: "a name",
  "put-back": "none, or do and minutes",
  string: "a text",
  number: "a number",
  integer: "a whole number",
  boolean: "true or false",
  object: "keys and values",
  array: "a list",
  "string array": "a name or a list of names",
  entry: "an answer, a reading, or a list of them",
  visit: "an answer or a reading",
};

const FOUND: Readonly<Record<string, string>> = {
  nothing: "nothing is written",
  list: "a list is written",
  map: "keys and values are written",
  "no-items": "the list is empty",
  "no-keys": "there is nothing in it",
};

export const PHRASES = {
  /** `steps.hot.answers.yes` → answer "yes" of step "hot". */
  place(where: string): string {
    if (where === "") return "the top of the file";
    const parts = where.split(".");
    const words: string[] = [];
    for (let index = 0; index < parts.length; index += 1) {
      const part = parts[index] ?? "";
      const next = parts[index + 1];
      const singular = word(SINGULAR, part);
      if (next !== undefined && /^\d+$/.test(next)) {
        words.unshift(`${part === "do" ? "act" : part} ${Number(next) + 1}`);
        index += 1;
      } else if (next !== undefined && singular !== undefined) {
        words.unshift(`${singular} "${next}"`);
        index += 1;
      } else words.unshift(part);
    }
    return words.join(" of ");
  },

  /** What an `unknown-name` is the name of. */
  thing: (what: string): string => what || "name",

  /** `ask measure` → an ask step or a measure step. */
  owners(belongs: string): string {
    const owners = [
      ...new Set(
        belongs
          .split(" ")
          .filter(Boolean)
          .map((kind) => word(KINDS, kind) ?? kind),
      ),
    ];
    if (owners.length > 3) return "other parts of the format";
    return owners.join(" or ");
  },

  refusal(p: Params): string {
    const thing = documentWord(p("kind"));
    switch (p("why")) {
      case "too-large":
        return `The file is too large: ${p("size")} MB, where ${p("limit")} MB is the most.`;
      case "binary":
        return "The file is no text: it holds bytes that no text has.";
      case "utf-16":
        return "The file is saved as UTF-16.";
      case "not-utf-8":
        return "The file is no text in UTF-8.";
      case "empty":
        return "The file is empty.";
      case "too-deep":
        return "Brackets or indents are nested too deep.";
      case "too-many-parts":
        return "The text has more words and marks than any procedure needs.";
      case "too-many-mistakes":
        return `The text has too many mistakes to be ${thing}.`;
      case "two-documents":
        return "A second document begins here (---).";
      case "too-many-aliases":
        return "The aliases (*name) stand for far more text than is written.";
      case "alias-circle":
        return "An alias (*name) stands for something that it is part of.";
      case "too-many-steps":
        return `There are ${p("count")} steps, where ${p("limit")} is the most.`;
      case "tag":
        return `The tag ${p("text")} asks for an object to be built.`;
      default:
        return `This is not ${thing}: it has no keys and values.`;
    }
  },

  refusalMend(p: Params): string {
    switch (p("why")) {
      case "too-large":
      case "too-many-parts":
      case "too-many-steps":
        return "Split it: a procedure can call another.";
      case "binary":
      case "utf-16":
      case "not-utf-8":
        return "Save it as plain text in UTF-8.";
      case "two-documents":
        return "Write one document a file.";
      case "too-many-aliases":
      case "alias-circle":
        return "Write it out instead.";
      case "tag":
        return "Take the tag out: only plain texts, numbers, lists and keys are read.";
      case "too-deep":
        return "Close what is open, or write it flatter.";
      default:
        return p("kind") === "procedure" || p("kind") === ""
          ? "Begin with procedure: and its name."
          : `Begin as ${documentWord(p("kind"))} does.`;
    }
  },

  /** Why a text is no quantity. */
  quantity(p: Params): string {
    switch (p("why") || p("reason")) {
      case "empty":
        return "nothing is written";
      case "no-unit":
        return "its unit is missing";
      case "decimal-comma":
        return "the decimal sign is a point";
      case "unknown-unit":
        return `the unit "${p("unit") || p("text")}" is not known`;
      case "no-spread":
        return "it needs a ±, as 0.6 Ohm ± 0.1 Ohm";
      case "spread-unit":
        return "value and ± are not of one kind";
      case "negative-spread":
        return "what follows ± must be above zero";
      case "too-long":
        return "it is too long";
      case "not-finite":
        return "the number is too large";
      case "too-cold":
        return "it is colder than absolute zero";
      default:
        // What is wanted instead, in words.
        return p("why").startsWith("a ") ? `${p("why")} is wanted here` : "it has no number in front";
    }
  },
};

export const SHAPE_WORDS = {
  message(p: Params): string {
    const place = p("where") === "" ? "This" : capital(PHRASES.place(p("where")));
    const why = p("why") || p("reason");
    if (why !== "") return shapeReason(p, why);
    switch (p("expected")) {
      case "one-kind":
        return `${place} is more than one kind of step: ${p("found").split(" ").join(" and ")}.`;
      case "either":
        return `${place} has both ${p("found").split(" ").join(" and ")}; only one of them can hold.`;
      case "minimum":
      case "exclusiveMinimum":
        return `${place} is ${p("text")}; it must be ${p("expected") === "minimum" ? "at least" : "above"} ${p("limit")}.`;
      case "maximum":
      case "exclusiveMaximum":
        return `${place} is ${p("text")}; it must be ${p("expected") === "maximum" ? "at most" : "below"} ${p("limit")}.`;
      case "minItems":
      case "minProperties":
        return `At least ${p("limit")} ${p("limit") === "1" ? "entry is" : "entries are"} needed: ${PHRASES.place(p("where"))}.`;
      case "maxItems":
        return `${place} has more than ${p("limit")} entries.`;
      default: {
        const found = word(FOUND, p("found")) ?? `${p("text") || p("found")} is written`;
        return `${place} should be ${expectedWords(p)}, but ${found}.`;
      }
    }
  },

  mend(p: Params): string {
    const why = p("why") || p("reason");
    if (why !== "") return SHAPE_MENDS[why] ?? "Mend it.";
    const expected = p("expected");
    if (expected === "one-kind") return "Make one step of each, or take one out.";
    if (expected.startsWith("min") && expected !== "minimum") return "Add what is missing.";
    if (expected === "either") return "Take one of them out.";
    if (TEXTS.has(expected) && (p("found") === "number" || p("found") === "boolean"))
      return `Put it in quotes: "${p("text")}".`;
    if (TEXTS.has(expected) && p("found") === "map") return "Put the whole text in quotes.";
    if (word(EXPECTED, expected) !== undefined) return `Write ${expectedWords(p)}.`;
    return "Mend the number, or take it out.";
  },
};

const TEXTS = new Set(["text", "id", "expression", "string", "stepName"]);

function shapeReason(p: Params, why: string): string {
  switch (why) {
    case "arm-without-if":
      return "Only the last arm of then may be without a condition.";
    case "last-arm-if":
      return "The last arm of then has a condition, so there may be nowhere to go.";
    case "file-name":
      return `The file is called ${p("file")}, but "${p("name")}" is written in it.`;
    case "too-many-calls":
      return `Procedures call each other more than ${p("most")} times.`;
    case "reads-otherwise":
      return "otherwise can't have reads: every fault has a reading of its own.";
    case "table-not-rising":
      return `The table over ${p("name")} does not rise from row to row.`;
    case "no-full-scale":
      return "A share of the full scale is written, but not what the full scale is.";
    case "specification-circle":
      return p("name") === p("other")
        ? `Specification "${p("name")}" cites itself.`
        : `Specification "${p("name")}" and "${p("other")}" cite each other.`;
    case "names-meet":
      return `"${p("name")}" and "${p("other")}" are the same name in a condition, where hyphens are underscores.`;
    case "after-itself":
      return `Step "${p("name")}" is to come after itself.`;
    case "comes-before":
      return `Step "${p("name")}" is to come after "${p("other")}", but on a way it comes before it.`;
    case "after-not-looked":
      return `Step "${p("name")}" is to come after "${p("other")}": there is too much to look at to show that it does.`;
    case "priors-zero":
      return "Every fault has the prior 0, so no answer can make one likelier than another.";
    case "priors-too-large":
      return "The priors add up to more than can be reckoned with.";
    case "reserved-name":
      return `"${p("name")}" is a word with a meaning of its own.`;
    default:
      return "This is not written as it should be.";
  }
}

const SHAPE_MENDS: Readonly<Record<string, string>> = {
  "arm-without-if": "Give it an if:, or move it to the end.",
  "last-arm-if": "Add a last arm without if:.",
  "file-name": "Give both the same name.",
  "too-many-calls": "Call fewer.",
  "reads-otherwise": "Write shares by outcome there.",
  "table-not-rising": "Put the rows in rising order.",
  "no-full-scale": "Add up-to: with the highest reading of this range.",
  "specification-circle": "Give one of them a number.",
  "names-meet": "Rename one of them.",
  "comes-before": "Lead every way by that step first, or take it out of after.",
  "after-not-looked": "Part the procedure into called ones.",
  "after-itself": "Name the steps that have to come before it, or take it out.",
  "priors-zero":
    "Give each fault that can be there a prior above 0: how often it is found against the others.",
  "priors-too-large": "Write smaller numbers: only what they are to each other counts.",
  "reserved-name": "Choose another name.",
};

function expectedWords(p: Params): string {
  const expected = p("expected");
  return partWords(p("where"), expected, p("text")) ?? word(EXPECTED, expected) ?? expected;
}

function documentWord(kind: string): string {
  if (kind === "equipment") return "an equipment sheet";
  return kind === "answers" ? "an answers file" : "a procedure";
}

function word(table: Readonly<Record<string, string>>, name: string): string | undefined {
  return Object.hasOwn(table, name) ? table[name] : undefined;
}
