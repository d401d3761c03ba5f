import { readingProblemSentence } from "../quantity/reading-problem.ts";
import type { Refusal } from "./refusal.ts";

/** One sentence that says why an event was not taken and what to do. */
export function refusalSentence(refusal: Refusal): string {
  switch (refusal.code) {
    case "bad-reading":
      return readingProblemSentence(refusal.problem);
    case "unknown-answer":
      return `“${refusal.answer}” is none of the answers: ${refusal.choices.join(", ")}.`;
    case "bad-fact":
      return `That is no value for “${refusal.fact}”: choose one of its answers, or say that it is not known.`;
    case "bad-specification":
      return `“${refusal.limit}” of “${refusal.specification}” needs a number, with its unit where it differs.`;
    case "reason-needed":
      return "Say in a word or two why; the next person will want to know.";
    case "nothing-to-amend":
      return "That answer can't be changed any more.";
    case "not-expected":
      return `The run asks for something else now: ${refusal.expected}.`;
  }
}
