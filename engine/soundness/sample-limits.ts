import type { LimitWord, MeasureStep, Procedure, Specification } from "../procedure/model.ts";
import { convert } from "../quantity/units.ts";
import { limitValue } from "./limit-value.ts";
import { plainNumber, typedNumber } from "./plain-number.ts";

/** As typed, with unit. */
type ToldLimits = Readonly<Partial<Record<LimitWord, string>>>;

/**
 * Limits that an open specification could be told, so that a witness can go on; undefined where it is not open.
 * They are 1 and 2 of its unit. Where a band that cites them would hold no reading then, they are plain numbers
 * with which each band does that cites them, or another specification in one band with them; if there are any.
 */
export function sampleLimits(procedure: Procedure, { id, open }: Specification): ToldLimits | undefined {
  if (open === undefined) return undefined;
  const known = CHOSEN.get(procedure) ?? new Map<string, Chosen>();
  const chosen = known.get(id) ?? chosenFor(procedure, id);
  CHOSEN.set(procedure, known.set(id, chosen));
  const limits: Partial<Record<LimitWord, string>> = {};
  for (const word of open.limits) {
    const name = isLow(word) ? `${id}.low` : `${id}.high`;
    limits[word] = `${typedNumber(chosen(name, open.unit) ?? plain(name))} ${open.unit}`;
  }
  return limits;
}

/** {@link sampleLimits} of every open specification of a procedure, by its name. */
export function toldLimits(procedure: Procedure): ReadonlyMap<string, ToldLimits> {
  return new Map(
    [...procedure.specifications.values()].flatMap((specification) => {
      const limits = sampleLimits(procedure, specification);
      return limits === undefined ? [] : [[specification.id, limits] as const];
    }),
  );
}

/** Limits in words: `from 12 V to 14 V`. */
export function limitsText(limits: ToldLimits): string {
  return Object.entries(limits).flat().join(" ");
}

/** The value of a limit by its name, in a unit; undefined where any will do. */
type Chosen = (name: string, unit: string) => number | undefined;

/** Witnesses try many runs of one procedure. */
const CHOSEN = new WeakMap<Procedure, Map<string, Chosen>>();

/** A number, or the name of an open specification's limit: `feed.low`. */
type End = number | string;
/** The lower end and the upper end of what is to hold some reading. */
type Room = readonly [End, End];

function chosenFor(procedure: Procedure, id: string): Chosen {
  const group = togetherWith(procedure, id);
  const unit = [...procedure.specifications.values()].find((each) => group.has(each.id))?.open?.unit ?? "";
  const rooms = roomsOf(procedure, group, unit);
  const isPlainlyMet = ([low, high]: Room) => plain(low) < plain(high);
  const values = rooms.every(isPlainlyMet) ? undefined : valuesFor(rooms);
  return (name, into) => {
    const value = values?.get(name);
    return value === undefined ? undefined : convert(value, unit, into);
  };
}

function plain(end: End): number {
  return typeof end === "number" ? end : end.endsWith(".low") ? 1 : 2;
}

function isLow(word: LimitWord): boolean {
  return word === "from" || word === "over";
}

/** The open specifications of which bands hold limits together with this one's, in turn; itself included. */
function togetherWith(procedure: Procedure, id: string): ReadonlySet<string> {
  const group = new Set([id]);
  const rooms = [...measureSteps(procedure)].flatMap((step) => bandRooms(procedure, step, step.unit));
  for (const each of group)
    for (const room of rooms) {
      const cited = room.flatMap(specificationOf);
      if (cited.includes(each)) for (const other of cited) group.add(other);
    }
  return group;
}

function specificationOf(end: End): readonly string[] {
  return typeof end === "number" ? [] : [end.slice(0, end.lastIndexOf("."))];
}

function* measureSteps(procedure: Procedure): Generator<MeasureStep> {
  for (const step of procedure.steps.values()) if (step.kind === "measure") yield step;
}

/** What is to hold some reading, of all that cites one of these specifications, and these themselves. */
function roomsOf(procedure: Procedure, group: ReadonlySet<string>, unit: string): readonly Room[] {
  const ofBands = [...measureSteps(procedure)].flatMap((step) => bandRooms(procedure, step, unit));
  const cited = ofBands.filter((room) => room.flatMap(specificationOf).some((id) => group.has(id)));
  const own = [...group].flatMap((id): readonly Room[] => {
    const words = procedure.specifications.get(id)?.open?.limits ?? [];
    return words.some(isLow) && !words.every(isLow) ? [[`${id}.low`, `${id}.high`]] : [];
  });
  return [...own, ...cited];
}

/** A step's bands between two limits of which one is open; a table counts as far as it may reach into the band. */
function bandRooms(procedure: Procedure, { judged }: MeasureStep, unit: string): readonly Room[] {
  if (judged.by !== "bands") return [];
  return judged.bands.flatMap((band): readonly Room[] => {
    const low = band.low && limitValue(procedure, band.low.limit, unit);
    const high = band.high && limitValue(procedure, band.high.limit, unit);
    if (low === undefined || high === undefined || (low.kind !== "name" && high.kind !== "name")) return [];
    const endOf = (value: typeof low, far: "least" | "most"): End =>
      value.kind === "number" ? value.value : value.kind === "table" ? value[far] : value.name;
    return [[endOf(low, "most"), endOf(high, "least")]];
  });
}

/** A value for each limit so that every room holds a number; undefined where none were found. */
function valuesFor(rooms: readonly Room[]): ReadonlyMap<string, number> | undefined {
  const values = new Map<string, number>();
  const left = new Set(rooms.flat().filter((end) => typeof end === "string"));
  const numberOf = (end: End) => (typeof end === "number" ? end : (values.get(end) ?? Number.NaN));
  while (left.size > 0) {
    // One at a time, each after all that are to stand below it.
    const name = [...left].find((each) =>
      rooms.every(([low, high]) => high !== each || !Number.isNaN(numberOf(low))),
    );
    if (name === undefined) return undefined;
    const low = Math.max(
      -Infinity,
      ...rooms.filter((room) => room[1] === name).map((room) => numberOf(room[0])),
    );
    const high = leastAbove(rooms, name);
    const value =
      low < high ? plainNumber({ low, high, lowIncluded: false, highIncluded: false }) : undefined;
    if (value === undefined) return undefined;
    values.set(name, value);
    left.delete(name);
  }
  return values;
}

/** The least number that is to stand above a limit, in turn. */
function leastAbove(rooms: readonly Room[], name: string): number {
  const above = new Set<End>([name]);
  for (const end of above) for (const [low, high] of rooms) if (low === end) above.add(high);
  return Math.min(Infinity, ...[...above].filter((end) => typeof end === "number"));
}
