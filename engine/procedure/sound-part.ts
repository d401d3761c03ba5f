/** The part of a text that has the right shape, so that a draft with mistakes can still be linked and drawn. */
import type { Validator } from "../../schemas/generated/validators.js";

/** Keywords that say something is missing: nothing to take away. */
const MISSING = new Set(["required", "dependentRequired", "anyOf", "minItems", "minProperties", "if"]);
/** A taken-away part may show another mistake behind it; more rounds than this are not worth their time. */
const MOST_ROUNDS = 4;

/** The value without whatever breaks its schema; undefined where nothing is left. Keys may still be missing. */
export function soundPart(value: unknown, validate: Validator): unknown {
  let sound = copyOf(value);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    if (validate(sound)) return sound;
    const wrong = new Set<string>();
    for (const { keyword, instancePath, params, propertyName } of validate.errors ?? []) {
      if (MISSING.has(keyword) && propertyName === undefined) continue;
      const extra =
        propertyName ?? params.propertyName ?? params.additionalProperty ?? params.unevaluatedProperty;
      wrong.add(typeof extra === "string" ? `${instancePath}/${escaped(extra)}` : instancePath);
    }
    if (wrong.size === 0) return sound;
    sound = without(sound, "", wrong);
  }
  return undefined;
}

function escaped(key: string): string {
  return key.replaceAll("~", "~0").replaceAll("/", "~1");
}

function copyOf(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(copyOf);
  if (typeof value !== "object" || value === null) return value;
  const copy: Record<string, unknown> = Object.create(null);
  for (const [key, inner] of Object.entries(value)) copy[key] = copyOf(inner);
  return copy;
}

function without(value: unknown, pointer: string, wrong: ReadonlySet<string>): unknown {
  if (wrong.has(pointer)) return undefined;
  if (Array.isArray(value)) {
    return value.map((inner, index) => without(inner, `${pointer}/${index}`, wrong)).filter(isThere);
  }
  if (typeof value !== "object" || value === null) return value;
  const kept: Record<string, unknown> = Object.create(null);
  for (const [key, inner] of Object.entries(value)) {
    const left = without(inner, `${pointer}/${escaped(key)}`, wrong);
    if (isThere(left)) kept[key] = left;
  }
  return kept;
}

function isThere(value: unknown): boolean {
  return value !== undefined;
}
