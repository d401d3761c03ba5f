/**
 * Text → what it says and what is wrong with it. Nothing is thrown: a text that is no procedure gives one
 * finding; a draft with mistakes gives as much of itself as has its right types.
 */
import type { RawAnswers } from "../../schemas/generated/answers.ts";
import type { RawEquipment } from "../../schemas/generated/equipment.ts";
import type { RawProcedure } from "../../schemas/generated/procedure.ts";
import {
  type Validator,
  validateAnswers,
  validateEquipment,
  validateProcedure,
} from "../../schemas/generated/validators.js";
import { MAX_BYTES, refused, tooLarge } from "./decode-text.ts";
import type { Finding } from "./finding.ts";
import { commaHint, yamlHints } from "./hints.ts";
import { prune } from "./prune.ts";
import { isMap, schemaFindings } from "./schema-findings.ts";
import type { DocumentKind } from "./shapes.ts";
import { createSource, type Path, type Source } from "./source.ts";
import { type RawValue, toRaw } from "./to-raw.ts";
import { readYaml } from "./yaml-text.ts";

const MAX_STEPS = 20_000;
const MAX_FINDINGS = 200;
/** Of the schema's errors no more are looked at; several of them make one finding. */
const MAX_ERRORS = 2_000;

export interface Parsed<Raw> {
  readonly source: Source;
  /** In the order of the text. */
  readonly findings: readonly Finding[];
  /**
   * What the text says, as far as it has the right types: every value that is there has the type that it
   * should have, but keys may be missing, each with a finding. Absent where the text is no map of keys.
   * Objects have no prototype.
   */
  readonly raw?: Raw;
}

export interface RawByKind {
  readonly procedure: RawProcedure;
  readonly equipment: RawEquipment;
  /** Plain scalars are their source text: `26.10` keeps its zero. */
  readonly answers: RawAnswers;
}

const VALIDATORS: Readonly<Record<DocumentKind, Validator>> = {
  procedure: validateProcedure,
  equipment: validateEquipment,
  answers: validateAnswers,
};

/**
 * The procedure, equipment sheet or answers of a text, with the findings of text and shape: `not-procedure`
 * (then the only one, but for a tag), `plain-hint`, `unknown-name`, `missing-key`, `wrong-shape`, `bad-quantity`.
 */
export function parseText<Kind extends DocumentKind>(
  text: string,
  file: string,
  kind: Kind,
): Parsed<RawByKind[Kind]> {
  const early = refusedEarly(text, file, kind);
  if (early) return { source: createSource(text, file), findings: [early] };
  const read = readYaml(text);
  if ("refusal" in read) {
    const { why, at } = read.refusal;
    return { source: createSource(text, file), findings: [refused(file, { why, kind }, [at, at])] };
  }
  const source = createSource(text, file, read.document);
  const made = toRaw(read.document, file, kind === "answers");
  const whole = made.refused ?? refusedWhole(made.value, kind);
  if (whole) {
    const { path, ...params } = whole;
    const finding: Finding = {
      code: "not-procedure",
      severity: "error",
      params: { ...params, kind },
      node: { file, path },
    };
    return { source, findings: [finding] };
  }
  const hints = yamlHints(read.document, source);
  const { findings: shape, usable } = checkShape(made.value, source, kind);
  const guessed = hints.some(({ params }) => GUESSWORK.has(String(params.hint)));
  const broken = [
    ...hints,
    ...made.findings.filter(({ params }) => !(guessed && params.hint === "repeated")),
  ];
  const findings = ordered([...broken, ...withoutCascades(shape, broken, source)], source);
  return { source, findings, ...(usable ? { raw: made.value as unknown as RawByKind[Kind] } : {}) };
}

function refusedEarly(text: string, file: string, kind: DocumentKind): Finding | undefined {
  if (text.length > MAX_BYTES) return tooLarge(file, text.length);
  const zero = text.indexOf("\0");
  if (zero >= 0) return refused(file, { why: "binary", kind }, [zero, zero + 1]);
  if (text.trim() === "") return refused(file, { why: "empty", kind });
  return undefined;
}

function refusedWhole(
  value: RawValue,
  kind: DocumentKind,
):
  | { readonly why: string; readonly path: Path; readonly count?: number; readonly limit?: number }
  | undefined {
  if (value === null) return { why: "empty", path: [] };
  if (!isMap(value)) return { why: "not-a-map", path: [] };
  const steps = kind === "procedure" && Object.hasOwn(value, "steps") ? value.steps : undefined;
  const count = isMap(steps) ? Object.keys(steps).length : 0;
  if (count > MAX_STEPS) return { why: "too-many-steps", path: ["steps"], count, limit: MAX_STEPS };
  return undefined;
}

function checkShape(
  value: RawValue,
  source: Source,
  kind: DocumentKind,
): { readonly findings: readonly Finding[]; readonly usable: boolean } {
  const validate = VALIDATORS[kind];
  if (validate(value)) return { findings: [], usable: true };
  const errors = (validate.errors ?? []).slice(0, MAX_ERRORS);
  const found = schemaFindings(kind, value, errors, source.file);
  const findings = found.map((finding) => commaHint(finding, source) ?? finding);
  return { findings, usable: prune(value, validate) };
}

/** Findings of shape without those that a broken line makes: around it, and in the entry it stands in. */
function withoutCascades(
  findings: readonly Finding[],
  broken: readonly Finding[],
  source: Source,
): readonly Finding[] {
  const told = new Set(broken.map(({ node }) => JSON.stringify(node.path)));
  const spans = broken.flatMap(({ span, params }) => (span && params.hint !== "repeated" ? [span] : []));
  // What an open bracket or quote, a tab or a wrong indent makes of the rest is anybody's guess.
  if (broken.some(({ params }) => GUESSWORK.has(String(params.hint)))) return [];
  const places = spans.map((span) => source.placeOf(...span));
  const lines = new Set(places.flatMap(({ line }) => [line - 1, line, line + 1]));
  const entries = new Set(places.map(({ from }) => entryOf(source.pathAt(from))));
  return findings.filter(({ node: { path }, atKey }) => {
    if (path.length > 0 && told.has(JSON.stringify(path))) return false;
    if (places.length === 0) return true;
    const { line } = source.place(path, atKey);
    return path.length > 0 && !lines.has(line) && !(path.length > 1 && entries.has(entryOf(path)));
  });
}

/** Hints after which what a text holds is anybody's guess. */
export const GUESSWORK: ReadonlySet<string> = new Set(["unclosed", "tab", "indent"]);

function entryOf(path: Path): string {
  return JSON.stringify(path.slice(0, 2));
}

/** The findings by place in the text, at most so many, with a note that there are more. */
function ordered(findings: readonly Finding[], source: Source): readonly Finding[] {
  const placed = findings.map((finding) => ({ finding, from: startOf(finding, source) }));
  placed.sort((one, other) => one.from - other.from);
  const first = placed.slice(0, MAX_FINDINGS).map(({ finding }) => finding);
  const more = placed.length - first.length;
  if (more === 0) return first;
  const node = { file: source.file, path: [] };
  return [
    ...first,
    { code: "plain-hint", severity: "note", params: { hint: "more", count: more }, node, span: [0, 0] },
  ];
}

function startOf({ span, node, atKey }: Finding, source: Source): number {
  return span === undefined ? source.place(node.path, atKey).from : span[0];
}
