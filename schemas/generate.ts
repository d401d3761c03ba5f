/**
 * Writes the types and the compiled validators that come from the schemas (`npm run generate`).
 * The validators hold no `require`, no `eval` and no `new Function`, so that they run under a strict
 * Content-Security-Policy.
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { AnySchemaObject } from "ajv/dist/2020.js";
import { Ajv2020 } from "ajv/dist/2020.js";
import standaloneModule from "ajv/dist/standalone/index.js";
import { compile } from "json-schema-to-typescript";

// A CommonJS default export: tsx gives the module, vitest its default.
const standalone =
  typeof standaloneModule === "function"
    ? standaloneModule
    : (standaloneModule as { default: typeof standaloneModule }).default;

const NOTE = "Written by `npm run generate` from the schemas. Do not edit.";

/** Schema file, and the name of its validator. A draft's types have every key optional. */
const SCHEMAS = [
  { name: "procedure", validator: "validateProcedure", draft: true, prefix: "Raw" },
  { name: "equipment", validator: "validateEquipment", draft: true, prefix: "RawSheet" },
  { name: "answers", validator: "validateAnswers", draft: true, prefix: "RawAnswers" },
  { name: "run-record", validator: "validateRunRecord", draft: false, prefix: "RunRecord" },
] as const;

/** Keywords that say when a value is right but not what type it has. */
const NOT_TYPES = new Set([
  "if",
  "then",
  "else",
  "not",
  "anyOf",
  "allOf",
  "propertyNames",
  "dependentSchemas",
  "dependentRequired",
  "pattern",
  "unevaluatedProperties",
  "minItems",
  "maxItems",
  "minProperties",
  "$id",
]);

/**
 * The compiled code with errors pushed instead of concatenated: a file with a mistake in each of thousands of
 * steps would copy all of them again for each step. A validator's own array is made anew at each call, so
 * that nobody else sees it grow.
 */
function inLinearTime(code: string): string {
  const joined = code.replace(
    /vErrors === null \? (\w+)\.errors : vErrors\.concat\(\1\.errors\)/g,
    "joined(vErrors, $1.errors)",
  );
  if (joined === code || joined.includes(".concat("))
    throw new Error("The validators join errors in a new way.");
  return `${joined}
function joined(all, more) {
  if (all === null) return more;
  for (const error of more) all.push(error);
  return all;
}`;
}

/** Keywords whose keys are names, not keywords. */
const HOLDS_NAMES = new Set(["properties", "$defs", "dependentSchemas"]);

/** Every generated file's text by its name. */
export async function generated(): Promise<ReadonlyMap<string, string>> {
  const files = new Map<string, string>();
  for (const { name, draft, prefix } of SCHEMAS) files.set(`${name}.ts`, await types(name, draft, prefix));
  files.set("validators.js", validators());
  files.set("validators.d.ts", declarations());
  files.set("shapes.ts", shapes());
  return files;
}

function readSchema(name: string): AnySchemaObject {
  return JSON.parse(readFileSync(new URL(`${name}.schema.json`, import.meta.url), "utf8"));
}

async function types(name: string, draft: boolean, prefix: string): Promise<string> {
  const schema = forTypes(readSchema(name), draft, prefix) as AnySchemaObject;
  return compile(schema, String(schema.title), {
    bannerComment: `/* ${NOTE} */`,
    unknownAny: true,
    ignoreMinAndMaxItems: true,
    strictIndexSignatures: false,
    format: false,
  });
}

/** The schema without its rules, so that what is left says only which type a value has. */
function forTypes(node: unknown, draft: boolean, prefix: string, names = false): unknown {
  if (Array.isArray(node)) return node.map((item) => forTypes(item, draft, prefix));
  if (node === null || typeof node !== "object") return node;
  // A reference with a description of its own would come out as a type of its own.
  if (!names && "$ref" in node) return { $ref: typeReference(String(node.$ref), prefix) };
  const result: Record<string, unknown> = {};
  for (const [key, value] of Object.entries(node)) {
    if (names) result[key] = forTypes(value, draft, prefix);
    else if (NOT_TYPES.has(key) || (draft && key === "required")) continue;
    else if (key === "$ref")
      result[key] = `#/$defs/${typeName(String(value).split("/").at(-1) ?? "", prefix)}`;
    else if (key === "$defs") result[key] = renamed(value as object, draft, prefix);
    else if (key === "properties") result[key] = forTypes(value, draft, prefix, true);
    else result[key] = forTypes(value, draft, prefix);
  }
  return result;
}

