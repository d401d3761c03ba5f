/** What a reading means, in the terminal: the word, the numbers, a small picture, what would settle it. */
import { countedEvent } from "../../engine/machine/amend.ts";
import { own } from "../../engine/machine/own.ts";
import type { Run } from "../../engine/machine/run.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { formatQuantity } from "../../engine/quantity/format.ts";
import { functionProblemSentence } from "../../engine/quantity/functions.ts";
import type { JudgedReading } from "../../engine/quantity/judge.ts";
import { shownDigit } from "../kit/shown-digit.ts";
import {
  budgetLines,
  clearText,
  conformanceText,
  correctionText,
  meanText,
  settleText,
  verdictWord,
} from "../kit/verdict-words.ts";
import { limitsText, nearestLimit, type VerdictZone, verdictZones } from "../kit/verdict-zones.ts";
import type { Line } from "./lay-lines.ts";

const WIDEST = 56;

export interface LastReading {
  readonly judged: JudgedReading;
  readonly zones: readonly VerdictZone[];
  readonly seq: number;
}

/** The reading that a run's last event gave, amended ones included; none where it gave no reading. */
export function lastReading(procedure: Procedure, run: Run): LastReading | undefined {
  const seq = run.events.length;
  const row = run.path.find((one) => one.seq === seq);
  const step = row && procedure.steps.get(row.step);
  const judged = row && own(run.readings, row.step);
  if (step?.kind !== "measure" || judged === undefined || countedEvent(run, seq)?.type !== "reading")
    return undefined;
  return { judged, zones: verdictZones(step, judged), seq };
}

/** Why nothing could be worked out of the reading just typed, as a sentence; none where something was. */
export function notWorkedOut(run: Run): string | undefined {
  const row = run.path.find((one) => one.seq === run.events.length);
  const problem = row?.outcome === "cannot" ? own(run.results, row.step)?.problem : undefined;
  return problem && `Nothing can be worked out of that reading: ${functionProblemSentence(problem)}`;
}

/** The lines for it, in a terminal of that width. */
export function readingLines({ judged, zones }: LastReading, width: number): readonly Line[] {
  const inset = (text: string): Line => ({ text, first: "  " });
  return [
    { text: `${verdictWord(judged, zones)}.`, look: "strong" },
    inset(sentence(judged, zones)),
    ...judged.corrections.map((one) =>
      inset(
        `${formatQuantity(one.amount, judged.readingUnit, { lastDigit: judged.lastDigit })} for ${one.kind === "leads" ? "the leads" : "the temperature"} (${correctionText(one, judged.readingUnit)}).`,
      ),
    ),
    ...picture(judged, zones, Math.min(WIDEST, width - 4)),
    ...(judged.verdict === "too-close" && judged.settle.length > 0
      ? [
          inset("What would settle it:"),
          ...judged.settle.map((advice) => ({ text: settleText(advice), first: "  - " })),
          inset("Where the doubt comes from:"),
          ...budgetLines(judged).map((text) => ({ text, first: "  - " })),
        ]
      : []),
  ];
}

/** How sure the latest reading of the run is and where its doubt comes from; none where nothing was read. */
export function doubtLines(procedure: Procedure, run: Run): readonly Line[] {
  const row = run.path.findLast((one) => own(run.readings, one.step) !== undefined);
  const judged = row && own(run.readings, row.step);
  const lines = judged === undefined ? [] : budgetLines(judged);
  if (row === undefined || lines.length === 0) return [];
  return [
    { text: `How sure “${procedure.steps.get(row.step)?.title ?? row.step}” is:` },
    ...lines.map((text) => ({ text, first: "  - " })),
  ];
}

function sentence(judged: JudgedReading, zones: readonly VerdictZone[]): string {
  const quantity = (value: number) => formatQuantity(value, judged.unit);
  const figure = meanText(judged) + formatQuantity(judged.value, judged.unit, shownDigit(judged));
  if (judged.verdict === "too-close")
    return `${figure} against ${nearestLimit(judged.value, zones, quantity)}. With this meter it could be either side. ${clearText(judged)}`.trimEnd();
  const zone = zones.find((one) => one.outcome === judged.picked);
  if (zone === undefined) return `${figure}.`;
  const inside = zones.find((one) => one.tone === "inside");
  const right = zone.tone === "outside" && inside !== undefined ? inside : zone;
  const sure = judged.conformance === null ? "" : ` That is ${conformanceText(judged.conformance)}.`;
  return `${figure}, where ${limitsText(right, quantity)} is ${right.tone === "inside" ? "right" : `“${right.label}”`}.${sure}`;
}

/** Limits as `|`, the zone the reading falls in as `=`, its doubt as `~`, the reading as `^` below. */
function picture(judged: JudgedReading, zones: readonly VerdictZone[], width: number): readonly Line[] {
  const limits = [...new Set(zones.flatMap((zone) => [zone.low, zone.high]))].filter(Number.isFinite);
  if (limits.length === 0 || !Number.isFinite(judged.value)) return [];
  const reach = 2 * (judged.u ?? 0);
  const points = [...limits, judged.value - reach, judged.value + reach];
  const low = Math.min(...points);
  const span = Math.max(...points) - low || 1;
  const column = (value: number) => Math.round(4 + ((value - low) / span) * (width - 9));
  const valueAt = (index: number) => low + ((index - 4) / (width - 9)) * span;
  const zone = zones.find((one) => one.outcome === judged.picked);
  const row = (sign: (index: number) => string) =>
    Array.from({ length: width }, (_, index) => sign(index)).join("");
  const scale = row((index) => {
    if (limits.some((limit) => column(limit) === index)) return "|";
    return zone && valueAt(index) >= zone.low && valueAt(index) <= zone.high ? "=" : "-";
  });
  const doubt = row((index) => {
    if (index === column(judged.value)) return "^";
    return index >= column(judged.value - reach) && index <= column(judged.value + reach) ? "~" : "\u00a0";
  });
  return [
    { text: scale, first: "  " },
    { text: doubt, first: "  " },
  ];
}
