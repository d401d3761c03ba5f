/** English for conclusions that the answers on some way do not prove. */
import { quoted, reason } from "./wording-en-words.ts";
import type { Params, Wording } from "./wording-type.ts";

export const CONCLUSION_WORDS = {
  message: unsupported,
  mend: unsupportedMend,
} as const satisfies Omit<Wording, "title">;

function unsupported(p: Params): string {
  const fault = quoted(p("fault"));
  if (reason(p) === "not-proven")
    return `Too many ways lead to fault ${fault} to look at each: that there is ${percent(p("needed"))} proof on all of them is not shown.`;
  if (reason(p) === "limits-open")
    return `A reading before fault ${fault} is held against limits that only a run knows: that there is ${percent(p("needed"))} proof is not shown.`;
  if (reason(p) === "all-struck")
    return `On some way to fault ${fault} a repair did not help, and no fault explains all answers any more: that there is ${percent(p("needed"))} proof is not shown.`;
  if (reason(p) === "no-reading")
    return `On one way to fault ${fault} there is less than ${percent(p("needed"))} proof, but no readings were found with which a run takes it.`;
  if (reason(p) === "struck")
    return `Fault ${fault} is concluded once more on a way on which its repair did not help: nothing speaks for it any more.`;
  const after = reason(p) === "after-conclusion" ? ", once a repair before it did not help" : "";
  const rival = p("rival") === "" ? "" : ` Fault ${quoted(p("rival"))} is still in the way.`;
  return `Fault ${fault} is concluded with ${percent(p("probability"))} proof${after}; ${percent(p("needed"))} is needed.${rival}`;
}

function unsupportedMend(p: Params): string {
  switch (reason(p)) {
    case "limits-open":
      return "Write a row of shares in the place of reads, or limits that are the same in every run.";
    case "all-struck":
      return "Leave some doubt in the evidence before it, as 0.01 or 0.99, or lead a failed repair elsewhere.";
    case "struck":
      return "Lead the failed repair past what concludes it again, or write at-most: 1 and an else at the branch that does.";
    case "not-proven":
      return "Part the procedure into called ones, or lead fewer ways together.";
    default:
      return "Add a test on this way that tells them apart, or state what the tests before it prove.";
  }
}

/** A probability in percent, rounded down so that what falls short never reads as enough. */
function percent(probability: string): string {
  const tenths = Math.floor(Number(probability) * 1000 + 1e-9);
  return tenths < 1 ? "under 0.1 %" : `${tenths / 10} %`;
}
