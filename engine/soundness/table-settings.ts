import { expressionTree } from "../procedure/expression.ts";
import type { Variable } from "../procedure/expression-names.ts";
import type { Expression, StepId } from "../procedure/model.ts";
import { type LimitValue, type TableLimit, tableAt } from "./limit-value.ts";
import { type Interval, isIn, plainNumber } from "./plain-number.ts";
import type { Wanted } from "./witness-values.ts";

/** What tables go by and the number that each of those has. */
export type Setting = ReadonlyMap<string, { readonly by: Expression; readonly x: number }>;

/** Where the number of an expression can lie; undefined where that can be anywhere. */
export type RangeOf = (by: Expression) => readonly Interval[] | undefined;

/** The name of what a table goes by: tables over the same thing move together. */
function nameOf({ scope, text }: Expression): string {
  return `${scope}${text}`;
}

/**
 * The numbers at which limits from tables are to be looked at: each row, each place where a limit meets another,
 * and one number between each two of these. Between two of them no two limits over one thing change places, since
 * tables are straight between their rows; so that looking there is exact for tables over one thing. Tables over
 * several things are looked at in every combination, and where one meets what another gives at a row.
 * Undefined where there are more than `most`. Without tables there is one setting, which is empty. `rangeOf` says
 * where what a table goes by can lie at all, as far as that is known.
 */
export function tableSettings(
  limits: readonly LimitValue[],
  most: number,
  rangeOf: RangeOf = () => undefined,
): readonly Setting[] | undefined {
  const groups = new Map<string, TableLimit[]>();
  for (const limit of limits) {
    if (limit.kind !== "table") continue;
    const name = nameOf(limit.by);
    groups.set(name, [...(groups.get(name) ?? []), limit]);
  }
  let settings: readonly Setting[] = [new Map()];
  for (const [name, tables] of groups) {
    const [first] = tables;
    if (first === undefined) continue;
    const places = within(rangeOf(first.by), marksOf(tables, levelsBeside(limits, name)));
    if (settings.length * places.length > most) return undefined;
    settings = settings.flatMap((setting) =>
      places.map((x) => new Map([...setting, [name, { by: first.by, x }] as const])),
    );
  }
  return settings;
}

/** A limit with what tables go by set; a name stays one. */
export function limitIn(limit: LimitValue, setting: Setting): Exclude<LimitValue, TableLimit> {
  if (limit.kind !== "table") return limit;
  const x = setting.get(nameOf(limit.by))?.x ?? Number.NaN;
  return { kind: "number", value: tableAt(limit.points, x) };
}

/** The fact or reading that an expression is nothing but. */
export function onlyName(by: Expression): Variable | undefined {
  const found = expressionTree(by);
  return found?.tree.op === "id" ? found.variables[0] : undefined;
}

/** The facts and readings that make up a setting, as far as tables go by a single one. */
export function wantedFor(setting: Setting): Wanted {
  const facts = new Map<string, number>();
  const readings = new Map<StepId, readonly number[]>();
  for (const { by, x } of setting.values()) {
    const only = onlyName(by);
    if (only?.kind === "fact") facts.set(only.id, x);
    if (only?.kind === "reading") readings.set(only.id, [x]);
  }
  return { facts, readings };
}

/** The numbers that a group's tables are held against: fixed limits, and what tables over other things give. */
function levelsBeside(limits: readonly LimitValue[], name: string): readonly number[] {
  return limits.flatMap((limit) => {
    if (limit.kind === "number") return Number.isFinite(limit.value) ? [limit.value] : [];
    if (limit.kind === "table" && nameOf(limit.by) !== name) return limit.points.map(([, y]) => y);
    return [];
  });
}

/** The rows, and where limits meet between them. */
function marksOf(tables: readonly TableLimit[], levels: readonly number[]): readonly number[] {
  const rows = sorted(tables.flatMap(({ points }) => points.map(([x]) => x)));
  const meetings: number[] = [];
  for (const [index, from] of rows.entries()) {
    const to = rows[index + 1];
    if (to === undefined) break;
    const ends = tables.map(({ points }) => [tableAt(points, from), tableAt(points, to)] as const);
    const lines = [...ends, ...levels.map((level) => [level, level] as const)];
    for (const [at, one] of ends.entries())
      for (const other of lines.slice(at + 1)) {
        const share = (other[0] - one[0]) / (one[1] - one[0] - (other[1] - other[0]));
        if (share > 0 && share < 1) meetings.push(from + share * (to - from));
      }
  }
  return sorted([...rows, ...meetings]);
}

/** Marks and a number between each two of them, those of a range; of all where the range leaves none. */
function within(range: readonly Interval[] | undefined, marks: readonly number[]): readonly number[] {
  if (range === undefined) return withBetween(marks);
  const ends = range.flatMap(({ low, high }) => [low, high]).filter(Number.isFinite);
  const all = sorted([...marks, ...ends]);
  const [first, last] = [all[0] ?? 0, all.at(-1) ?? 0];
  // Outside its rows a table stays as it is: one number there stands for all.
  const places = [first - 1 - Math.abs(first), ...withBetween(all), last + 1 + Math.abs(last)];
  const inside = places.filter((place) => range.some((each) => isIn(place, each)));
  return inside.length === 0 ? withBetween(marks) : inside;
}

function withBetween(marks: readonly number[]): readonly number[] {
  return marks.flatMap((mark, index) => {
    const next = marks[index + 1];
    if (next === undefined) return [mark];
    const between = { low: mark, lowIncluded: false, high: next, highIncluded: false };
    return [mark, plainNumber(between) ?? mark];
  });
}

function sorted(numbers: readonly number[]): readonly number[] {
  return [...new Set(numbers)].sort((a, b) => a - b);
}
