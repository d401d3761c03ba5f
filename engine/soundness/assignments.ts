import type { Band } from "../procedure/model.ts";
import type { LimitValue } from "./limit-value.ts";
import { type Interval, isEmpty } from "./plain-number.ts";
import { limitIn, type RangeOf, type Setting, tableSettings } from "./table-settings.ts";

export interface BandEnds {
  readonly band: Band;
  readonly low: LimitValue;
  readonly high: LimitValue;
}

/** The bands' intervals with every limit a number, and what tables went by then. */
export interface Assigned {
  readonly intervals: readonly Interval[];
  readonly setting: Setting;
}

/** Above so many orders of the limits they are not all tried. */
const MOST_ORDERS = 20_000;

/**
 * The bands' intervals for every order in which their limits can stand: with tables at each of the
 * {@link tableSettings}, and there with limits known only by name in each order among the numbers and each other.
 * Orders in which such a name turns a band inside out are left out, since the band as written says that they can't
 * be; tables that do so are not. Undefined where there are too many orders to try.
 */
export function assignments(bands: readonly BandEnds[], rangeOf?: RangeOf): Iterable<Assigned> | undefined {
  const settings = tableSettings(
    bands.flatMap(({ low, high }) => [low, high]),
    MOST_ORDERS,
    rangeOf,
  );
  const names = namesOf(bands);
  const [first] = settings ?? [];
  if (settings === undefined || first === undefined) return undefined;
  const orders = ordersOf(placesFor(inSetting(bands, first), names));
  return orders * settings.length > MOST_ORDERS ? undefined : assigned(bands, settings, names);
}

function* assigned(
  bands: readonly BandEnds[],
  settings: readonly Setting[],
  names: Names,
): Generator<Assigned> {
  for (const setting of settings) {
    const set = inSetting(bands, setting);
    for (const intervals of namedOrders(set, names)) yield { intervals, setting };
  }
}

interface SetEnds {
  readonly band: Band;
  readonly low: ReturnType<typeof limitIn>;
  readonly high: ReturnType<typeof limitIn>;
}

function inSetting(bands: readonly BandEnds[], setting: Setting): readonly SetEnds[] {
  return bands.map(({ band, low, high }) => ({
    band,
    low: limitIn(low, setting),
    high: limitIn(high, setting),
  }));
}

function* namedOrders(bands: readonly SetEnds[], names: Names): Generator<readonly Interval[]> {
  const places = placesFor(bands, names);
  const count = ordersOf(places);
  for (let number = 0; number < count; number += 1) {
    const chosen = new Map<string, number>();
    let rest = number;
    for (const [name, values] of places) {
      chosen.set(name, values[rest % values.length] ?? 0);
      rest = Math.floor(rest / values.length);
    }
    const value = (limit: SetEnds["low"]) =>
      limit.kind === "number" ? limit.value : (chosen.get(limit.name) ?? 0);
    const intervals = bands.map(({ band, low, high }) => ({
      low: value(low),
      lowIncluded: band.low?.included ?? true,
      high: value(high),
      highIncluded: band.high?.included ?? true,
    }));
    const turned = bands.some(({ low, high }, index) => {
      const interval = intervals[index];
      return (low.kind === "name" || high.kind === "name") && interval !== undefined && isEmpty(interval);
    });
    if (isOrdered(chosen) && !turned) yield intervals;
  }
}

type Names = ReadonlySet<string>;

function namesOf(bands: readonly BandEnds[]): Names {
  const names = new Set<string>();
  for (const { low, high } of bands)
    for (const limit of [low, high]) if (limit.kind === "name") names.add(limit.name);
  return names;
}

function ordersOf(places: ReadonlyMap<string, readonly number[]>): number {
  return [...places.values()].reduce((product, values) => product * values.length, 1);
}

/** Values to try for each name: every number that stands there, and room for all names between two of them. */
function placesFor(bands: readonly SetEnds[], names: Names): ReadonlyMap<string, readonly number[]> {
  const numbers = new Set<number>();
  for (const { low, high } of bands)
    for (const limit of [low, high])
      if (limit.kind === "number" && Number.isFinite(limit.value)) numbers.add(limit.value);
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
  return new Map([...names].map((name) => [name, values]));
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
