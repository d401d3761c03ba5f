/** The 95 % interval of a mean, in brackets behind it; nothing where there is none. */
import type { Interval } from "../../engine/audit/wilson.ts";

export function intervalText(interval: Interval | null, decimals: number): string {
  return interval === null
    ? ""
    : ` (${interval.low.toFixed(decimals)} to ${interval.high.toFixed(decimals)})`;
}
