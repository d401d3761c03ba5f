import type { Band, MeasureStep, Procedure } from "../procedure/model.ts";
import { convert } from "../quantity/units.ts";
import type { Analysis } from "./analysis.ts";
import { latestOutcomes } from "./latest-outcomes.ts";
import { numberEnds } from "./limit-value.ts";
import type { Interval } from "./plain-number.ts";
import { onlyName, type RangeOf } from "./table-settings.ts";

/** Where earlier readings that tables go by can lie, by the outcomes that they can have had at a step. */
export function rangesAt(analysis: Analysis, index: number): RangeOf {
  return (by) => {
    const name = onlyName(by);
    const step = name?.kind === "reading" ? analysis.procedure.steps.get(name.id) : undefined;
    if (step?.kind !== "measure" || step.judged.by !== "bands" || step.value !== undefined) return undefined;
    const outcomes = latestOutcomes(analysis, step.id)(index);
    if (outcomes === undefined) return undefined;
    const ranges = step.judged.bands
      .filter(({ id }) => outcomes.has(id))
      .map((band) => readIn(analysis.procedure, step, band));
    return ranges.every((range) => range !== undefined) ? ranges : undefined;
  };
}

function readIn(procedure: Procedure, step: MeasureStep, band: Band): Interval | undefined {
  const ends = numberEnds(procedure, band, step.unit);
  const low = ends && convert(ends.low, step.unit, step.readingUnit);
  const high = ends && convert(ends.high, step.unit, step.readingUnit);
  return ends && low !== undefined && high !== undefined ? { ...ends, low, high } : undefined;
}
