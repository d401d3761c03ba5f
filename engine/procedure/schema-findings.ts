/**
 * What the schema says is wrong → findings, one for each mistake: a misspelt key is not also a missing one,
 * and what a wrong value breaks further in is not told.
 */
import type { SchemaError } from "../../schemas/generated/validators.js";
import type { Finding } from "./finding.ts";
import { nearest } from "./nearest.ts";
import { type DocumentKind, keysAt, ownersOf, STEP_KINDS, shapeAt } from "./shapes.ts";
import type { Path } from "./source.ts";
import type { RawValue } from "./to-raw.ts";

/** The findings for the schema's errors on a document. */
export function schemaFindings(
  document: DocumentKind,
  raw: RawValue,
  errors: readonly SchemaError[],
  file: string,
): readonly Finding[] {
  const report = new Report(document, raw, file);
  const located = errors.map((error) => ({ ...error, path: pathOf(raw, error.instancePath) }));
  for (const pass of PASSES) for (const error of located) pass(report, error, located);
  return report.findings;
}

interface LocatedError extends SchemaError {
  readonly path: Path;
}

type Pass = (report: Report, error: LocatedError, all: readonly LocatedError[]) => void;

class Report {
  readonly document: DocumentKind;
  readonly raw: RawValue;
  readonly file: string;
  readonly findings: Finding[] = [];
  /** Keys that unknown ones were meant to be, by the place that holds them. */
  readonly meant = new Map<string, Set<string>>();
  private readonly told = new Set<string>();

  constructor(document: DocumentKind, raw: RawValue, file: string) {
    this.document = document;
    this.raw = raw;
    this.file = file;
  }

  /** Adds a finding unless that place already has one. */
  add(code: Finding["code"], path: Path, params: Finding["params"], atKey = false, more = ""): void {
    const place = JSON.stringify([path, more]);
    if (this.told.has(place)) return;
    this.told.add(place);
    const step = path[0] === "steps" && path.length > 1 ? { step: String(path[1]) } : {};
    this.findings.push({ code, severity: "error", params, node: { file: this.file, path }, atKey, ...step });
  }

  isTold(path: Path): boolean {
    return this.told.has(JSON.stringify([path, ""]));
  }

  value(path: Path): RawValue | undefined {
    return valueAt(this.raw, path);
  }

  /** The kind words that a step has. */
  stepKinds(path: Path): readonly string[] {
    const value = this.value(path);
    return shapeAt(this.document, path).kind === "step" && isMap(value)
      ? STEP_KINDS.filter((kind) => Object.hasOwn(value, kind))
      : [];
  }
}

/** A key that is not in the format, or that stands where it does not belong. */
const unknownKeys: Pass = (report, { keyword, params, path }) => {
  if (keyword !== "additionalProperties" && keyword !== "unevaluatedProperties") return;
  const name = String(params.additionalProperty ?? params.unevaluatedProperty);
  unknownKey(report, path, name);
};

function unknownKey(report: Report, path: Path, name: string): void {
  const holder = report.value(path);
  const keys = keysAt(report.document, path, report.stepKinds(path));
  const free = keys.filter((key) => !isMap(holder) || !Object.hasOwn(holder, key));
  const close = nearest(name, free) ?? nearest(name, keys);
  if (close !== undefined) {
    const place = JSON.stringify(path);
    report.meant.set(place, (report.meant.get(place) ?? new Set()).add(close));
  }
  const owners = close === undefined ? ownersOf(report.document, name) : [];
  const belongs: Finding["params"] = owners.length > 0 ? { belongs: owners.join(" ") } : {};
  const near: Finding["params"] = close === undefined ? {} : { nearest: close };
  report.add(
    "unknown-name",
    [...path, name],
    { what: "key", name, where: whereOf(path), ...near, ...belongs },
    true,
  );
}

/** Keys that shut each other out, or that belong to another kind of step. */
const shutOutKeys: Pass = (report, { keyword, schemaPath, path }) => {
  if (keyword !== "false schema") return;
  const holder = path.slice(0, -1);
  const key = String(path.at(-1));
  const other = /\/dependentSchemas\/([^/]+)\/properties\//.exec(schemaPath)?.[1] ?? "";
  const kinds = report.stepKinds(holder);
  if (kinds.length > 1) {
    report.add(
      "wrong-shape",
      holder,
      { where: whereOf(holder), expected: "one-kind", found: kinds.join(" ") },
      true,
    );
  } else if (kinds.length === 1 && kinds[0] === other) {
    unknownKey(report, holder, key);
  } else {
    const later = writtenLast(report.value(holder), key, other);
    const earlier = later === key ? other : key;
    const params = { where: whereOf(holder), expected: "either", found: `${earlier} ${later}` };
    report.add("wrong-shape", [...holder, later], params, true);
  }
};

/** Of two keys the one that is written later: the first is taken as meant. */
function writtenLast(holder: RawValue | undefined, one: string, other: string): string {
  if (!isMap(holder)) return one;
  const keys = Object.keys(holder);
  return keys.indexOf(one) > keys.indexOf(other) ? one : other;
}

