import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { END_WORDS } from "../../engine/procedure/model.ts";
import { STEP_KINDS } from "../../engine/procedure/shapes.ts";
import { MEASURE_KINDS } from "../../engine/quantity/kind.ts";
import { SHAPES, type Shape } from "../../schemas/generated/shapes.ts";
import { RAW_FILES, rawFile } from "./raw-file.ts";

interface Schema {
  readonly [keyword: string]: unknown;
}

function schema(name: string): Schema {
  return JSON.parse(readFileSync(new URL(`../../schemas/${name}.schema.json`, import.meta.url), "utf8"));
}

function definition(name: string): Schema {
  return (schema("procedure").$defs as Record<string, Schema>)[name] ?? {};
}

describe("the schemas", () => {
  it("know the quantities, ends and steps that the engine knows", () => {
    expect(definition("measureKind").enum).toEqual([...MEASURE_KINDS]);
    const { end } = definition("step").properties as Record<string, Schema>;
    expect(end?.enum).toEqual([...END_WORDS]);
    expect(STEP_KINDS).toEqual(["ask", "measure", "do", "call", "conclude", "end"]);
    const accuracy = (definition("instrument").properties as Record<string, Schema>).accuracy;
    expect(Object.keys(accuracy?.properties as object)).toEqual([...MEASURE_KINDS]);
  });

  it.each(["procedure", "equipment", "answers", "run-record"])("describe every key of %s", (name) => {
    const bare: string[] = [];
    let seen = 0;
    const visit = (node: unknown, path: string) => {
      if (typeof node !== "object" || node === null) return;
      for (const [keyword, value] of Object.entries(node)) {
        if (keyword === "properties" && !/dependentSchemas|\/(if|then)$/.test(path)) {
          for (const [key, part] of Object.entries(value as Record<string, Schema>)) {
            seen += 1;
            if (typeof part.description !== "string") bare.push(`${path}/${key}`);
          }
        }
        visit(value, `${path}/${keyword}`);
      }
    };
    visit(schema(name), "");
    expect(bare).toEqual([]);
    expect(seen).toBeGreaterThan(5);
  });

  it.each(RAW_FILES)("accept %s", (name) => {
    const { findings, raw } = rawFile(name);
    expect(findings).toEqual([]);
    expect(raw).toBeDefined();
  });

  it.each(["procedure", "equipment", "answers"] as const)(
    "are met by the samples key for key: %s",
    (kind) => {
      const used = new Set<string>();
      for (const name of RAW_FILES) {
        const { raw, kind: own } = rawFile(name);
        if (own === kind) collect(raw, SHAPES[kind].top, "top", kind, used);
      }
      const all = new Set<string>();
      everyKey(SHAPES[kind].top, "top", all);
      for (const [name, shape] of Object.entries(SHAPES[kind].kinds)) everyKey(shape, name, all);
      expect([...all].filter((key) => !used.has(key))).toEqual([]);
    },
  );
});

/** Keys of a shape, each with the kind or place it stands in. */
function everyKey(shape: Shape, place: string, all: Set<string>): void {
  for (const [key, part] of Object.entries(shape.keys ?? {})) {
    all.add(`${place}.${key}`);
    if (part.kind === undefined) everyKey(part, `${place}.${key}`, all);
  }
  for (const part of [shape.each, shape.items])
    if (part && part.kind === undefined) everyKey(part, `${place}.*`, all);
}

function collect(
  value: unknown,
  shape: Shape,
  place: string,
  document: "procedure" | "equipment" | "answers",
  used: Set<string>,
): void {
  if (shape.kind !== undefined) {
    const named = SHAPES[document].kinds[shape.kind];
    if (named) collect(value, named, shape.kind, document, used);
    return;
  }
  if (Array.isArray(value)) {
    for (const item of value) if (shape.items) collect(item, shape.items, `${place}.*`, document, used);
  } else if (typeof value === "object" && value !== null) {
    for (const [key, part] of Object.entries(value)) {
      const known = shape.keys && Object.hasOwn(shape.keys, key) ? shape.keys[key] : undefined;
      if (known) used.add(`${place}.${key}`);
      const next = known ?? shape.each;
      if (next) collect(part, next, known ? `${place}.${key}` : `${place}.*`, document, used);
    }
  }
}
