import type { Limit, Limits, Procedure } from "../procedure/model.ts";
import { convert } from "../quantity/units.ts";

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
        const name = `${at.by.scope}${at.by.text} ${at.rows.map(([x, y]) => `${x.value}${x.unit}:${y.value}${y.unit}`).join(" ")}`;
        return { kind: "name", name, least: Math.min(...values), most: Math.max(...values) };
      }
      case "cited": {
        const specification = procedure.specifications.get(at.specification);
        if (specification === undefined) return undefined;
        if (specification.open !== undefined)
          return {
            kind: "name",
            name: `${at.specification}.${at.end === "from" || at.end === "over" ? "low" : "high"}`,
            least: -Infinity,
            most: Infinity,
          };
        const end: Limits["low"] =
          at.end === "from" || at.end === "over" ? specification.low : specification.high;
        if (end === undefined) return undefined;
        at = end.limit;
      }
    }
  }
  return undefined;
}

/** Lower and upper limit as numbers in a unit, open ends infinite; undefined where one is only a name. */
export function numberEnds(
  procedure: Procedure,
  limits: Limits,
  unit: string,
): { low: number; lowIncluded: boolean; high: number; highIncluded: boolean } | undefined {
  const low = limits.low ? limitValue(procedure, limits.low.limit, unit) : undefined;
  const high = limits.high ? limitValue(procedure, limits.high.limit, unit) : undefined;
  if (limits.low && low?.kind !== "number") return undefined;
  if (limits.high && high?.kind !== "number") return undefined;
  return {
    low: low?.kind === "number" ? low.value : -Infinity,
    lowIncluded: limits.low?.included ?? true,
    high: high?.kind === "number" ? high.value : Infinity,
    highIncluded: limits.high?.included ?? true,
  };
}
