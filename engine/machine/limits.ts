/** Limits of bands and specifications as numbers, in this run, with its facts and its answers. */
import { evaluateExpression, type Scene } from "../procedure/expression.ts";
import type { Limit, Limits, LimitWord, MeasureStep, Procedure } from "../procedure/model.ts";
import type { Quantity } from "../quantity/quantity.ts";
import { convert } from "../quantity/units.ts";
import type { NumericBand } from "../quantity/verdict.ts";
import { own } from "./own.ts";
import type { Run } from "./run.ts";

/** What of a run limits depend on, beside the scene. */
type Told = Pick<Run, "specifications">;

/** The bands that a reading of this step is judged by, in its unit; undefined where a limit can't be known. */
export function numericBands(
  procedure: Procedure,
  run: Told,
  step: MeasureStep,
  scene: Scene,
): readonly NumericBand[] | undefined {
  switch (step.judged.by) {
    case "nothing":
      return [];
    case "bands": {
      const bands: NumericBand[] = [];
      for (const band of step.judged.bands) {
        const ends = numericEnds(procedure, run, band, step.unit, scene);
        if (ends === undefined) return undefined;
        bands.push({ outcome: band.id, ...ends });
      }
      return bands;
    }
    case "specification": {
      const ends = specificationEnds(procedure, run, step.judged.specification, step.unit, scene);
      return ends && aroundSpecification(ends);
    }
  }
}

interface Ends {
  readonly low: number;
  readonly lowIncluded: boolean;
  readonly high: number;
  readonly highIncluded: boolean;
}

function aroundSpecification(ends: Ends): readonly NumericBand[] {
  const bands: NumericBand[] = [];
  if (ends.low > -Infinity)
    bands.push({
      outcome: "below",
      low: -Infinity,
      lowIncluded: true,
      high: ends.low,
      highIncluded: !ends.lowIncluded,
    });
  bands.push({ outcome: "within", ...ends });
  if (ends.high < Infinity)
    bands.push({
      outcome: "above",
      low: ends.high,
      lowIncluded: !ends.highIncluded,
      high: Infinity,
      highIncluded: true,
    });
  return bands;
}

/** Lower and upper limit in `unit`; open ends are infinite and included, so that over range lies inside. */
export function numericEnds(
  procedure: Procedure,
  run: Told,
  limits: Limits,
  unit: string,
  scene: Scene,
): Ends | undefined {
  const low = limits.low ? limitValue(procedure, run, limits.low.limit, unit, scene) : -Infinity;
  const high = limits.high ? limitValue(procedure, run, limits.high.limit, unit, scene) : Infinity;
  if (low === undefined || high === undefined) return undefined;
  return {
    low,
    lowIncluded: limits.low?.included ?? true,
    high,
    highIncluded: limits.high?.included ?? true,
  };
}

function specificationEnds(
  procedure: Procedure,
  run: Told,
  id: string,
  unit: string,
  scene: Scene,
): Ends | undefined {
  const answered = own(run.specifications, id);
  if (answered !== undefined) return answeredEnds(answered.limits, unit);
  const specification = procedure.specifications.get(id);
  if (specification === undefined || specification.open !== undefined) return undefined;
  return numericEnds(procedure, run, specification, unit, scene);
}

function answeredEnds(
  limits: Readonly<Partial<Record<LimitWord, Quantity>>>,
  unit: string,
): Ends | undefined {
  const value = (word: LimitWord) => {
    const quantity = limits[word];
    return quantity && convert(quantity.value, quantity.unit, unit);
  };
  const low = value("from") ?? value("over") ?? -Infinity;
  const high = value("to") ?? value("under") ?? Infinity;
  return {
    low,
    lowIncluded: limits.over === undefined,
    high,
    highIncluded: limits.under === undefined,
  };
}

function limitValue(
  procedure: Procedure,
  run: Told,
  limit: Limit,
  unit: string,
  scene: Scene,
): number | undefined {
  switch (limit.kind) {
    case "fixed":
      return convert(limit.quantity.value, limit.quantity.unit, unit);
    case "cited": {
      const ends = specificationEnds(procedure, run, limit.specification, unit, scene);
      if (ends === undefined) return undefined;
      return limit.end === "from" || limit.end === "over" ? ends.low : ends.high;
    }
    case "table": {
      const by = evaluateExpression(limit.by, scene);
      if (!by.ok || typeof by.value !== "number") return undefined;
      return tableValue(limit.rows, by.value, unit);
    }
  }
}

/** Linear between rows, the end value outside them. Rows are in the unit of the fact or reading, rising. */
function tableValue(
  rows: readonly (readonly [Quantity, Quantity])[],
  x: number,
  unit: string,
): number | undefined {
  const points = rows.map(([key, value]) => [key.value, convert(value.value, value.unit, unit)] as const);
  let before = points[0];
  for (const point of points) {
    const [px, py] = point;
    if (py === undefined || before === undefined) return undefined;
    if (x <= px) {
      const [bx, by] = before;
      return by === undefined || px === bx ? py : by + ((py - by) * (x - bx)) / (px - bx);
    }
    before = point;
  }
  return before?.[1];
}
