/** Runs and their records as they cross the network. */
import { listOf, type Parse, parseNumber, parseText, shapeOf } from "./shape.ts";

/** Body of `POST /api/runs/:run/lines`: lines of the record, in order, as text. */
export interface LinesBody {
  readonly lines: readonly string[];
}

/** Answer to `POST /api/runs/:run/lines`. */
export interface Accepted {
  /** The highest sequence number stored: nothing up to it can be lost any more. */
  readonly accepted: number;
}

/** One of `GET /api/runs`, the latest first. */
export interface RunEntry {
  readonly run: string;
  readonly lines: number;
  /** ISO 8601, UTC. */
  readonly opened: string;
  readonly latest: string;
  readonly procedure?: string;
  readonly revision?: number;
  readonly equipment?: string;
  readonly technician?: string;
  readonly unit?: string;
  /** The end's word; absent while the run is open. */
  readonly end?: string;
}

/** `GET /api/runs/:run`. */
export interface RunLines {
  readonly lines: readonly string[];
}

export const parseAccepted: Parse<Accepted> = shapeOf<{ accepted: number }, object>(
  { accepted: parseNumber },
  {},
);

export const parseRunLines: Parse<RunLines> = shapeOf<{ lines: readonly string[] }, object>(
  { lines: listOf(parseText) },
  {},
);

export const parseRunList: Parse<readonly RunEntry[]> = listOf(
  shapeOf<
    { run: string; lines: number; opened: string; latest: string },
    {
      procedure: string;
      revision: number;
      equipment: string;
      technician: string;
      unit: string;
      end: string;
    }
  >(
    { run: parseText, lines: parseNumber, opened: parseText, latest: parseText },
    {
      procedure: parseText,
      revision: parseNumber,
      equipment: parseText,
      technician: parseText,
      unit: parseText,
      end: parseText,
    },
  ),
);
