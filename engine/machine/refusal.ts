import type { ReadingProblem } from "../quantity/reading-problem.ts";

/** Why an event was not accepted. Nothing changed; what was typed is still the technician's. */
export type Refusal =
  /** The run asks for something else now. */
  | { readonly code: "not-expected"; readonly expected: string; readonly got: string }
  | { readonly code: "unknown-answer"; readonly answer: string; readonly choices: readonly string[] }
  | { readonly code: "bad-reading"; readonly problem: ReadingProblem }
  | { readonly code: "bad-fact"; readonly fact: string }
  /** A limit that is no number, or the upper one where it lies below the lower. */
  | { readonly code: "bad-specification"; readonly specification: string; readonly limit: string }
  | { readonly code: "source-needed"; readonly specification: string }
  /** A time that no clock shows, or a wait that no one waits. */
  | { readonly code: "bad-time" }
  /** Answers written beforehand lead round and round; `events` were taken. */
  | { readonly code: "endless"; readonly events: number }
  /** A choice written beforehand of a step that can't be taken then. */
  | { readonly code: "not-to-choose"; readonly step: string }
  | { readonly code: "reason-needed" }
  | { readonly code: "nothing-to-amend"; readonly seq: number };
