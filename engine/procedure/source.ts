/** Where things stand in a text: from the node of a document to its range, and back from an offset. */
import {
  type Document,
  isAlias,
  isMap,
  isScalar,
  isSeq,
  type Node,
  type Pair,
  type Scalar,
  type YAMLMap,
} from "yaml";
import type { StepId } from "./model.ts";

export type Path = readonly (string | number)[];

export interface Place {
  /** Offsets in the text, half-open. */
  readonly from: number;
  readonly to: number;
  /** 1-based; columns in UTF-16 units. */
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

export interface Source {
  readonly file: string;
  readonly text: string;
  /** The text taken apart, mistakes and repeated names left in; absent where it was refused. To be read only. */
  readonly document?: Document.Parsed;
  /** The range of a node's value, or of its key; of its nearest ancestor where the node is not there. */
  readonly place: (path: Path, atKey?: boolean) => Place;
  /** The place of a range of offsets; offsets outside the text are moved into it. */
  readonly placeOf: (from: number, to: number) => Place;
  /** The innermost node that an offset stands in. */
  readonly pathAt: (offset: number) => Path;
  /** The step that an offset stands in, if any. */
  readonly stepAt: (offset: number) => StepId | undefined;
  /** From a step's name to the end of what it holds, where the text has that step. */
  readonly stepPlace: (step: StepId) => Place | undefined;
  /** A scalar as it was written (`26.10` keeps its zero), quotes and escapes resolved. */
  readonly sourceText: (path: Path) => string | undefined;
}

/** The places of a text; without a document every path leads to the text's beginning. */
export function createSource(text: string, file: string, document?: Document.Parsed): Source {
  const root = (document?.contents ?? null) as Node | null;
  const starts = lineStarts(text);
  const index = documentIndex(root);

  const placeOf = (from: number, to: number): Place => {
    const start = clamp(from, 0, text.length);
    const end = clamp(to, start, text.length);
    const [line, column] = lineAndColumn(starts, start);
    const [endLine, endColumn] = lineAndColumn(starts, end);
    return { from: start, to: end, line, column, endLine, endColumn };
  };
  const place = (path: Path, atKey = false): Place => {
    const [from, to] = rangeOf(index, path, atKey);
    return placeOf(from, trimmedEnd(text, from, to));
  };
  const pathAt = (offset: number): Path => findPath(root, offset);
  return {
    file,
    text,
    ...(document === undefined ? {} : { document }),
    place,
    placeOf,
    pathAt,
    stepAt: (offset) => {
      const [section, step] = pathAt(offset);
      return section === "steps" && step !== undefined ? String(step) : undefined;
    },
    stepPlace: (step) => {
      const found = index.find(["steps", step]);
      if (found.depth < 2) return undefined;
      return placeOf(place(["steps", step], true).from, place(["steps", step]).to);
    },
    sourceText: (path) => {
      const { value, depth } = index.find(path);
      return depth === path.length && isScalar(value) ? writtenText(value) : undefined;
    },
  };
}

/** A key's name: the text it was written as. */
export function keyName(key: unknown): string {
  return isScalar(key) ? writtenText(key) : "";
}

/** A scalar's text: as written where it is plain, its value where it is quoted or a block of text. */
export function writtenText(scalar: Scalar): string {
  if (typeof scalar.value === "string") return scalar.value;
  return scalar.source ?? (scalar.value === null ? "" : String(scalar.value));
}

interface Found {
  /** How many parts of the path exist. */
  readonly depth: number;
  readonly key: Node | undefined;
  readonly value: Node | null;
}

interface DocumentIndex {
  readonly find: (path: Path) => Found;
}

/** Finds nodes by path; a map's names are looked up once and kept, since a file may have thousands. */
function documentIndex(root: Node | null): DocumentIndex {
  const anchors = new Map<string, Node>();
  const names = new Map<YAMLMap, ReadonlyMap<string, Pair>>();
  collectAnchors(root, anchors);

  const target = (node: Node | null): Node | null =>
    isAlias(node) ? (anchors.get(node.source) ?? node) : node;
  const pairOf = (map: YAMLMap, name: string): Pair | undefined => {
    let known = names.get(map);
    if (known === undefined) {
      known = new Map(map.items.map((pair) => [keyName(pair.key), pair]));
      names.set(map, known);
    }
    return known.get(name);
  };
  const find = (path: Path): Found => {
    let found: Found = { depth: 0, key: undefined, value: root };
    for (const part of path) {
      const holder = target(found.value);
      if (isMap(holder)) {
        const pair = pairOf(holder, String(part));
        if (pair === undefined) return found;
        found = { depth: found.depth + 1, key: pair.key as Node, value: (pair.value ?? null) as Node | null };
      } else if (isSeq(holder) && typeof part === "number" && part in holder.items) {
        found = { depth: found.depth + 1, key: undefined, value: holder.items[part] as Node };
      } else return found;
    }
    return found;
  };
  return { find };
}

function collectAnchors(root: Node | null, anchors: Map<string, Node>): void {
  const open: unknown[] = [root];
  while (open.length > 0) {
    const node = open.pop();
    if (isMap(node)) for (const pair of node.items) open.push(pair.key, pair.value);
    else if (isSeq(node)) for (const item of node.items) open.push(item);
    const anchor = isMap(node) || isSeq(node) || isScalar(node) ? node.anchor : undefined;
    if (anchor !== undefined) anchors.set(anchor, node as Node);
  }
}

function rangeOf(index: DocumentIndex, path: Path, atKey: boolean): [number, number] {
  const { depth, key, value } = index.find(path);
  const keyRange = key?.range;
  const missing = depth < path.length;
  const valueRange = value?.range;
  // A missing key is shown at the name of what lacks it, an empty value at its key.
  const byKey =
    atKey || missing || valueRange === undefined || valueRange === null || valueRange[0] === valueRange[1];
  if (byKey && keyRange) return [keyRange[0], keyRange[1]];
  if (missing && depth === 0) return [0, 0];
  return valueRange ? [valueRange[0], valueRange[1]] : [0, 0];
}

function findPath(root: Node | null, offset: number): Path {
  const path: (string | number)[] = [];
  let node = root;
  while (node !== null) {
    if (isMap(node)) {
      const pair = lastBefore(node.items, offset, (item) => startOf(item.key) ?? startOf(item.value));
      if (pair === undefined || isBeyond(node, offset)) break;
      path.push(keyName(pair.key));
      node = (pair.value ?? null) as Node | null;
    } else if (isSeq(node)) {
      const item = lastBefore(node.items, offset, startOf);
      if (item === undefined || isBeyond(node, offset)) break;
      path.push(node.items.indexOf(item));
      node = item as Node;
    } else break;
  }
  return path;
}

/** A bracketed collection ends at its bracket; one of lines runs on to the next that is not its own. */
function isBeyond(node: Node, offset: number): boolean {
  const end = node.range?.[1];
  return "flow" in node && node.flow === true && end !== undefined && offset > end;
}

function lastBefore<Item>(
  items: readonly Item[],
  offset: number,
  start: (item: Item) => number | undefined,
): Item | undefined {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    const item = items[middle];
    const begins = item === undefined ? undefined : start(item);
    if (begins !== undefined && begins <= offset) low = middle + 1;
    else high = middle;
  }
  return items[low - 1];
}

function startOf(node: unknown): number | undefined {
  return (node as Node | null)?.range?.[0];
}

function lineStarts(text: string): readonly number[] {
  const starts = [0];
  for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) starts.push(at + 1);
  return starts;
}

function lineAndColumn(starts: readonly number[], offset: number): [number, number] {
  let low = 0;
  let high = starts.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((starts[middle] ?? 0) <= offset) low = middle + 1;
    else high = middle;
  }
  return [low, offset - (starts[low - 1] ?? 0) + 1];
}

/** A value of several lines ends behind its last letter, not at the line after it. */
function trimmedEnd(text: string, from: number, to: number): number {
  let end = to;
  while (end > from && /\s/.test(text.charAt(end - 1))) end -= 1;
  return end;
}

function clamp(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}
