import { readFileSync } from "node:fs";
import { type Parsed, parseText, type RawByKind } from "../../engine/procedure/parse.ts";

/** The samples beside this file, by the kind of file that they are. */
const KINDS = {
  "radiator-fan-stays-off.yaml": "procedure",
  "every-key.yaml": "procedure",
  "heron-35.yaml": "equipment",
  "answers.yaml": "answers",
} as const;
export const RAW_FILES = Object.keys(KINDS) as (keyof typeof KINDS)[];

export function sampleText(name: keyof typeof KINDS): string {
  return readFileSync(new URL(name, import.meta.url), "utf8");
}

export function rawFile(
  name: keyof typeof KINDS,
): Parsed<RawByKind[keyof RawByKind]> & { readonly kind: keyof RawByKind } {
  const kind = KINDS[name];
  return { ...parseText(sampleText(name), name, kind), kind };
}