const missingKeys: Pass = (report, { keyword, params, path, schemaPath }, all) => {
  const several = report.stepKinds(path).length > 1;
  if (several || (keyword !== "required" && keyword !== "anyOf" && keyword !== "dependentRequired")) return;
  if (keyword !== "anyOf" && /\/anyOf\/\d+\/required$/.test(schemaPath)) return;
  const wanted =
    keyword === "anyOf"
      ? all
          .filter((error) => samePath(error.path, path) && error.schemaPath.startsWith(`${schemaPath}/`))
          .map((error) => String(error.params.missingProperty))
      : [String(params.missingProperty)];
  const meant = report.meant.get(JSON.stringify(path));
  if (wanted.some((key) => meant?.has(key))) return;
  report.add("missing-key", path, { key: wanted.join(" "), where: whereOf(path) }, true, wanted.join(" "));
};

const wrongNames: Pass = (report, { keyword, params, path }) => {
  if (keyword !== "propertyNames") return;
  const name = String(params.propertyName);
  const where = whereOf(path);
  if (RESERVED.has(name))
    report.add("unknown-name", [...path, name], { what: "reserved", name, where }, true);
  else
    report.add(
      "wrong-shape",
      [...path, name],
      { where, expected: "id", found: "text", text: short(name) },
      true,
    );
};

const RESERVED = new Set(["cannot", "stop", "borderline", "reads"]);

const wrongValues: Pass = (report, error) => {
  const { keyword, params, path } = error;
  const value = report.value(path);
  if (report.isTold(path)) return;
  if (keyword === "enum" && typeof value === "string") unknownWord(report, path, value, params.allowedValues);
  else if (keyword === "type" || keyword === "const" || keyword === "enum")
    wrongType(report, path, value, params);
  else if (keyword === "pattern" && typeof value === "string") wrongText(report, path, value);
  else if (LIMITS.has(keyword))
    report.add("wrong-shape", path, {
      where: whereOf(path),
      expected: keyword,
      limit: Number(params.limit),
      ...found(value),
    });
};

const LIMITS = new Set([
  "minimum",
  "maximum",
  "exclusiveMinimum",
  "exclusiveMaximum",
  "minItems",
  "maxItems",
  "minProperties",
]);

const PASSES: readonly Pass[] = [unknownKeys, shutOutKeys, missingKeys, wrongNames, wrongValues];

function unknownWord(report: Report, path: Path, name: string, allowed: unknown): void {
  const words = Array.isArray(allowed) ? allowed.map(String) : [];
  const close = nearest(name, words);
  const near: Finding["params"] = close === undefined ? {} : { nearest: close };
  report.add("unknown-name", path, {
    what: "word",
    name,
    where: whereOf(path),
    ...near,
    allowed: words.join(" "),
  });
}

function wrongType(
  report: Report,
  path: Path,
  value: RawValue | undefined,
  params: SchemaError["params"],
): void {
  const kind = shapeAt(report.document, path).kind;
  if (typeof value === "number" && (kind === "quantity" || kind === "limit" || kind === "torque")) {
    report.add("bad-quantity", path, { text: String(value), why: "no-unit" });
    return;
  }
  const types = Array.isArray(params.type)
    ? params.type.join(" ")
    : String(params.type ?? params.allowedValue ?? "");
  report.add("wrong-shape", path, { where: whereOf(path), expected: kind ?? types, ...found(value) });
}

function wrongText(report: Report, path: Path, value: string): void {
  const kind = shapeAt(report.document, path).kind ?? (path.at(-1) === "put-back" ? "put-back" : "text");
  if (value.trim() === "" && kind === "quantity")
    report.add("bad-quantity", path, { text: value, why: "empty" });
  else report.add("wrong-shape", path, { where: whereOf(path), expected: kind, ...found(value) });
}

/** What a value is, for the sentence. */
function found(value: RawValue | undefined): Finding["params"] {
  if (value === null || value === undefined) return { found: "nothing" };
  if (Array.isArray(value)) return { found: value.length === 0 ? "no-items" : "list" };
  if (typeof value === "object") return { found: Object.keys(value).length === 0 ? "no-keys" : "map" };
  if (typeof value === "string" && value.trim() === "") return { found: "nothing" };
  return { found: typeof value, text: short(String(value)) };
}

/** The place in words of the format: `steps.hot.answers.yes`. */
function whereOf(path: Path): string {
  return path.map((part) => short(String(part))).join(".");
}

function short(text: string): string {
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

function samePath(one: Path, other: Path): boolean {
  return one.length === other.length && one.every((part, index) => part === other[index]);
}

/** A JSON pointer (RFC 6901) as a path, its numbers told from names by what they lead through. */
export function pathOf(raw: RawValue, pointer: string): Path {
  const path: (string | number)[] = [];
  let value: RawValue | undefined = raw;
  for (const part of pointer.split("/").slice(1)) {
    const name = part.replaceAll("~1", "/").replaceAll("~0", "~");
    path.push(Array.isArray(value) ? Number(name) : name);
    value = valueAt(value, path.slice(-1));
  }
  return path;
}

export function valueAt(raw: RawValue | undefined, path: Path): RawValue | undefined {
  let value = raw;
  for (const part of path) {
    if (Array.isArray(value)) value = value[Number(part)];
    else if (isMap(value) && Object.hasOwn(value, part)) value = value[part];
    else return undefined;
  }
  return value;
}

export function isMap(value: RawValue | undefined): value is { [name: string]: RawValue } {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
