import type { Refusal } from "../../engine/machine/refusal.ts";
import { readingProblemSentence } from "../../engine/quantity/reading-problem.ts";

/** Returns why what was done was not taken, as a sentence. */
export function refusalWords(refusal: Refusal): string {
  switch (refusal.code) {
    case "bad-reading":
      return readingProblemSentence(refusal.problem);
    case "bad-fact":
      return "That is none of the choices and no number.";
    case "bad-specification":
      return `The limit “${refusal.limit}” is not a number with a unit, or leaves nothing within.`;
    case "source-needed":
      return "Say where these numbers come from.";
    case "bad-time":
      return "That is no time that can be.";
    case "endless":
      return `The run goes round and round: ${refusal.events} events and no end.`;
    case "reason-needed":
      return "Say in a word or two why not.";
    case "unknown-answer":
      return "That answer is not one of this step's.";
    case "not-expected":
    case "nothing-to-amend":
      return "The run asks for something else now.";
  }
}
