/** A way through a procedure in words, for chips and marks. */
import type { Finding, WitnessStep } from "../../engine/procedure/finding.ts";
import type { Procedure } from "../../engine/procedure/model.ts";
import { limitsText } from "../../engine/soundness/sample-limits.ts";

export interface WayRow {
  readonly step: string;
  readonly outcome: string;
  readonly reading?: string;
  readonly limits?: WitnessStep["limits"];
  /** A condition of the way that the values shown do not meet. */
  readonly hangsOn?: string;
}

/** Returns the way that shows a finding, up to the step where it shows and the reading that it shows by. */
export function wayOf({ witness, step, params }: Finding): readonly WayRow[] {
  if (!witness) return [];
  if (step === undefined || witness.at(-1)?.step === step) return witness;
  const { reading } = params;
  return [...witness, { step, outcome: "", ...(reading === undefined ? {} : { reading: String(reading) }) }];
}

/** Returns what a row of a way says: the step and what came of it, `Supply at plug 22.0 V`. */
export function wayWords(procedure: Procedure | undefined, row: WayRow): string {
  return `${stepWords(procedure, row.step)} ${row.reading ?? outcomeWords(procedure, row)}`.trim();
}

/** Returns what a run is told before a row, `Feed at the pump from 12 V to 14 V` for each specification. */
export function toldWords(procedure: Procedure | undefined, { limits = {} }: WayRow): readonly string[] {
  return Object.entries(limits).map(([id, words]) => {
    const title = procedure?.specifications.get(id)?.title ?? id;
    return `${title} ${limitsText(words)}`;
  });
}

/** Returns a step's or fact's title, its id where it has none. */
export function stepWords(procedure: Procedure | undefined, step: string): string {
  if (step.startsWith("facts/")) {
    const id = step.slice("facts/".length);
    return procedure?.facts.get(id)?.title ?? id;
  }
  return procedure?.steps.get(step)?.title ?? step;
}

const FIXED: ReadonlyMap<string, string> = new Map([
  ["cannot", "cannot be done"],
  ["stop", "left"],
  ["borderline", "too close to call"],
  ["taken", "noted"],
  ["repaired", "repaired"],
  ["concluded", "concluded"],
]);

function outcomeWords(procedure: Procedure | undefined, { step: id, outcome }: WayRow): string {
  const step = procedure?.steps.get(id);
  if (step?.kind === "ask") {
    const label = step.answers.find((answer) => answer.id === outcome)?.label;
    if (label !== undefined) return label;
  }
  if (step?.kind === "measure" && step.judged.by === "bands") {
    const label = step.judged.bands.find((band) => band.id === outcome)?.label;
    if (label !== undefined) return label;
  }
  return FIXED.get(outcome) ?? outcome;
}
