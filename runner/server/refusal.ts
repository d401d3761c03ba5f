/** What a route refuses, as a value; the server turns it into the answer. */
import type { Problem } from "../wire/problem.ts";

export interface Refusal {
  readonly refused: true;
  /** HTTP status. */
  readonly status: number;
  readonly problem: Problem;
}

export function refuse(status: number, problem: Problem): Refusal {
  return { refused: true, status, problem };
}

export function isRefusal(value: unknown): value is Refusal {
  return typeof value === "object" && value !== null && "refused" in value && value.refused === true;
}
