import type { JudgedReading, SettleAdvice } from "../../engine/quantity/judge.ts";
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
export function settleText(advice: SettleAdvice): string {
  switch (advice.kind) {
    case "measure-leads":
      return "Hold the two leads together and enter what they read. That takes the guess out of the lead resistance.";
    case "finer-range":
      return `Set the meter to its ${advice.range} range and read again.`;
    case "let-cool":
      return `Let the part come to ${advice.to} and measure again.`;
    case "read-again":
      return "Press the tips hard on clean metal and read again.";
  }
}

/** How sure a verdict is, in words: a probability alone says little under a vehicle. */
export function conformanceText(conformance: number): string {
  const percent = conformance * 100;
  if (percent > 99) return "more than 99 % sure";
  if (percent < 1) return "less than 1 % sure";
  return `${Math.round(percent)} % sure`;
}

function upperFirst(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
