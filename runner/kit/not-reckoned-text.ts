import type { Expectation } from "../../engine/reasoning/expected-run.ts";

/** Why the long run of a rehearsal was not reckoned exactly: the end of a sentence. */
export function notReckonedText(why: (Expectation & { readonly ok: false })["why"]): string {
  switch (why) {
    case "readings-decide":
      return "a condition hangs on a reading of which only its spread is known";
    case "too-many-states":
      return "there are too many ways";
    case "endless":
      return "nothing bounds a way round";
  }
}
