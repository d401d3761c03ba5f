/** English for conditions and values that can't be read, or that some run can't work out. */
import { quoted, reason } from "./wording-en-words.ts";
import type { Params, Wording } from "./wording-type.ts";

export const EXPRESSION_WORDS = {
  message: badExpression,
  mend: badExpressionMend,
} as const satisfies Omit<Wording, "title">;

function badExpression(p: Params): string {
  const text = quoted(shortened(p("text"))) || "The condition";
  switch (reason(p)) {
    case "no-reading":
      return `${text} speaks of this reading, but no reading is taken here.`;
    case "unused-reading":
      return `${text} says nothing of the reading taken here: whatever the meter shows, it is not judged.`;
    case "not-bool":
      return `${text} gives no yes or no.`;
    case "not-number":
      return `${text} gives no number.`;
    case "hyphen":
      return `In ${text} the hyphen of ${quoted(p("detail"))} reads as a minus.`;
    case "no-entry":
      return `${text} can't be worked out where the list has no such entry: the step would then count as one that could not be done.`;
    case "by-nothing":
      return `${text} can't be worked out where it divides by 0: the step would then count as one that could not be done.`;
    case "over-range":
      return `${text} can't be worked out where a reading is over range: the step would then count as one that could not be done.`;
    case "with-choice":
      return `${text} can't be worked out with every choice: the step would then count as one that could not be done.`;
    case "always-fails":
      return `${text} can never be worked out: the step would always count as one that could not be done.`;
    case "whole-number":
      return `${text} puts a whole number beside a reading, which has decimals.`;
    default:
      return slipped(p, text);
  }
}

function slipped(p: Params, text: string): string {
  switch (p("slip")) {
    case "too-long":
      return `${text} is too long, or nested too deep, to be read.`;
    case "cut-short":
      return `${text} can't be read: something is missing at its end.`;
    case "print-quotes":
      return `${text} can't be read: the quotes in it are those of print.`;
    case "one-equals":
      return `${text} can't be read: one = compares nothing.`;
    case "words":
      return `${text} can't be read: and, or, not are no words of it.`;
    case "apart":
      return `${text} can't be reckoned: ${p("operator")} does not join ${typeWords(p("one"))} and ${typeWords(p("other"))}.`;
    default:
      return `${text} can't be read${p("detail") === "" ? "" : `: ${p("detail").replace(/\.$/, "")}`}.`;
  }
}

function badExpressionMend(p: Params): string {
  switch (reason(p)) {
    case "unused-reading":
      return "Write reading where the reading of this step is meant, as readings.supply - reading.";
    case "no-entry":
      return "Ask for the entry first, as size(facts.codes) > 0 && …, or use exists or in.";
    case "by-nothing":
      return "Ask first whether what it divides by is 0, as readings.amps != 0.0 && …, or in an arm before it.";
    case "over-range":
      return "Ask first whether the reading is a number, as abs(readings.volts) < 1000.0 && …, or in an arm before it.";
    case "with-choice":
      return "Compare the choices as texts, or ask for a number: measure: and unit:.";
    default:
      if (p("slip") !== "") return slipMend(p);
      return p("write") === "" ? "Mend the condition; it is CEL, in quotes." : `Write ${p("write")}.`;
  }
}

function slipMend(p: Params): string {
  switch (p("slip")) {
    case "too-long":
      return "Split it: write several arms, each with an if of its own.";
    case "cut-short":
      return "Write what is missing: a value, a bracket or a quote.";
    case "print-quotes":
      return "Type straight quotes, as in facts.battery == 'agm'.";
    case "one-equals":
      return "Write == where two are compared.";
    case "words":
      return "Write && for and, || for or, ! for not.";
    default:
      return "Compare a text with a text in quotes, and a number with a number.";
  }
}

function typeWords(type: string): string {
  if (type.startsWith("list<")) return "a list";
  return TYPE_WORDS.get(type) ?? "a value";
}

const TYPE_WORDS: ReadonlyMap<string, string> = new Map([
  ["string", "a text"],
  ["int", "a whole number"],
  ["double", "a number with decimals"],
  ["bool", "a yes or no"],
]);

/** What is longer than a line says no more in full. */
function shortened(text: string): string {
  return text.length > 120 ? `${text.slice(0, 120)}…` : text;
}
