/**
 * What YAML does to people, as hints: the library's mistakes by their codes, and a comma that cut a text in
 * two. Its sentences are never shown.
 */
import type { Document, YAMLError } from "yaml";
import type { Finding } from "./finding.ts";
import type { Source } from "./source.ts";

/**
 * A hint for each mistake that the YAML library found, the first of each line. What an open bracket, a tab or
 * a wrong indent makes of the lines after it is not told.
 */
export function yamlHints(document: Document.Parsed, source: Source): readonly Finding[] {
  const lines = new Set<number>();
  const findings: Finding[] = [];
  let indented = false;
  const tags = document.warnings.filter((warning) => warning.code === "TAG_RESOLVE_FAILED");
  for (const mistake of [...document.errors, ...tags]) {
    const finding = yamlHint(mistake, source);
    const { line } = source.placeOf(...(finding.span ?? [0, 0]));
    const { hint } = finding.params;
    if (hint === "missing-colon" && findings.length > 0) continue;
    if (lines.has(line) || (hint === "indent" && indented)) continue;
    lines.add(line);
    indented ||= hint === "indent" || hint === "tab";
    findings.push(finding);
    if (hint === "unclosed") break;
  }
  return findings;
}

/** The hint instead of an unknown key, where a comma inside braces made the key out of a text. */
export function commaHint(finding: Finding, source: Source): Finding | undefined {
  if (finding.code !== "unknown-name" || finding.atKey !== true) return undefined;
  const { from, to } = source.place(finding.node.path, true);
  const before = source.text.slice(Math.max(0, from - NEAR), from).trimEnd();
  const after = source.text.slice(to, to + NEAR).trimStart();
  if (!before.endsWith(",") || !/^[,}]/.test(after)) return undefined;
  const text = source.text.slice(from, to);
  return { ...finding, code: "plain-hint", params: { hint: "comma", text } };
}

/** How far a comma or bracket is looked for. */
const NEAR = 200;

function yamlHint(mistake: YAMLError, source: Source): Finding {
  const hint = hintOf(mistake, source.text);
  const [from, to] = hint.at ?? mistake.pos;
  const span: readonly [number, number] = hint.wholeLine ? [from, lineEnd(source.text, from)] : [from, to];
  return {
    code: mistake.code === "TAG_RESOLVE_FAILED" ? "not-procedure" : "plain-hint",
    severity: "error",
    params: hint.params,
    node: { file: source.file, path: [] },
    span,
  };
}

/** A space that looks like one and is none to YAML, behind a colon or dash, as text copied from elsewhere has it. */
const ODD_SPACE = /[:-][\u00a0\u2000-\u200b\u202f\u3000\ufeff]/;

interface Hint {
  readonly params: Finding["params"];
  readonly wholeLine?: boolean;
  /** Where it is, when the library tells another place. */
  readonly at?: readonly [number, number];
}

function hintOf({ code, pos: [from, to] }: YAMLError, text: string): Hint {
  const written = text.slice(from, lineEnd(text, from)).trim();
  switch (code) {
    case "BAD_SCALAR_START":
      return written.startsWith("%")
        ? {
            params: { hint: "percent", text: shortened(inBraces(text, from) ? partOf(written) : written) },
            wholeLine: true,
          }
        : { params: { hint: "reserved-character", text: written.charAt(0) }, wholeLine: true };
    case "TAB_AS_INDENT":
      return { params: { hint: "tab" } };
    case "BLOCK_AS_IMPLICIT_KEY":
    case "BLOCK_IN_FLOW":
      if (!/:(\s|$)/.test(written)) return { params: { hint: "indent" }, at: nextLine(text, from) };
      return { params: { hint: "colon", text: shortened(written) }, wholeLine: true };
    case "BAD_INDENT":
      return isUnclosed(text, from)
        ? { params: { hint: "unclosed", text: "bracket" } }
        : { params: { hint: "indent" } };
    case "MISSING_CHAR":
      return written === "" || hasOpenQuote(written) || isUnclosed(text, from)
        ? { params: { hint: "unclosed", text: "quote" } }
        : {
            params: {
              hint: ODD_SPACE.test(written) ? "odd-space" : "missing-colon",
              text: shortened(written),
            },
            wholeLine: true,
          };
    case "BAD_DQ_ESCAPE":
      return { params: { hint: "backslash", text: text.slice(from, from + 2) }, at: [from, from + 2] };
    case "BAD_ALIAS":
      return { params: { hint: "star", name: shortened(written) } };
    case "TAG_RESOLVE_FAILED":
      return { params: { why: "tag", text: shortened(text.slice(from, to)) } };
    case "UNEXPECTED_TOKEN":
      if (hasOpenQuote(written)) return { params: { hint: "unclosed", text: "quote" } };
      if (written.startsWith("-")) return { params: { hint: "dash" } };
      return { params: { hint: "loose-text", text: shortened(written) }, wholeLine: true };
    case "MULTILINE_IMPLICIT_KEY":
    case "KEY_OVER_1024_CHARS":
      if (hasOpenQuote(written)) return { params: { hint: "unclosed", text: "quote" } };
      if (ODD_SPACE.test(written))
        return { params: { hint: "odd-space", text: shortened(written) }, wholeLine: true };
      return { params: { hint: "missing-colon", text: shortened(written) }, wholeLine: true };
    default:
      return { params: { hint: "unreadable", text: shortened(written) } };
  }
}

/** Whether more brackets or quotes were opened before an offset than closed: what the library noticed late. */
function isUnclosed(text: string, offset: number): boolean {
  const before = text.slice(Math.max(0, offset - 2000), offset);
  const count = (marks: RegExp) => before.match(marks)?.length ?? 0;
  return count(/[[{]/g) > count(/[\]}]/g) || count(/"/g) % 2 === 1;
}

/** Whether a bracket of its own line stands open at an offset. */
function inBraces(text: string, offset: number): boolean {
  const before = text.slice(text.lastIndexOf("\n", offset) + 1, offset);
  return /[[{][^\]}]*$/.test(before);
}

/** Up to the comma or bracket that ends it there. */
function partOf(written: string): string {
  return (written.split(/[,\]}]/, 1)[0] ?? "").trim();
}

function hasOpenQuote(line: string): boolean {
  return (line.match(/"/g)?.length ?? 0) % 2 === 1;
}

/** The first word of the line after. */
function nextLine(text: string, from: number): [number, number] {
  const start = lineEnd(text, from) + 1;
  const indent = /^\s*/.exec(text.slice(start, start + 200))?.[0].length ?? 0;
  return [start + indent, Math.max(start + indent, lineEnd(text, start))];
}

function lineEnd(text: string, from: number): number {
  const end = text.indexOf("\n", from);
  return end < 0 ? text.length : end;
}

function shortened(text: string): string {
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}
