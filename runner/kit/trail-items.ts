import { countedEvent } from "../../engine/machine/amend.ts";
import { own } from "../../engine/machine/own.ts";
import type { PathRow, Run } from "../../engine/machine/run.ts";
import type { Procedure, Step } from "../../engine/procedure/model.ts";
import { functionProblemSentence } from "../../engine/quantity/functions.ts";
import { displayUnit } from "../../engine/quantity/units.ts";

/** One earlier answer of a run. */
export interface TrailItem {
  readonly seq: number;
  readonly label: string;
  /** As typed, with its unit's sign. */
  readonly reading?: string;
  /** The answer or band in words. */
  readonly value: string;
  readonly amendable: boolean;
}

const WORDS: Readonly<Record<string, string>> = {
  below: "below",
  within: "within",
  above: "above",
  taken: "noted",
  borderline: "too close",
  done: "done",
  repaired: "repaired",
  concluded: "concluded",
  cannot: "could not",
  stop: "left",
  unknown: "not known",
  "fault-found": "fault found",
  "no-fault-found": "no fault found",
  referred: "handed on",
  unresolved: "not resolved",
};

/** The earlier answers of a run, first to last; calls and the end are not answers. */
export function trailItems(procedure: Procedure, run: Run): readonly TrailItem[] {
  return run.path.flatMap((row) => {
    const step = procedure.steps.get(row.step);
    if (step?.kind === "call" || step?.kind === "end" || countedEvent(run, row.seq) === undefined) return [];
    return {
      seq: row.seq,
      label: rowTitle(procedure, row, step),
      ...(row.reading === undefined ? {} : { reading: readingText(row, step) }),
      value: [outcomeText(procedure, row, step), whyNothing(run, row)]
        .filter((part) => part !== "")
        .join(": ")
        .concat(row.chosen ? ", by choice" : ""),
      amendable: row.outcome !== "stop",
    };
  });
}

/** Why nothing could be worked out of a reading, as a sentence; empty where something could. */
export function whyNothing(run: Run, { step, outcome }: PathRow): string {
  const problem = outcome === "cannot" ? own(run.results, step)?.problem : undefined;
  return problem === undefined ? "" : functionProblemSentence(problem);
}

/** The title of a path's row: the step's or the fact's. */
export function rowTitle(procedure: Procedure, row: PathRow, step = procedure.steps.get(row.step)): string {
  if (step?.kind === "conclude")
    return step.faults.map((id) => procedure.faults.get(id)?.title ?? id).join(", or ");
  if (step !== undefined) return step.title;
  const fact = procedure.facts.get(row.step.replace(/^facts\//, ""));
  return fact?.title ?? row.step;
}

/** A row's reading with the unit's sign, the unit added where it was not typed. */
export function readingText(row: PathRow, step: Step | undefined): string {
  const typed = row.reading ?? "";
  const unit = step?.kind === "measure" ? step.readingUnit : row.unit;
  return typed
    .split("; ")
    .map((one) => oneReadingText(one, unit))
    .join("; ");
}

function oneReadingText(typed: string, unit: string | undefined): string {
  const [, number = typed, written = ""] = /^(\S+)\s+(\S.*)$/.exec(typed) ?? [];
  if (written !== "") return `${number}\u00a0${displayUnit(written)}`;
  return unit === undefined || /OL$/.test(typed) ? typed : `${typed}\u00a0${displayUnit(unit)}`;
}

/** A row's outcome in words; nothing beside a measured fact, whose number says it all. */
export function outcomeText(
  procedure: Procedure,
  row: PathRow,
  step = procedure.steps.get(row.step),
): string {
  if (step !== undefined) return outcomeWords(step, row.outcome);
  const fact = procedure.facts.get(row.step.replace(/^facts\//, ""));
  const choice = fact?.choices.find((one) => one.id === row.outcome);
  if (choice !== undefined) return choice.label;
  return row.reading !== undefined && fact?.measure !== undefined ? "" : outcomeWords(undefined, row.outcome);
}

/** A step's outcome in words: the answer's or band's label, else the word of a fixed outcome. */
export function outcomeWords(step: Step | undefined, outcome: string): string {
  if (step?.kind === "ask") {
    const answer = step.answers.find((one) => one.id === outcome);
    if (answer !== undefined) return answer.label;
  }
  if (step?.kind === "measure" && step.judged.by === "bands") {
    const band = step.judged.bands.find((one) => one.id === outcome);
    if (band !== undefined) return band.label;
  }
  return (Object.hasOwn(WORDS, outcome) ? WORDS[outcome] : undefined) ?? outcome;
}
