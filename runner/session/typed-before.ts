import type { RunEvent } from "../../engine/machine/event.ts";
import { type CardDraft, EMPTY_DRAFT } from "../kit/card-draft.ts";

/** What was typed then, as a draft that can be typed on. */
export function draftOf(event: RunEvent): CardDraft {
  switch (event.type) {
    case "reading":
      return drafted(
        {
          reading: event.reading,
          ...(event.leads === undefined ? {} : { leads: event.leads }),
          ...(event.temperature === undefined ? {} : { temperature: event.temperature }),
        },
        event.waited,
      );
    case "fact":
      if (event.typed === undefined) return EMPTY_DRAFT;
      return drafted(
        Array.isArray(event.value) ? { codes: event.typed } : { reading: event.typed },
        undefined,
      );
    case "specification":
      return drafted({ ...event.limits, source: event.source }, undefined);
    default:
      return EMPTY_DRAFT;
  }
}

/** Fields whose text is words rather than a number with a unit. */
const WORDS: ReadonlySet<string> = new Set(["source", "codes"]);

function drafted(texts: Readonly<Record<string, string>>, waited: number | undefined): CardDraft {
  const typed: Record<string, string> = {};
  const unit: Record<string, string> = {};
  for (const [field, text] of Object.entries(texts)) {
    const [, number, written] = /^(\S+)\s+(\S.*)$/.exec(text) ?? [];
    if (WORDS.has(field) || number === undefined || written === undefined) typed[field] = text;
    else {
      typed[field] = number;
      unit[field] = written;
    }
  }
  return { ...EMPTY_DRAFT, typed, unit, ...(waited === undefined ? {} : { waited }) };
}
