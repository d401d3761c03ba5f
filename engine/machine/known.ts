/** Facts and specifications told during a run. */
import type { FactValue, LimitWord, Procedure, Specification } from "../procedure/model.ts";
import { parseReading } from "../quantity/parse-reading.ts";
import type { Quantity } from "../quantity/quantity.ts";
import type { Applied } from "./apply.ts";
import type { RunEvent } from "./event.ts";
import { withEntry } from "./own.ts";
import type { PathRow, Run } from "./run.ts";

/** The run with the fact known, or a refusal where the value is none of the choices or no number. */
export function acceptFact(
  procedure: Procedure,
  run: Run,
  event: RunEvent & { readonly type: "fact" },
  seq: number,
): Applied {
  const fact = procedure.facts.get(event.fact);
  const value = event.value;
  const fits =
    isUnknown(value) ||
    (fact?.list
      ? typeof value === "object"
      : fact?.measure
        ? typeof value === "number" && Number.isFinite(value)
        : typeof value === "string" && fact?.choices.some((choice) => choice.id === value) === true);
  if (fact === undefined || !fits) return { ok: false, refusal: { code: "bad-fact", fact: event.fact } };
  const row: PathRow = {
    step: `facts/${event.fact}`,
    outcome: factWord(value),
    ...(event.typed === undefined ? {} : { reading: event.typed }),
    ...(fact.measure ? { unit: fact.measure.unit } : {}),
    seq,
  };
  return {
    ok: true,
    run: { ...run, facts: withEntry(run.facts, event.fact, value), path: [...run.path, row] },
  };
}

/** A fact's value as one word of a path. */
function factWord(value: FactValue): string {
  if (isUnknown(value)) return "unknown";
  return typeof value === "object" ? (value as readonly string[]).join(" ") || "none" : String(value);
}

/** Whether the technician said that the fact is not known. */
function isUnknown(value: FactValue): value is { readonly unknown: true } {
  return typeof value === "object" && "unknown" in value;
}

/**
 * The run with the specification's limits known, or a refusal: a limit that is no number or leaves nothing
 * within, no source. What a run is told goes before what the sheet or the procedure says.
 */
export function acceptSpecification(
  procedure: Procedure,
  run: Run,
  event: RunEvent & { readonly type: "specification" },
): Applied {
  const { specification: id, source } = event;
  const specification = procedure.specifications.get(id);
  const bad = (limit: string): Applied => ({
    ok: false,
    refusal: { code: "bad-specification", specification: id, limit },
  });
  const unit = specification && unitOfLimits(procedure, specification);
  const words = specification?.open?.limits ?? WORDS.filter((word) => event.limits[word] !== undefined);
  if (unit === undefined || words.length === 0) return bad("");
  if (source.trim() === "") return { ok: false, refusal: { code: "source-needed", specification: id } };
  const limits: Partial<Record<LimitWord, Quantity>> = {};
  for (const word of words) {
    const parsed = parseReading(event.limits[word] ?? "", unit);
    if (!parsed.ok || !Number.isFinite(parsed.reading.value)) return bad(word);
    limits[word] = { value: parsed.reading.value, unit };
  }
  if (leavesNothing(limits)) return bad(limits.to === undefined ? "under" : "to");
  return { ok: true, run: { ...run, specifications: withEntry(run.specifications, id, { limits, source }) } };
}

const WORDS: readonly LimitWord[] = ["from", "over", "to", "under"];

function leavesNothing(limits: Partial<Record<LimitWord, Quantity>>): boolean {
  const low = (limits.from ?? limits.over)?.value ?? -Infinity;
  const high = (limits.to ?? limits.under)?.value ?? Infinity;
  return low > high || (low === high && (limits.over !== undefined || limits.under !== undefined));
}

/** The unit that a specification is written in, cited limits followed. */
function unitOfLimits(procedure: Procedure, specification: Specification): string | undefined {
  if (specification.open !== undefined) return specification.open.unit;
  for (const end of [specification.low, specification.high]) {
    if (end?.limit.kind === "fixed") return end.limit.quantity.unit;
    if (end?.limit.kind === "table") return end.limit.rows[0]?.[1].unit;
    const cited = end && procedure.specifications.get(end.limit.specification);
    const unit = cited && unitOfLimits(procedure, cited);
    if (unit !== undefined) return unit;
  }
  return undefined;
}
