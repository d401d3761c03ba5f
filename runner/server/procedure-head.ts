/** What can be told of a procedure's text without linking it, broken texts included. */
import { isMap, isScalar, isSeq, type ParsedNode, parseDocument } from "yaml";

export interface ProcedureHead {
  readonly id?: string;
  readonly title?: string;
  readonly complaint?: string;
  readonly revision?: number;
  readonly equipment: readonly string[];
  /** Ids of the procedures its steps call. */
  readonly calls: readonly string[];
}

const NOTHING: ProcedureHead = { equipment: [], calls: [] };

/** The head as far as the text can be read; aliases are not followed. */
export function readHead(text: string): ProcedureHead {
  const root = parse(text);
  if (!isMap(root)) return NOTHING;
  const id = textAt(root, "procedure");
  const title = textAt(root, "title");
  const complaint = textAt(root, "complaint");
  const revision = Number(textAt(root, "revision"));
  return {
    ...(id === undefined ? {} : { id }),
    ...(title === undefined ? {} : { title }),
    ...(complaint === undefined ? {} : { complaint }),
    ...(Number.isSafeInteger(revision) && revision > 0 ? { revision } : {}),
    equipment: textsIn(root.get("equipment", true)),
    calls: callsIn(root.get("steps", true)),
  };
}

/** Title of an equipment sheet, if it has one. */
export function readSheetTitle(text: string): string | undefined {
  const root = parse(text);
  return isMap(root) ? textAt(root, "title") : undefined;
}

/** Nesting deeper than the parser's stack is an unreadable text, not a crash. */
function parse(text: string): ParsedNode | null {
  try {
    return parseDocument(text, { strict: false, logLevel: "silent" }).contents;
  } catch {
    return null;
  }
}

function textAt(map: { get(key: string, keep: true): unknown }, key: string): string | undefined {
  return scalarText(map.get(key, true));
}

function scalarText(node: unknown): string | undefined {
  if (!isScalar(node) || node.value === null) return undefined;
  return String(node.value);
}

function textsIn(node: unknown): readonly string[] {
  if (!isSeq(node)) return [];
  return node.items.flatMap((item) => scalarText(item) ?? []);
}

function callsIn(steps: unknown): readonly string[] {
  if (!isMap(steps)) return [];
  const calls = steps.items.flatMap(({ value }) => (isMap(value) ? (textAt(value, "call") ?? []) : []));
  return [...new Set(calls)];
}
