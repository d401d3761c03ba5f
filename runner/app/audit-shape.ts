import { END_WORDS, type EndWord } from "../../engine/procedure/model.ts";
import { listOf, type Parse, parseNumber, parseText, shapeOf } from "../wire/shape.ts";

/** What the page reads of `GET /api/audit`; the server sends more. */
export interface ShownBranch {
  readonly step: string;
  readonly outcome: string;
  readonly count: number;
  /** `implied`: not written by the author; `gone`: no longer in the procedure. */
  readonly origin: string;
  /** Of the times that this step gave an outcome. */
  readonly share?: number;
  readonly interval?: { readonly low: number; readonly high: number };
  /** Seconds. */
  readonly median?: number;
}

export interface ShownAudit {
  readonly runs: number;
  readonly ended: number;
  readonly ends: readonly { readonly end: EndWord; readonly count: number }[];
  readonly medianMinutes?: number;
  readonly branches: readonly ShownBranch[];
}

const parseEnd: Parse<EndWord> = (value) => END_WORDS.find((word) => word === value);

export const parseAudit: Parse<ShownAudit> = shapeOf<
  {
    runs: number;
    ended: number;
    ends: readonly { end: EndWord; count: number }[];
    branches: readonly ShownBranch[];
  },
  { medianMinutes: number }
>(
  {
    runs: parseNumber,
    ended: parseNumber,
    ends: listOf(shapeOf<{ end: EndWord; count: number }, object>({ end: parseEnd, count: parseNumber }, {})),
    branches: listOf(
      shapeOf<
        { step: string; outcome: string; count: number; origin: string },
        { share: number; interval: { low: number; high: number }; median: number }
      >(
        { step: parseText, outcome: parseText, count: parseNumber, origin: parseText },
        {
          share: parseNumber,
          interval: shapeOf<{ low: number; high: number }, object>(
            { low: parseNumber, high: parseNumber },
            {},
          ),
          median: parseNumber,
        },
      ),
    ),
  },
  { medianMinutes: parseNumber },
);
