import { formatQuantity, type UnitSystem } from "../../engine/quantity/format.ts";
import type { JudgedReading, SettleAdvice } from "../../engine/quantity/judge.ts";
import type { AppliedCorrection } from "../../engine/quantity/judged-reading.ts";
import { shownDigit } from "./shown-digit.ts";
import type { VerdictZone } from "./verdict-zones.ts";

/** The word of a verdict: what it is, in three words at most. */
export function verdictWord(judged: JudgedReading, zones: readonly VerdictZone[]): string {
  switch (judged.verdict) {
    case "too-close":
      return "Too close to call";
    case "within":
      return "Within limits";
    case "below":
      return "Below the limit";
    case "above":
      return "Above the limit";
    case "none": {
      const zone = zones.find((one) => one.outcome === judged.picked);
      return zone === undefined ? "Reading taken" : upperFirst(zone.label);
    }
  }
}

/** What would settle a close call, as a sentence. */
export function settleText(advice: SettleAdvice, system?: UnitSystem): string {
  switch (advice.kind) {
    case "measure-leads":
      return "Hold the two leads together and enter what they read. That takes the guess out of the lead resistance.";
    case "finer-range":
      return `Set the meter to its ${advice.range} range and read again.`;
    case "let-cool":
      return advice.corrected
        ? `Let the part cool to about ${degrees(advice.to, system)}, enter its temperature and measure again.`
        : `The limits hold at ${degrees(advice.to, system)}. Let the part come to about that and measure again.`;
    case "read-again":
      return "Press the tips hard on clean metal and read again. If the figure wanders, type a few readings: their mean counts.";
  }
}

/** How sure a verdict is, in words: a probability alone says little under a vehicle. */
export function conformanceText(conformance: number): string {
  const percent = conformance * 100;
  if (percent > 99) return "more than 99 % sure";
  if (percent < 1) return "less than 1 % sure";
  return `${Math.round(percent)} % sure`;
}

/** Whole degrees of a temperature in degC. */
function degrees(celsius: number, system: UnitSystem | undefined): string {
  return formatQuantity(celsius, "degC", { ...(system ? { system } : {}), lastDigit: 0.5 });
}

/** The values at which a close call would be clear, as a sentence; empty where no value would be. */
export function clearText(judged: JudgedReading, system?: UnitSystem): string {
  const { atMost, atLeast } = judged.clear ?? {};
  const { lastDigit } = shownDigit(judged);
  // Rounded away from the limit, so that what is said is clear as well.
  const shown = (value: number, round: (value: number) => number) =>
    formatQuantity(lastDigit === undefined ? value : round(value / lastDigit) * lastDigit, judged.unit, {
      ...(system ? { system } : {}),
      ...(lastDigit === undefined ? {} : { lastDigit }),
    });
  const ends = [
    ...(atMost === undefined ? [] : [`${shown(atMost, Math.floor)} or below`]),
    ...(atLeast === undefined ? [] : [`${shown(atLeast, Math.ceil)} or above`]),
  ];
  return ends.length === 0 ? "" : `It would be clear at ${ends.join(", or at ")}.`;
}

const COUNTS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/** `Mean of three readings: ` where several were typed, else nothing. */
export function meanText({ count }: JudgedReading): string {
  return count === undefined ? "" : `Mean of ${COUNTS[count] ?? count} readings: `;
}

/** What a correction rests on: `0.3 Ω, as stated`, `copper, 80 °C to 20 °C`. */
export function correctionText(correction: AppliedCorrection, unit: string, system?: UnitSystem): string {
  if (correction.kind === "leads")
    return `${formatQuantity(-correction.amount, unit)}, as ${correction.from}`;
  return `${correction.metal}, ${degrees(correction.at, system)} to ${degrees(correction.to, system)}`;
}

/** Where the doubt of a reading comes from, a line each, and all of it together; empty for over range. */
export function budgetLines(judged: JudgedReading): readonly string[] {
  const { budget, u } = judged;
  if (!Number.isFinite(judged.read)) return [];
  if (budget === undefined || u === undefined)
    return ["Nothing is known of the meter's accuracy, so nothing is said of how sure this is."];
  const width = (size: number, unit: string) => `±\u00a0${formatQuantity(Number(size.toPrecision(2)), unit)}`;
  const lines = budget.lines.map((line) => {
    // Half-widths as instruments state them; the scatter of several readings twice its size.
    const size = line.u * (line.part === "scatter" ? 2 : Math.sqrt(3));
    return `${partText(line.part, line.stated)}: ${width(size, budget.unit)}`;
  });
  return [...lines, `All together, 19 times out of 20: ${width(2 * u, judged.unit)}`];
}

type BudgetPart = NonNullable<JudgedReading["budget"]>["lines"][number]["part"];

function partText(part: BudgetPart, stated: number | undefined): string {
  const percent = stated === undefined ? "" : `${Number((stated * 100).toPrecision(6))}\u00a0% of `;
  switch (part) {
    case "reading":
      return `The meter, ${percent}the reading`;
    case "full-scale":
      return `The meter, ${percent}its full scale`;
    case "counts":
      return `The meter, ${stated ?? "some"} counts of its last digit`;
    case "leads":
      return "The reading of the leads";
    case "temperature":
      return "The part's temperature";
    case "conditions":
      return "The temperature that the limits hold at";
    case "scatter":
      return "The readings among themselves";
  }
}

function upperFirst(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
