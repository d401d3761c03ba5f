import type { JudgedReading } from "../../engine/quantity/judge.ts";
import { convertDifference } from "../../engine/quantity/units.ts";

/** The last digit to show of a judged value: the one typed; after a change of unit the first digit in doubt. */
export function shownDigit(judged: JudgedReading): { readonly lastDigit?: number } {
  if (judged.unit === judged.readingUnit && judged.lastDigit > 0) return { lastDigit: judged.lastDigit };
  if (judged.u === undefined || judged.u <= 0) {
    const lastDigit = convertDifference(judged.lastDigit, judged.readingUnit, judged.unit) ?? 0;
    return lastDigit > 0 ? { lastDigit } : {};
  }
  return { lastDigit: 10 ** Math.floor(Math.log10(judged.u)) };
}
