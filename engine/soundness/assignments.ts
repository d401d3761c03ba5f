import type { Band } from "../procedure/model.ts";
import type { LimitValue } from "./limit-value.ts";
import { type Interval, isEmpty } from "./plain-number.ts";

export interface BandEnds {
  readonly band: Band;
  readonly low: LimitValue;
  readonly high: LimitValue;
}

/** Above so many orders of the limits they are not all tried. */
const MOST_ORDERS = 20_000;

/**
 * The bands' intervals for every order in which limits known only by name can stand among the numbers and each
 * other, each order once at least. Orders that turn a band inside out are left out, since the band as written
 * says that they can't be. Nothing where there are too many orders to try.
 */
export function* assignments(bands: readonly BandEnds[]): Generator<readonly Interval[]> {
  const names = namesOf(bands);
  const places = placesFor(bands, names);
  const count = [...places.values()].reduce((product, values) => product * values.length, 1);
  if (count > MOST_ORDERS) return;
  for (let number = 0; number < count; number += 1) {
    const chosen = new Map<string, number>();
    let rest = number;
    for (const [name, values] of places) {
      chosen.set(name, values[rest % values.length] ?? 0);
      rest = Math.floor(rest / values.length);
    }
    const value = (limit: LimitValue) =>
      limit.kind === "number" ? limit.value : (chosen.get(limit.name) ?? 0);
    const intervals = bands.map(({ band, low, high }) => ({
      low: value(low),
      lowIncluded: band.low?.included ?? true,
      high: value(high),
      highIncluded: band.high?.included ?? true,
    }));
    if (names.size === 0 || (isOrdered(chosen) && !intervals.some(isEmpty))) yield intervals;
  }
}

function namesOf(bands: readonly BandEnds[]): ReadonlyMap<string, { least: number; most: number }> {
  const names = new Map<string, { least: number; most: number }>();
  for (const { low, high } of bands)
    for (const limit of [low, high]) if (limit.kind === "name") names.set(limit.name, limit);
  return names;
}

/** Values to try for each name: every number that stands there, and room for all names between two of them. */
function placesFor(
  bands: readonly BandEnds[],
  names: ReadonlyMap<string, { least: number; most: number }>,
): ReadonlyMap<string, readonly number[]> {
  const numbers = new Set<number>();
  const put = (value: number) => Number.isFinite(value) && numbers.add(value);
  for (const { low, high } of bands)
    for (const limit of [low, high]) if (limit.kind === "number") put(limit.value);
  for (const { least, most } of names.values()) {
    put(least);
    put(most);
  }
  const sorted = [...numbers].sort((a, b) => a - b);
  const first = sorted[0] ?? 0;
  const last = sorted.at(-1) ?? 0;
  const marks = [first - 1 - Math.abs(first), ...sorted, last + 1 + Math.abs(last)];
  const values: number[] = [];
  for (const [index, mark] of marks.entries()) {
    values.push(mark);
    const next = marks[index + 1];
    if (next === undefined) continue;
    for (let part = 1; part <= names.size; part += 1)
      values.push(mark + ((next - mark) * part) / (names.size + 1));
  }
  return new Map(
    [...names].map(([name, { least, most }]) => [name, values.filter((v) => v >= least && v <= most)]),
  );
}

/** Whether no specification's lower limit stands above its upper one. */
function isOrdered(chosen: ReadonlyMap<string, number>): boolean {
  for (const [name, low] of chosen) {
    if (!name.endsWith(".low")) continue;
    const high = chosen.get(`${name.slice(0, -".low".length)}.high`);
    if (high !== undefined && low > high) return false;
  }
  return true;
}
