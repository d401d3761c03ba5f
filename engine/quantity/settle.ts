import { rangeBudget, rangeFor } from "./accuracy.ts";
import { formatQuantity } from "./format.ts";
import type { JudgedReading, JudgeInput, SettleAdvice } from "./judged-reading.ts";
import { convert, convertDifference, unitOf } from "./units.ts";
import { sharesOf } from "./verdict.ts";

/** Kelvins above the reference from which a part counts as hot: common practice. */
const HOT = 15;

/** What would help with a reading that is too close to call, the likeliest help first; never empty. */
export function settleAdvice(
  input: JudgeInput,
  judged: JudgedReading,
  temperature: number | undefined,
): readonly SettleAdvice[] {
  const advice: SettleAdvice[] = [];
  const range = finerRange(input, judged);
  if (range !== undefined) advice.push({ kind: "finer-range", range });
  if (unitOf(input.readingUnit)?.dimension === "resistance" && input.correct?.leads !== "ask")
    advice.push({ kind: "measure-leads" });
  const reference = input.correct?.to;
  const to = reference === undefined ? 20 : convert(reference.value, reference.unit, "degC");
  if (temperature !== undefined && to !== undefined && temperature > to + HOT)
    advice.push({ kind: "let-cool", to: to + HOT, corrected: true });
  const limitsAt = input.reference && convert(input.reference.value, input.reference.unit, "degC");
  if (limitsAt !== undefined && unitOf(input.readingUnit)?.dimension === "resistance")
    advice.push({ kind: "let-cool", to: limitsAt, corrected: false });
  advice.push({ kind: "read-again" });
  return advice;
}

/**
 * The lowest range that still shows the reading, when the digits typed are coarser than its own and its own
 * would decide the call, for a true value where the reading says. Undefined otherwise.
 */
function finerRange(input: JudgeInput, judged: JudgedReading): string | undefined {
  const { ranges, readingUnit, decideAt } = input;
  const { budget, u, read, lastDigit } = judged;
  if (ranges === undefined || budget === undefined || u === undefined || budget.u === 0) return undefined;
  const range = rangeFor(read, readingUnit, ranges);
  if (range?.upTo === undefined || range.resolution === undefined) return undefined;
  const resolution = convertDifference(range.resolution.value, range.resolution.unit, readingUnit);
  if (resolution === undefined || !(lastDigit > resolution * (1 + 1e-9))) return undefined;
  const finer = rangeBudget(read, readingUnit, resolution, range);
  const typed = rangeBudget(read, readingUnit, lastDigit, range);
  if (finer === undefined || typed === undefined || typed.u === 0) return undefined;
  const sensitivity = u / budget.u;
  const rest = Math.max(0, budget.u ** 2 - typed.u ** 2);
  const better = sensitivity * Math.sqrt(finer.u ** 2 + rest);
  const share = sharesOf(judged.value, better, judged.bands)[judged.picked] ?? 0;
  return share >= decideAt ? formatQuantity(range.upTo.value, range.upTo.unit) : undefined;
}
