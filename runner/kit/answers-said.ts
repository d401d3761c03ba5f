import type { Run } from "../../engine/machine/run.ts";
import type { FaultId, Procedure } from "../../engine/procedure/model.ts";
import { contributions } from "../../engine/reasoning/contributions.ts";
import { outcomeText, readingText } from "./trail-items.ts";

/** What one earlier answer says of a fault, in words and as a signed share. */
export interface AnswerSaid {
  readonly step: string;
  readonly title: string;
  /** The answer as it was given: the reading, the band's or answer's words. */
  readonly answer: string;
  /** From -1, rules it out, to 1, proves it; a hundred to one is as long as a bar gets. */
  readonly strength: number;
  readonly text: string;
}

const LONGEST = Math.log(100);

/** The earlier answers that say something, each with what it says of one fault, first to last. */
export function answersSaid(procedure: Procedure, run: Run, fault: FaultId): readonly AnswerSaid[] {
  return contributions(procedure, run, fault).map(({ step, outcome, logRatio, leftOut }) => {
    const row = run.path.findLast((one) => one.step === step);
    const asked = procedure.steps.get(step);
    const reading = row?.reading === undefined ? "" : readingText(row, asked);
    const words = outcomeText(procedure, row ?? { step, outcome, seq: 0 }, asked);
    return {
      step,
      title: asked?.title ?? step,
      answer: [reading, words].filter((part) => part !== "").join(", "),
      strength: Math.max(-1, Math.min(1, logRatio / LONGEST)),
      text: leftOut ? "left out: it does not fit the answers before it" : saidText(logRatio),
    };
  });
}

/** Steps of the likelihood ratio by Kass and Raftery, Bayes Factors, JASA 90 (1995): 3, 20, 150 (memory). */
const STRENGTHS: readonly (readonly [number, string])[] = [
  [150, "very strongly "],
  [20, "strongly "],
  [3, ""],
  [1.1, "a little "],
];

/** A likelihood ratio in words: "strongly for it", "a little against it". */
export function saidText(logRatio: number): string {
  if (logRatio === Number.POSITIVE_INFINITY) return "proves it";
  if (logRatio === Number.NEGATIVE_INFINITY) return "rules it out";
  const size = Math.abs(logRatio);
  const strength = STRENGTHS.find(([ratio]) => size >= Math.log(ratio));
  if (strength === undefined) return "says nothing of it";
  return `${strength[1]}${logRatio > 0 ? "for it" : "against it"}`;
}
