/** What the server answers when it refuses: `{ error: { code, message, … } }`, for every error. */
import { type Parse, parseNumber, parseText, shapeOf } from "./shape.ts";

/** Stable: programs read the code, people the message. */
const PROBLEM_CODES = [
  "not-found",
  "bad-request",
  "too-large",
  "foreign-host",
  "foreign-origin",
  "unknown-procedure",
  "unknown-run",
  "unknown-draft",
  "unknown-picture",
  "unsafe-id",
  "wrong-id",
  "not-procedure",
  "text-changed",
  "draft-conflict",
  "wrong-run",
  "broken-line",
  "broken-chain",
  "line-conflict",
  "line-gap",
  "data-damaged",
  "internal",
] as const;
type ProblemCode = (typeof PROBLEM_CODES)[number];

export interface Problem {
  readonly code: ProblemCode;
  readonly message: string;
  /** `line-gap`: the sequence number wanted next. */
  readonly next?: number;
  /** `line-conflict`, `broken-line`, `broken-chain`: the line meant. */
  readonly seq?: number;
  /** `draft-conflict`: the version that stays the draft. `text-changed`: the hash of the text in the file. */
  readonly current?: string;
  /** `draft-conflict`: the version that was kept beside it. */
  readonly kept?: string;
}

const parseCode: Parse<ProblemCode> = (value) => PROBLEM_CODES.find((code) => code === value);

const parseBody = shapeOf<{ error: Problem }, object>(
  {
    error: shapeOf<
      { code: ProblemCode; message: string },
      { next: number; seq: number; current: string; kept: string }
    >(
      { code: parseCode, message: parseText },
      { next: parseNumber, seq: parseNumber, current: parseText, kept: parseText },
    ),
  },
  {},
);

/** The problem in a refusal's body, or nothing when the body is something else. */
export function parseProblem(body: unknown): Problem | undefined {
  return parseBody(body)?.error;
}
