/**
 * YAML document → plain values: objects without a prototype, so that `__proto__` and `constructor` are names
 * like any other. Aliases are copied out, and counted while they are: a small text can stand for a huge one.
 */
import { type Document, isAlias, isMap, isScalar, isSeq, type Node, type Scalar, type YAMLMap } from "yaml";
import type { Finding } from "./finding.ts";
import { keyName, type Path, writtenText } from "./source.ts";
import { MAX_DEPTH } from "./yaml-text.ts";

/** Values that aliases may add to those written. */
const MAX_COPIED = 100_000;

export type RawValue = string | number | boolean | null | RawValue[] | RawMap;
interface RawMap {
  [name: string]: RawValue;
}

export interface RawDocument {
  readonly value: RawValue;
  readonly findings: readonly Finding[];
  /** Why the whole document is refused. */
  readonly refused?: { readonly why: "too-many-aliases" | "too-deep" | "alias-circle"; readonly path: Path };
}

/** The document's values; with `asWritten` a plain scalar is its text, so that `26.10` keeps its zero. */
export function toRaw(document: Document.Parsed, file: string, asWritten: boolean): RawDocument {
  const findings: Finding[] = [];
  const anchors = new Map<string, Node>();
  /** Anchored nodes whose values are being made: an alias to one of them would never end. */
  const open = new Set<Node>();
  let copied = 0;

  const hint = (path: Path, params: Finding["params"], atKey: boolean) =>
    findings.push({ code: "plain-hint", severity: "error", params, node: { file, path }, atKey });

  const scalarValue = (scalar: Scalar, path: Path): RawValue => {
    const cut = cutComment(scalar);
    if (cut !== undefined)
      findings.push({
        code: "plain-hint",
        severity: "warning",
        params: { hint: "hash", text: cut },
        node: { file, path },
      });
    const { value } = scalar;
    if (typeof value === "string" || value === null) return value;
    if (asWritten) return writtenText(scalar);
    return typeof value === "number" || typeof value === "boolean" ? value : String(value);
  };

  const mapValue = (map: YAMLMap, path: Path, depth: number, inCopy: boolean): RawMap => {
    const result: RawMap = Object.create(null);
    for (const pair of map.items) {
      const name = keyName(pair.key);
      const place = [...path, name];
      if (!isScalar(pair.key)) hint(path, { hint: "key-shape" }, false);
      else if (Object.hasOwn(result, name) && !inCopy) hintRepeated(pair.key, name);
      if (isScalar(pair.key) && pair.key.anchor !== undefined) anchors.set(pair.key.anchor, pair.key);
      result[name] = nodeValue((pair.value ?? null) as Node | null, place, depth + 1, inCopy);
    }
    return result;
  };

  const hintRepeated = (key: Scalar, name: string) => {
    const [from, to] = key.range ?? [0, 0];
    findings.push({
      code: "plain-hint",
      severity: "error",
      params: { hint: "repeated", name },
      node: { file, path: [] },
      span: [from, to],
    });
  };

  const aliasValue = (name: string, path: Path, depth: number): RawValue => {
    const target = anchors.get(name);
    if (target === undefined) {
      hint(path, { hint: "star", name }, false);
      return null;
    }
    if (open.has(target)) throw new Refused("alias-circle", path);
    return nodeValue(target, path, depth, true);
  };

  const nodeValue = (node: Node | null, path: Path, depth: number, inCopy: boolean): RawValue => {
    if (inCopy) copied += 1;
    if (copied > MAX_COPIED) throw new Refused("too-many-aliases", path);
    if (depth > MAX_DEPTH) throw new Refused("too-deep", path);
    if (isAlias(node)) return aliasValue(node.source, path, depth);
    const anchor = isMap(node) || isSeq(node) || isScalar(node) ? node.anchor : undefined;
    if (node === null) return null;
    if (anchor !== undefined) anchors.set(anchor, node);
    if (isScalar(node)) return scalarValue(node, path);
    open.add(node);
    const value = isMap(node)
      ? mapValue(node, path, depth, inCopy)
      : isSeq(node)
        ? node.items.map((item, index) => nodeValue(item as Node | null, [...path, index], depth + 1, inCopy))
        : null;
    open.delete(node);
    return value;
  };

  try {
    return { value: nodeValue(document.contents as Node | null, [], 0, false), findings };
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return { value: null, findings: [], refused: { why: error.why, path: error.path } };
  }
}

class Refused extends Error {
  readonly why: NonNullable<RawDocument["refused"]>["why"];
  readonly path: Path;
  constructor(why: NonNullable<RawDocument["refused"]>["why"], path: Path) {
    super(why);
    this.why = why;
    this.path = path;
  }
}

/** The text behind a `#` that was hardly meant as a comment: `Pin #3` ends at `Pin`. */
function cutComment(scalar: Scalar): string | undefined {
  const { comment, source, type } = scalar;
  if (type !== "PLAIN" || !comment || !source) return undefined;
  return /^[\p{L}\p{N}]/u.test(comment) ? `#${comment.split("\n", 1)[0]}` : undefined;
}
