import type { Limit, Limits, Procedure } from "../procedure/model.ts";
import { convert } from "../quantity/units.ts";
import type { Interval } from "./plain-number.ts";

/**
 * A limit as far as it is known before a run: a number, or a name that stands for one. An open specification's
 * limit is a name; so is a table's, which lies between its lowest and highest entry.
 */
export type LimitValue =
  | { readonly kind: "number"; readonly value: number }
  | { readonly kind: "name"; readonly name: string; readonly least: number; readonly most: number };

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
        const name = tableName(at, values);
        return { kind: "name", name, least: Math.min(...values), most: Math.max(...values) };
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

/** One name for tables that say the same, in whatever units; the last digits of a conversion say nothing. */
function tableName({ by, rows }: Extract<Limit, { kind: "table" }>, values: readonly number[]): string {
  const points = rows.map(
    ([x], index) => `${Number(x.value.toPrecision(12))}${x.unit}:${values[index]?.toPrecision(12)}`,
  );
  return `${by.scope}${by.text} ${points.join(" ")}`;
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
