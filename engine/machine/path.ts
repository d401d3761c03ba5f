import type { JudgedReading } from "../quantity/judged-reading.ts";
import type { PathRow } from "./run.ts";

/** What a path's row says of a reading: as typed with its unit, corrected, verdict and conformance. */
export function pathReading(judged: JudgedReading): Partial<PathRow> {
  return {
    reading: withUnit(judged.typed.trim(), judged.readingUnit),
    ...(Number.isFinite(judged.value) ? { corrected: judged.value } : {}),
    unit: judged.unit,
    ...(judged.verdict === "none" ? {} : { verdict: judged.verdict }),
    conformance: judged.conformance,
  };
}

/** Digits, and at most a bare prefix as in `0.4k` or `4k7`. */
const WITHOUT_UNIT = /^[-+−]?[\d.,\s]+(?:[kKMmuµRr]\d*)?$/;

/** Each of several readings gets its unit: what is shown can be typed again and means the same. */
function withUnit(typed: string, unit: string): string {
  const readings = typed.split(";").map((one) => one.trim());
  const told = readings.filter((one) => one !== "");
  return told.map((one) => (WITHOUT_UNIT.test(one) && unit !== "1" ? `${one} ${unit}` : one)).join("; ");
}