function renamed(defs: object, draft: boolean, prefix: string): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(defs).map(([name, schema]) => [typeName(name, prefix), forTypes(schema, draft, prefix)]),
  );
}

function typeReference(reference: string, prefix: string): string {
  return `#/$defs/${typeName(reference.slice("#/$defs/".length), prefix)}`;
}

function typeName(definition: string, prefix: string): string {
  const words = definition.split("-").map((word) => word.charAt(0).toUpperCase() + word.slice(1));
  return prefix + words.join("");
}

function validators(): string {
  const ajv = new Ajv2020({
    allErrors: true,
    strict: true,
    strictTypes: false,
    strictRequired: false,
    messages: false,
    inlineRefs: false,
    code: { source: true, esm: true },
    schemas: SCHEMAS.map(({ name }) => withoutDescriptions(readSchema(name)) as AnySchemaObject),
  });
  const exports = Object.fromEntries(
    SCHEMAS.map(({ name, validator }) => [validator, `${name}.schema.json`]),
  );
  return `// ${NOTE}\n${inLinearTime(standalone(ajv, exports))}\n`;
}

/** Which keys stand where: what a misspelt or misplaced key is looked up in. */
function shapes(): string {
  const documents = SCHEMAS.filter(({ draft }) => draft).map(({ name }) => [
    name,
    documentShape(readSchema(name)),
  ]);
  const table = JSON.stringify(Object.fromEntries(documents), null, 2);
  const kinds = JSON.stringify(stepKeys(readSchema("procedure").$defs.step), null, 2);
  return `/* ${NOTE} */
/** What may stand at a place: a value of a kind, keys, anything by name, or items. */
export interface Shape {
  readonly kind?: string;
  readonly keys?: Readonly<Record<string, Shape>>;
  readonly each?: Shape;
  readonly items?: Shape;
}
export interface DocumentShape {
  readonly top: Shape;
  /** Shapes by kind. */
  readonly kinds: Readonly<Record<string, Shape>>;
}
export const SHAPES: Readonly<Record<"procedure" | "equipment" | "answers", DocumentShape>> = ${table};
/** The keys that each kind of step may have. */
export const STEP_KEYS: Readonly<Record<string, readonly string[]>> = ${kinds};
`;
}

function documentShape(schema: AnySchemaObject): unknown {
  const kinds = Object.entries(schema.$defs as object).map(([name, part]) => [name, shapeOf(part)]);
  return { top: shapeOf(schema), kinds: Object.fromEntries(kinds) };
}

function shapeOf(schema: unknown): unknown {
  if (schema === null || typeof schema !== "object") return {};
  const { $ref, properties, additionalProperties, items } = schema as AnySchemaObject;
  if (typeof $ref === "string") return { kind: $ref.slice("#/$defs/".length) };
  const keys = Object.entries((properties ?? {}) as object).map(([key, part]) => [key, shapeOf(part)]);
  return {
    ...(keys.length > 0 ? { keys: Object.fromEntries(keys) } : {}),
    ...(additionalProperties ? { each: shapeOf(additionalProperties) } : {}),
    ...(items ? { items: shapeOf(items) } : {}),
  };
}

function stepKeys(step: AnySchemaObject): unknown {
  const kinds = (step.anyOf as { required: string[] }[]).flatMap(({ required }) => required);
  return Object.fromEntries(
    kinds.map((kind) => {
      const refused = Object.keys(step.dependentSchemas[kind].properties);
      return [kind, Object.keys(step.properties).filter((key) => !refused.includes(key))];
    }),
  );
}

/** The schema without its texts: the compiled code would carry them along. */
function withoutDescriptions(node: unknown, names = false): unknown {
  if (Array.isArray(node)) return node.map((item) => withoutDescriptions(item));
  if (node === null || typeof node !== "object") return node;
  const entries = Object.entries(node).filter(([key]) => names || key !== "description");
  return Object.fromEntries(
    entries.map(([key, value]) => [key, withoutDescriptions(value, !names && HOLDS_NAMES.has(key))]),
  );
}

function declarations(): string {
  const lines = SCHEMAS.map(({ validator }) => `export declare const ${validator}: Validator;`);
  return `/* ${NOTE} */
export interface SchemaError {
  readonly keyword: string;
  readonly instancePath: string;
  readonly schemaPath: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly propertyName?: string;
}
export interface Validator {
  (value: unknown): boolean;
  errors?: readonly SchemaError[] | null;
}
${lines.join("\n")}
`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const folder = new URL("generated/", import.meta.url);
  mkdirSync(folder, { recursive: true });
  for (const [name, text] of await generated()) writeFileSync(new URL(name, folder), text);
}
