/** Facts and specifications told during a run. */
import type { FactValue, LimitWord, Procedure } from "../procedure/model.ts";
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
export function factWord(value: FactValue): string {
  if (isUnknown(value)) return "unknown";
  return typeof value === "object" ? (value as readonly string[]).join(" ") || "none" : String(value);
}

/** Whether the technician said that the fact is not known. */
export function isUnknown(value: FactValue): value is { readonly unknown: true } {
  return typeof value === "object" && "unknown" in value;
}

/** The run with the specification's limits known, or a refusal that names the limit which is no reading. */
export function acceptSpecification(
  procedure: Procedure,
  run: Run,
  event: RunEvent & { readonly type: "specification" },
): Applied {
  const open = procedure.specifications.get(event.specification)?.open;
  const limits: Partial<Record<LimitWord, Quantity>> = {};
  for (const word of open?.limits ?? []) {
    const parsed = parseReading(event.limits[word] ?? "", open?.unit ?? "");
    if (!parsed.ok || !Number.isFinite(parsed.reading.value))
      return {
        ok: false,
        refusal: { code: "bad-specification", specification: event.specification, limit: word },
      };
    limits[word] = { value: parsed.reading.value, unit: open?.unit ?? "" };
  }
  return {
    ok: true,
    run: {
      ...run,
      specifications: withEntry(run.specifications, event.specification, { limits, source: event.source }),
    },
  };
}
