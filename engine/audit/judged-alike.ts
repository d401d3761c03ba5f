/** Whether two texts judge a measurement alike, and what a recorded reading is by the limits of another text. */
import { numericBands } from "../machine/limits.ts";
import type { Run } from "../machine/run.ts";
import { NOTHING_KNOWN } from "../procedure/expression.ts";
import type {
  Expression,
  Limit,
  Limits,
  MeasureStep,
  Outcome,
  Procedure,
  StepId,
} from "../procedure/model.ts";
import type { JudgedReading } from "../quantity/judge.ts";
import type { Quantity } from "../quantity/quantity.ts";
import { convert, convertDifference } from "../quantity/units.ts";
import { bandOf, sharesOf } from "../quantity/verdict.ts";

/** What of a run a reading is judged by, beside the text: the reading, and limits that were told. */
export interface Recorded {
  readonly judged: JudgedReading | undefined;
  readonly specifications: Run["specifications"];
}

/**
 * What a measurement of one text is by another text, whose step of that id is `ours`; undefined where the record
 * alone does not say. Where both judge alike it is what it was. Where only the limits differ and are plain numbers,
 * the recorded value is held against ours, with the doubt it was read with. Another quantity, formula or correction,
 * a table, a limit that nobody told, and a close call that ours leads elsewhere are left open.
 */
export function outcomeBy(
  procedure: Procedure,
  ours: MeasureStep,
  walkedOn: Procedure,
  theirs: MeasureStep,
  was: Outcome,
  recorded: Recorded,
): Outcome | undefined {
  const text = underSameSheet(procedure, walkedOn);
  // A sheet may put the shop's own instrument in the place of the text's: its figures are no change of the text.
  const withLeads = procedure.sheet === undefined && walkedOn.sheet === undefined;
  const here = new Judging(text, ours.unit, withLeads);
  const there = new Judging(walkedOn, ours.unit, withLeads);
  if (!isAlike(here.value(ours), there.value(theirs))) return undefined;
  if (isAlike(here.limits(ours), there.limits(theirs))) return was;
  const bands = numericBands(text, recorded, ours, NOTHING_KNOWN);
  const { judged } = recorded;
  if (bands === undefined || judged === undefined) return undefined;
  const value = convert(judged.value, judged.unit, ours.unit);
  const u = judged.u === undefined ? undefined : convertDifference(judged.u, judged.unit, ours.unit);
  const picked = value === undefined ? undefined : bandOf(value, bands);
  if (value === undefined || picked === undefined) return undefined;
  if (!ours.outcomes.has("borderline") || !Number.isFinite(value) || judged.conformance === null)
    return picked;
  const share = u === undefined ? 0 : (sharesOf(value, u, bands)[picked] ?? 0);
  return share < (ours.decideAt ?? procedure.decideAt) ? undefined : picked;
}

/** The text with the equipment sheet of the other one's run over its limits: it would have judged by them, too. */
function underSameSheet(procedure: Procedure, walkedOn: Procedure): Procedure {
  const laid = [...walkedOn.specifications].filter(
    ([id, { given }]) => given === "equipment" && procedure.specifications.get(id)?.given === "procedure",
  );
  return laid.length === 0
    ? procedure
    : { ...procedure, specifications: new Map([...procedure.specifications, ...laid]) };
}

function isAlike(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** What a text judges by, as plain data without its words: equal data judge alike. Limits in `unit`. */
class Judging {
  readonly #procedure: Procedure;
  readonly #unit: string;
  readonly #withLeads: boolean;

  constructor(procedure: Procedure, unit: string, withLeads: boolean) {
    this.#procedure = procedure;
    this.#unit = unit;
    this.#withLeads = withLeads;
  }

  /** From what is typed to what is judged. */
  value(step: MeasureStep): unknown {
    return this.#value(step, new Set());
  }

  #value(step: MeasureStep, seen: ReadonlySet<StepId>): unknown {
    const { quantity, value, correct, unit, readingUnit } = step;
    const specification =
      step.judged.by === "specification"
        ? this.#procedure.specifications.get(step.judged.specification)
        : undefined;
    return [
      quantity,
      value && [this.#expression(value, new Set([...seen, step.id])), unit, readingUnit],
      correct && [
        correct.leads,
        this.#withLeads && correct.leads === "subtract" ? this.#leads(step) : undefined,
        correct.temperature?.metal,
        correct.temperature && inUnit(specification?.at ?? correct.to, "degC"),
      ],
    ];
  }

  /** The stated figures that are taken off, range by range. */
  #leads({ instrument = "", quantity }: MeasureStep): unknown {
    const ranges = this.#procedure.instruments.get(instrument)?.accuracy.get(quantity);
    return ranges?.map(({ upTo, leads }) => [inUnit(upTo, "ohm"), inUnit(leads, "ohm")]);
  }

  /** What is judged by it, by outcome; words, and the order written, are of no account. */
  limits({ judged }: MeasureStep): unknown {
    switch (judged.by) {
      case "bands":
        return judged.bands
          .map((band) => [band.id, this.#ends(band, new Set())])
          .toSorted(([a], [b]) => (String(a) < String(b) ? -1 : 1));
      case "specification":
        return this.#specification(judged.specification, new Set());
      case "nothing":
        return "nothing";
    }
  }

  #ends({ low, high }: Limits, seen: ReadonlySet<string>): unknown {
    return [low, high].map((end) => end && [this.#limit(end.limit, seen), end.included]);
  }

  #specification(id: string, seen: ReadonlySet<string>): unknown {
    const specification = this.#procedure.specifications.get(id);
    if (specification === undefined || seen.has(id)) return id;
    // Open: the run's own answer under this name is what counts.
    if (specification.open !== undefined) return [id, specification.open.limits.toSorted()];
    return this.#ends(specification, new Set([...seen, id]));
  }

  #limit(limit: Limit, seen: ReadonlySet<string>): unknown {
    switch (limit.kind) {
      case "fixed":
        return inUnit(limit.quantity, this.#unit);
      case "cited":
        return [limit.end, this.#specification(limit.specification, seen)];
      case "table":
        return [
          this.#expression(limit.by, new Set()),
          limit.rows.map(([key, value]) => [key.value, inUnit(value, this.#unit)]),
        ];
    }
  }

  /** With the units that its facts and readings are taken in, and how those readings are reckoned. */
  #expression({ text, scope, facts, readings }: Expression, seen: ReadonlySet<StepId>): unknown {
    const steps = readings.map((id) => {
      const step = this.#procedure.steps.get(id);
      if (step?.kind !== "measure" || seen.has(id)) return id;
      return [id, step.unit, step.readingUnit, this.#value(step, seen)];
    });
    const units = facts.map((id) => [id, this.#procedure.facts.get(id)?.measure?.unit]);
    return [text, scope, steps, units];
  }
}

/** The number in a unit; with its own one where it can't be converted. */
function inUnit(quantity: Quantity | undefined, unit: string): unknown {
  return quantity && (convert(quantity.value, quantity.unit, unit) ?? quantity);
}
