import type { Refusal } from "../../engine/machine/refusal.ts";
import { readingProblemSentence } from "../../engine/quantity/reading-problem.ts";

/** Why an event was not taken, as a sentence that says what to do. What was typed is still there. */
export function refusalText(refusal: Refusal): string {
  switch (refusal.code) {
    case "bad-reading":
      return readingProblemSentence(refusal.problem);
    case "bad-fact":
      return "That is none of the answers. Choose one, or say that it is not known.";
    case "bad-specification":
      return "One of the limits is no number, or they leave nothing between them. Type them as they stand in the maker's data.";
    case "source-needed":
      return "Say where these numbers come from.";
    case "bad-time":
      return "The clock or the wait shows no time that can be. Set it right, then try again.";
    case "endless":
      return `The answers lead round and round: ${refusal.events} events and no end. Bound the loop with at-most.`;
    case "not-to-choose":
      return `“${refusal.step}” can't be taken by choice here: the order is not free, it was answered before, something has to come first, or other things are apart. Change that row of choices.`;
    case "reason-needed":
      return "Say why in a few words.";
    case "unknown-answer":
      return "That is none of the answers here. Choose one of those shown.";
    case "nothing-to-amend":
      return "That answer no longer counts: the job took another way. Change a later one.";
    case "not-expected":
      return "The job has moved on. Answer what stands here now.";
  }
}
