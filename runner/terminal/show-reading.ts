/** What a reading means, in the terminal: the word, the numbers, a small picture, what would settle it. */
import { own } from "../../engine/machine/own.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { formatQuantity } from "../../engine/quantity/format.ts";
import type { JudgedReading } from "../../engine/quantity/judge.ts";
import { shownDigit } from "../kit/shown-digit.ts";
import { conformanceText, settleText, verdictWord } from "../kit/verdict-words.ts";
import { limitsText, type VerdictZone, verdictZones } from "../kit/verdict-zones.ts";

const WIDTH = 56;

/** The lines for the reading that the last event gave; none where it gave no reading. */
export function readingLines(procedure: Procedure, before: Run, after: Run): readonly string[] {
  const row = after.path.slice(before.path.length).find((one) => one.reading !== undefined);
  const step = row && procedure.steps.get(row.step);
  const judged = row && own(after.readings, row.step);
  if (step?.kind !== "measure" || judged === undefined) return [];
  const zones = verdictZones(step, judged);
  const quantity = (value: number) => formatQuantity(value, judged.unit);
  const zone = zones.find((one) => one.outcome === judged.picked);
  return [
    verdictWord(judged, zones),
    `  ${formatQuantity(judged.value, judged.unit, shownDigit(judged))}${zone === undefined ? "" : `: ${zone.label} is ${limitsText(zone, quantity)}`}${
      judged.conformance === null ? "" : `; ${conformanceText(judged.conformance)}`
    }`,
    ...judged.corrections.map(
      (one) =>
        `  ${formatQuantity(one.amount, judged.readingUnit, { lastDigit: judged.lastDigit })} for ${one.kind === "leads" ? "the leads" : "the temperature"} (${one.by})`,
    ),
    ...picture(judged, zones).map((line) => `  ${line}`),
    ...(judged.verdict === "too-close" && judged.settle.length > 0
      ? ["  What would settle it:", ...judged.settle.map((advice) => `    ${settleText(advice)}`)]
      : []),
  ];
}

/** Limits as `|`, the zone the reading falls in as `=`, its doubt as `~`, the reading as `^` below. */
function picture(judged: JudgedReading, zones: readonly VerdictZone[]): readonly string[] {
  const limits = [...new Set(zones.flatMap((zone) => [zone.low, zone.high]))].filter(Number.isFinite);
  if (limits.length === 0 || !Number.isFinite(judged.value)) return [];
  const reach = 2 * (judged.u ?? 0);
  const points = [...limits, judged.value - reach, judged.value + reach];
  const low = Math.min(...points);
  const span = Math.max(...points) - low || 1;
  const column = (value: number) => Math.round(4 + ((value - low) / span) * (WIDTH - 9));
  const value = (index: number) => low + ((index - 4) / (WIDTH - 9)) * span;
  const zone = zones.find((one) => one.outcome === judged.picked);
  const scale = Array.from({ length: WIDTH }, (_, index) =>
    limits.some((limit) => column(limit) === index)
      ? "|"
      : zone && value(index) >= zone.low && value(index) <= zone.high
        ? "="
        : "-",
  ).join("");
  const doubt = Array.from({ length: WIDTH }, (_, index) =>
    index === column(judged.value)
      ? "^"
      : index >= column(judged.value - reach) && index <= column(judged.value + reach)
        ? "~"
        : " ",
  )
    .join("")
    .trimEnd();
  return [scale, doubt];
}
