import { MOST_DIGITS } from "../quantity/parse-reading.ts";

/** An interval of numbers; a limit that is not included is not in it. */
export interface Interval {
  readonly low: number;
  readonly lowIncluded: boolean;
  readonly high: number;
  readonly highIncluded: boolean;
}

/** Whether a number lies in an interval. */
export function isIn(value: number, interval: Interval): boolean {
  const { low, lowIncluded, high, highIncluded } = interval;
  return (
    (value > low || (lowIncluded && value === low)) && (value < high || (highIncluded && value === high))
  );
}

/** Whether no number lies in an interval. */
export function isEmpty({ low, lowIncluded, high, highIncluded }: Interval): boolean {
  return low > high || (low === high && !(lowIncluded && highIncluded));
}

/**
 * The number with the fewest digits well inside an interval, as a person would choose one; undefined when the
 * interval is empty. `±Infinity` only where nothing else lies in it.
 */
export function plainNumber(interval: Interval): number | undefined {
  if (isEmpty(interval)) return undefined;
  const { low, high } = interval;
  if (low === high) return low;
  const [from, to] = innerPart(low, high);
  for (let digits = 12; digits >= -12; digits -= 1) {
    const candidate = multipleWithin(from, to, digits);
    if (candidate !== undefined && isIn(candidate, interval)) return candidate;
  }
  const middle = low / 2 + high / 2;
  if (Number.isFinite(middle) && isIn(middle, interval)) return middle;
  return [low, high].find((end) => isIn(end, interval));
}

/** The middle half; for a half-line a stretch off its end that grows with it, so that no doubt remains. */
function innerPart(low: number, high: number): readonly [number, number] {
  if (Number.isFinite(low) && Number.isFinite(high)) {
    const quarter = high / 4 - low / 4;
    return [low + quarter, high - quarter];
  }
  if (Number.isFinite(low)) return low === 0 ? [1, 5] : [low + Math.abs(low) / 2, low + Math.abs(low)];
  if (Number.isFinite(high)) {
    if (high > 0) return [high / 4, high / 2];
    return high === 0 ? [-5, -1] : [high + high, high + high / 2];
  }
  return [1, 5];
}

/** The multiple of 10^digits nearest the middle of a closed range. */
function multipleWithin(from: number, to: number, digits: number): number | undefined {
  const unit = Number(`1e${digits}`);
  const rounded = Number(`${Math.round((from / 2 + to / 2) / unit)}e${digits}`);
  return rounded >= from && rounded <= to ? rounded : undefined;
}

/**
 * A number as it would be typed: no exponent, no trailing zeros, no more digits than a run takes; `OL` over range.
 * Of a third of 100 that is 33.3333333333333.
 */
export function typedNumber(value: number): string {
  if (value === Infinity) return "OL";
  if (value === -Infinity) return "-OL";
  const plain = inFull(value);
  const [whole = "", fraction = ""] = plain.split(".");
  const places = Math.max(0, MOST_DIGITS - whole.replace("-", "").length);
  if (fraction.length <= places) return plain;
  const rounded = value.toFixed(places);
  return rounded.includes(".") ? rounded.replace(/\.?0+$/, "") : rounded;
}

function inFull(value: number): string {
  const text = String(value);
  if (!text.includes("e")) return text;
  if (Math.abs(value) >= 1) return BigInt(Math.round(value)).toString();
  return value.toFixed(20).replace(/0+$/, "");
}
