import { evaluateExpression } from "../procedure/expression.ts";
import type { Expression, Limit, Limits, Procedure } from "../procedure/model.ts";
import { convert } from "../quantity/units.ts";
import type { Interval } from "./plain-number.ts";

/**
 * A limit as far as it is known before a run: a number; a table, which lies between its lowest and highest entry;
 * or the name of an open specification's limit, which can be anything.
 */
export type LimitValue =
  | { readonly kind: "number"; readonly value: number }
  | TableLimit
  | { readonly kind: "name"; readonly name: string; readonly least: number; readonly most: number };

/** What a table gives, as points of what it goes by and the limit in the unit asked for. */
export interface TableLimit {
  readonly kind: "table";
  readonly by: Expression;
  readonly points: readonly (readonly [x: number, y: number])[];
  readonly least: number;
  readonly most: number;
}

/** A limit in a unit; undefined where it can't be made out (the linker reports why). */
export function limitValue(procedure: Procedure, limit: Limit, unit: string): LimitValue | undefined {
  let at = limit;
  // A citation of a citation is lawful; a circle of them ends at the number of specifications.
  for (let hops = 0; hops <= procedure.specifications.size; hops += 1) {
    switch (at.kind) {
      case "fixed": {
        const value = convert(at.quantity.value, at.quantity.unit, unit);
        return value === undefined ? undefined : { kind: "number", value };
      }
      case "table": {
        const values = at.rows.map(([, value]) => convert(value.value, value.unit, unit) ?? Number.NaN);
        if (values.length === 0 || values.some(Number.isNaN)) return undefined;
        const points = at.rows.map(([x], index) => [x.value, values[index] ?? Number.NaN] as const);
        const given = givenNumber(procedure, at.by);
        if (given !== undefined) return { kind: "number", value: tableAt(points, given) };
        return { kind: "table", by: at.by, points, least: Math.min(...values), most: Math.max(...values) };
      }
      case "cited": {
        const specification = procedure.specifications.get(at.specification);
        if (specification === undefined) return undefined;
        const side = at.end === "from" || at.end === "over" ? "low" : "high";
        if (specification.open !== undefined)
          return {
            kind: "name",
            name: `${at.specification}.${side}`,
            least: -Infinity,
            most: Infinity,
          };
        const end: Limits["low"] = specification[side];
        // A sheet can leave out what is cited: a run then takes it for no limit.
        if (end === undefined) return { kind: "number", value: side === "low" ? -Infinity : Infinity };
        at = end.limit;
      }
    }
  }
  return undefined;
}

/** What a table goes by where only facts that a call or an equipment sheet gives decide that. */
function givenNumber(procedure: Procedure, by: Expression): number | undefined {
  if (by.readings.length + by.elapsed.length > 0) return undefined;
  const scene = {
    fact: (id: string) => procedure.facts.get(id)?.given,
    reading: () => undefined,
    value: () => undefined,
    elapsed: () => undefined,
  };
  const found = evaluateExpression(by, scene);
  return found.ok && typeof found.value === "number" ? found.value : undefined;
}

/** A table's limit, as a run reckons it: linear between rows, the end value outside them. */
export function tableAt(points: TableLimit["points"], x: number): number {
  let before = points[0];
  for (const point of points) {
    const [px, py] = point;
    if (before !== undefined && x <= px)
      return px === before[0] ? py : before[1] + ((py - before[1]) * (x - before[0])) / (px - before[0]);
    before = point;
  }
  return before?.[1] ?? Number.NaN;
}

/** Lower and upper limit as numbers in a unit, open ends infinite; undefined where one is only a name. */
export function numberEnds(procedure: Procedure, limits: Limits, unit: string): Interval | undefined {
  const span = limitSpan(procedure, limits, unit);
  if (span === undefined || span.low.least !== span.low.most || span.high.least !== span.high.most)
    return undefined;
  return { ...includedIn(limits), low: span.low.least, high: span.high.least };
}

/** The least and most that each limit can be in a run, open ends infinite. */
export function limitSpan(
  procedure: Procedure,
  limits: Limits,
  unit: string,
): { readonly low: Span; readonly high: Span } | undefined {
  const spanOf = (end: Limits["low"], open: number): Span | undefined => {
    if (end === undefined) return { least: open, most: open };
    const value = limitValue(procedure, end.limit, unit);
    return value?.kind === "number" ? { least: value.value, most: value.value } : value;
  };
  const low = spanOf(limits.low, -Infinity);
  const high = spanOf(limits.high, Infinity);
  return low && high && { low, high };
}

interface Span {
  readonly least: number;
  readonly most: number;
}

/** Which ends limits take in; open ends do, so that over range lies inside. */
export function includedIn(limits: Limits): Pick<Interval, "lowIncluded" | "highIncluded"> {
  return { lowIncluded: limits.low?.included ?? true, highIncluded: limits.high?.included ?? true };
}
