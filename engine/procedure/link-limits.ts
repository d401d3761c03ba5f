/** Limits of bands, specifications and plausible ranges. */

import { parseQuantity } from "../quantity/parse-quantity.ts";
import type { Quantity } from "../quantity/quantity.ts";
import { convert, type Dimension, unitOf } from "../quantity/units.ts";
import { linkBy } from "./link-expression.ts";
import { linkQuantity } from "./link-quantity.ts";
import type { Linking, Part, Path } from "./linking.ts";
import type { Limit, Limits, LimitWord } from "./model.ts";

type RawLimit = string | { readonly by?: string; readonly table?: readonly (readonly string[])[] };
type RawLimits = { readonly [K in LimitWord]?: RawLimit };

/** Where limits stand, and what they limit. */
interface LimitPlace {
  readonly path: Path;
  /** What the numbers must measure; undefined where that is not known. */
  readonly dimension: Dimension | undefined;
  /** Whether tables may go by `reading`. */
  readonly thisReading: boolean;
}

/** The limits that are written; one that could not be read is reported and left out. */
export function linkLimits(linking: Linking, part: Part, raw: RawLimits, place: LimitPlace): Limits {
  const low = linkEnd(linking, part, raw, "from", "over", place);
  const high = linkEnd(linking, part, raw, "to", "under", place);
  return { ...(low === undefined ? {} : { low }), ...(high === undefined ? {} : { high }) };
}

function linkEnd(
  linking: Linking,
  part: Part,
  raw: RawLimits,
  including: LimitWord,
  excluding: LimitWord,
  place: LimitPlace,
): Limits["low"] {
  const word = raw[including] === undefined ? excluding : including;
  const written = raw[word];
  if (written === undefined) return undefined;
  const at = { ...place, path: [...place.path, word] };
  const limit =
    typeof written === "string"
      ? linkWritten(linking, part, written, at)
      : linkTable(linking, part, written, at);
  return limit && { limit, included: word === including };
}

const CITED = /^([A-Za-z0-9_]+(?:-[A-Za-z0-9_]+)*)\.(from|to|under|over)$/;

function linkWritten(linking: Linking, part: Part, text: string, place: LimitPlace): Limit | undefined {
  const cited = CITED.exec(text.trim());
  if (cited === null) {
    const quantity = linkQuantity(linking, part, text, place.dimension, place.path);
    return quantity && { kind: "fixed", quantity };
  }
  const [, name = "", end] = cited;
  const specification = linking.resolve(part, "specification", name, place.path);
  if (specification === undefined || !isLimitWord(end)) return undefined;
  const other = linking.rawSpecifications.get(specification)?.raw;
  const has = other === undefined || other[end] !== undefined || other.limits?.includes(end) === true;
  if (!has) {
    const words = Object.keys(other).filter(isLimitWord);
    linking.unknown(part, "limit", end, words, place.path);
    return undefined;
  }
  const measures = specificationDimension(linking, specification);
  if (measures !== undefined && place.dimension !== undefined && measures !== place.dimension) {
    linking.report(part, "unit-mismatch", place.path, {
      unit: measures,
      needs: place.dimension,
      why: "cited",
    });
    return undefined;
  }
  return { kind: "cited", specification, end };
}

/** What a specification's limits measure, by its unit or the first number in it or in what it cites. */
export function specificationDimension(
  linking: Linking,
  id: string,
  seen: ReadonlySet<string> = new Set(),
): Dimension | undefined {
  const found = linking.rawSpecifications.get(id);
  if (found === undefined || seen.has(id)) return undefined;
  const { raw, part } = found;
  if (raw.unit !== undefined) return unitOf(raw.unit)?.dimension;
  for (const word of ["from", "over", "to", "under"] as const) {
    const limit = raw[word];
    if (limit === undefined) continue;
    const cited = typeof limit === "string" ? /^([\w-]+)\.[a-z]+$/.exec(limit) : null;
    if (cited !== null)
      return specificationDimension(linking, part.scope + (cited[1] ?? ""), new Set([...seen, id]));
    const parsed = parseQuantity(firstText(limit));
    if (parsed.ok) return unitOf(parsed.quantity.unit)?.dimension;
  }
  return undefined;
}

function firstText(limit: RawLimit): string {
  return typeof limit === "string" ? limit : (limit.table?.[0]?.[1] ?? "");
}

function isLimitWord(word: string | undefined): word is LimitWord {
  return word === "from" || word === "to" || word === "under" || word === "over";
}

function linkTable(
  linking: Linking,
  part: Part,
  raw: Exclude<RawLimit, string>,
  place: LimitPlace,
): Limit | undefined {
  if (raw.by === undefined || raw.table === undefined) return undefined;
  const found = linkBy(linking, part, raw.by, [...place.path, "by"], place.thisReading);
  const rows: (readonly [Quantity, Quantity])[] = [];
  for (const [index, [key = "", value = ""]] of raw.table.entries()) {
    const path = [...place.path, "table", index];
    const dimension = found?.unit === undefined ? undefined : unitOf(found.unit)?.dimension;
    const x = linkQuantity(linking, part, key, dimension, [...path, 0]);
    const y = linkQuantity(linking, part, value, place.dimension, [...path, 1]);
    if (x === undefined || y === undefined) return undefined;
    const [before] = rows.at(-1) ?? [];
    const inUnit = found?.unit === undefined ? x : inUnitOf(x, found.unit);
    if (before !== undefined && before.value >= inUnit.value) {
      linking.report(part, "wrong-shape", [...path, 0], { reason: "table-not-rising", name: key });
      return undefined;
    }
    rows.push([inUnit, y]);
  }
  return found && { kind: "table", by: found.by, rows };
}

/** The same quantity in another unit of its dimension. */
export function inUnitOf(quantity: Quantity, unit: string): Quantity {
  return { value: convert(quantity.value, quantity.unit, unit) ?? quantity.value, unit };
}
