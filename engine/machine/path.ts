import type { JudgedReading } from "../quantity/judge.ts";
import type { PathRow } from "./run.ts";

/** What a path's row says of a reading: as typed with its unit, corrected, verdict and conformance. */
export function pathReading(judged: JudgedReading, readingUnit: string): Partial<PathRow> {
  return {
    reading: judged.typed,
    ...(Number.isFinite(judged.value)
      ? { corrected: judged.value, unit: judged.unit }
      : { unit: readingUnit }),
    ...(judged.verdict === "none" ? {} : { verdict: judged.verdict }),
    conformance: judged.conformance,
  };
}
