import { countedEvent } from "../../engine/machine/amend.ts";
import { own } from "../../engine/machine/own.ts";
import type { PutBackItem } from "../../engine/machine/prompt.ts";
import { putBackList } from "../../engine/machine/prompt-of.ts";
import type { PathRow, Run } from "../../engine/machine/run.ts";
import { IMPLIED_ENDS, type Procedure, type Repair, type Step } from "../../engine/procedure/model.ts";
import { formatQuantity } from "../../engine/quantity/format.ts";
import { posterior } from "../../engine/reasoning/posterior.ts";
import { shownDigit } from "../kit/shown-digit.ts";
import { outcomeText, readingText, rowTitle, whyNothing } from "../kit/trail-items.ts";
import { limitsText, type VerdictZone, verdictZones } from "../kit/verdict-zones.ts";

/** One line of the way walked, in words. */
export interface ReportRow {
  readonly seq: number;
  readonly at: number;
  readonly title: string;
  readonly reading: string;
  readonly result: string;
  /** The value that was judged where it is not the one read, and the limits it was held against. */
  readonly judged: string;
  readonly note: string;
}

/** What a close-out report says of a run. */
export interface Report {
  readonly rows: readonly ReportRow[];
  /** Proven faults with what they were repaired by. */
  readonly faults: readonly { readonly title: string; readonly probability: number }[];
  readonly struck: readonly string[];
  readonly repairs: readonly Repair[];
  readonly verification: readonly ReportRow[];
  readonly putBack: readonly PutBackItem[];
  readonly endText: string | undefined;
}

/** The report of a run, open or ended. */
export function reportOf(procedure: Procedure, run: Run): Report {
  const rows = run.path.flatMap((row) => rowOf(procedure, run, row));
  const repaired = run.path.findLastIndex((row) => row.outcome === "repaired");
  const repairSeq = run.path[repaired]?.seq;
  const odds = posterior(procedure, run).faults;
  const step = procedure.steps.get(run.step);
  return {
    rows,
    faults: (run.concluded ?? [])
      .filter((fault) => !run.struck.includes(fault))
      .flatMap((id) => {
        const fault = procedure.faults.get(id);
        const probability = odds.find((one) => one.fault === id)?.probability ?? 0;
        return fault ? [{ title: fault.title, probability }] : [];
      }),
    struck: run.struck.map((id) => procedure.faults.get(id)?.title ?? id),
    repairs: repairsMade(procedure, run),
    verification: repairSeq === undefined ? [] : rows.filter((row) => row.seq > repairSeq),
    putBack: putBackList(procedure, run),
    endText: step?.kind === "end" && !isImplied(step.id) ? step.say : undefined,
  };
}

function isImplied(id: string): boolean {
  return id === IMPLIED_ENDS.cannot || id === IMPLIED_ENDS.stop;
}

function rowOf(procedure: Procedure, run: Run, row: PathRow): readonly ReportRow[] {
  const step = procedure.steps.get(row.step);
  const event = countedEvent(run, row.seq);
  if (step?.kind === "call" || step?.kind === "end" || event === undefined) return [];
  // What nothing came of was typed all the same.
  const typed = row.reading ?? (event.type === "reading" ? event.reading : undefined);
  return [
    {
      seq: row.seq,
      at: event.at,
      title: rowTitle(procedure, row, step),
      reading: typed === undefined ? "" : readingText({ ...row, reading: typed }, step),
      result: outcomeText(procedure, row, step),
      judged: judgedText(run, row, step),
      note: noteOf(run, row, event),
    },
  ];
}

/** What stands behind a result: the reason given, why nothing came of a reading, or that it was a close call. */
function noteOf(run: Run, row: PathRow, event: NonNullable<ReturnType<typeof countedEvent>>): string {
  if (event.type === "cannot" || event.type === "stop") return event.reason;
  const notes = [
    row.chosen ? "taken by choice" : "",
    // A close call that took its own branch says so in its result already.
    row.verdict === "too-close" && row.outcome !== "borderline" ? "too close to call" : whyNothing(run, row),
  ];
  return notes.filter((note) => note !== "").join("; ");
}

/** Only the latest reading of a step still has its limits; of an earlier one the corrected value is kept. */
function judgedText(run: Run, row: PathRow, step: Step | undefined): string {
  if (step?.kind !== "measure" || row.corrected === undefined || row.unit === undefined) return "";
  const { unit, corrected } = row;
  const quantity = (value: number) => formatQuantity(value, unit);
  const isLatest = run.path.findLast((one) => one.step === row.step && one.corrected !== undefined) === row;
  const judged = isLatest ? own(run.readings, row.step) : undefined;
  const changed = step.correct !== undefined || step.value !== undefined || step.unit !== step.readingUnit;
  const zones = judged === undefined ? [] : verdictZones(step, judged);
  const zone =
    zones.find(({ tone }) => tone === "inside") ?? zones.find((one) => one.outcome === judged?.picked);
  return [
    ...(changed
      ? [`corrected ${formatQuantity(corrected, unit, judged === undefined ? {} : shownDigit(judged))}`]
      : []),
    ...(zone === undefined ? [] : [`${limitsName(zone, row)}${limitsText(zone, quantity)}`]),
  ].join("; ");
}

/** What the limits are of; nothing where the result beside them names the band already. */
function limitsName({ tone, outcome, label }: VerdictZone, row: PathRow): string {
  if (tone === "inside") return "right is ";
  return outcome === row.outcome ? "" : `“${label}” is `;
}

function repairsMade(procedure: Procedure, run: Run): readonly Repair[] {
  const ids = run.path
    .filter((row) => row.outcome === "repaired")
    .flatMap((row) => {
      const step = procedure.steps.get(row.step);
      return step?.kind === "conclude" ? step.repairs : [];
    });
  return [...new Set(ids)].flatMap((id) => procedure.repairs.get(id) ?? []);
}
