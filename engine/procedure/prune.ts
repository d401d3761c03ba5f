/** Takes what has a wrong type out of a draft, so that the rest can be trusted to have its types. */
import type { SchemaError, Validator } from "../../schemas/generated/validators.js";
import { isMap, pathOf, valueAt } from "./schema-findings.ts";
import type { RawValue } from "./to-raw.ts";

/**
 * Whether the draft is now of its type, keys that are missing left aside. Unknown keys and values of a wrong
 * type or word are gone from it, in place; a list ends before its first wrong item, so that indexes still
 * tell the place in the text.
 */
export function prune(raw: RawValue, validate: Validator): boolean {
  for (let round = 0; round < 8; round += 1) {
    if (validate(raw)) return true;
    const wrong = (validate.errors ?? []).filter(breaksType);
    if (wrong.length === 0) return true;
    for (const error of wrong) remove(raw, error);
  }
  return false;
}

function breaksType({ keyword, schemaPath }: SchemaError): boolean {
  return TYPE_KEYWORDS.has(keyword) && !schemaPath.endsWith("/not");
}

const TYPE_KEYWORDS = new Set([
  "type",
  "enum",
  "const",
  "additionalProperties",
  "unevaluatedProperties",
  "minItems",
  "maxItems",
]);

function remove(raw: RawValue, error: SchemaError): void {
  const unknown = error.params.additionalProperty ?? error.params.unevaluatedProperty;
  const path = pathOf(raw, error.instancePath);
  if (unknown !== undefined) {
    const holder = valueAt(raw, path);
    if (isMap(holder)) delete holder[String(unknown)];
    return;
  }
  const holder = valueAt(raw, path.slice(0, -1));
  const last = path.at(-1);
  if (Array.isArray(holder)) holder.length = Math.min(holder.length, Number(last));
  else if (isMap(holder) && last !== undefined) delete holder[String(last)];
}
