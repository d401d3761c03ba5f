/** What the schemas say may stand at a place of a document. */
import { type DocumentShape, SHAPES, type Shape, STEP_KEYS } from "../../schemas/generated/shapes.ts";
import type { Path } from "./source.ts";

export type DocumentKind = keyof typeof SHAPES;

/** The shape at a path, its kind resolved; `kind` is the schema's name for it. */
export function shapeAt(document: DocumentKind, path: Path): Shape & { readonly kind?: string } {
  const shapes = SHAPES[document];
  let shape = shapes.top;
  let kind: string | undefined;
  for (const part of path) {
    shape =
      (typeof part === "number" ? shape.items : own(shape.keys, part)) ?? shape.each ?? shape.items ?? {};
    kind = shape.kind;
    shape = resolved(shapes, shape);
  }
  return kind === undefined ? shape : { ...shape, kind };
}

/** The keys that a place may have; of a step, those of its kind. */
export function keysAt(
  document: DocumentKind,
  path: Path,
  kindsOfStep: readonly string[],
): readonly string[] {
  const shape = shapeAt(document, path);
  const [only, second] = kindsOfStep;
  if (shape.kind === "step" && only !== undefined && second === undefined) return own(STEP_KEYS, only) ?? [];
  return Object.keys(shape.keys ?? {});
}

/** The kinds of step, or the things of a document, that a key belongs to. */
export function ownersOf(document: DocumentKind, key: string): readonly string[] {
  const steps = Object.keys(STEP_KEYS).filter((kind) => STEP_KEYS[kind]?.includes(key));
  if (document === "procedure" && steps.length > 0) return steps;
  const { kinds, top } = SHAPES[document];
  const owners = Object.keys(kinds).filter((kind) => own(kinds[kind]?.keys, key) !== undefined);
  return own(top.keys, key) === undefined ? owners : ["top", ...owners];
}

export const STEP_KINDS = Object.keys(STEP_KEYS);

function resolved(shapes: DocumentShape, shape: Shape): Shape {
  return shape.kind === undefined ? shape : (own(shapes.kinds, shape.kind) ?? shape);
}

function own<Value>(holder: Readonly<Record<string, Value>> | undefined, key: string): Value | undefined {
  return holder !== undefined && Object.hasOwn(holder, key) ? holder[key] : undefined;
}
