/** The findings of text and shape and those of the linker, without what the first made of the second. */
import type { Finding } from "./finding.ts";
import type { NodePath } from "./model.ts";
import { GUESSWORK } from "./parse.ts";
import type { Source } from "./source.ts";

/**
 * Both, each slip told once. Left out are names missed in a file of which a broken line left only part, names whose
 * entry is there but has a wrong shape, what stands in a line that could not be read, and, of two findings at one
 * place, the one that helps less: the one without the name that was meant, else the linker's. For each error that is
 * left out another stays.
 */
export function mergedFindings(
  read: readonly Finding[],
  linked: readonly Finding[],
  sources: ReadonlyMap<string, Source>,
): readonly Finding[] {
  if (linked.length === 0 || read.length === 0) return [...read, ...linked];
  const errors = read.filter(({ severity }) => severity === "error");
  const broken = new Set(
    errors.flatMap(({ params, node }) => (GUESSWORK.has(String(params.hint)) ? [node.file] : [])),
  );
  const entries = new Set(
    errors.flatMap(({ node }) => [node.path, ...partsOf(node.path)].map(keyIn(node.file))),
  );
  const places = new Set(errors.filter(({ span }) => span === undefined).map(placeOf));
  const unread = errors.filter(({ code, span }) => code === "plain-hint" && span !== undefined);
  for (const { node, span = [0, 0] } of unread) {
    const [table, entry] = sources.get(node.file)?.pathAt(span[0]) ?? [];
    if (table === "steps") entries.add(keyIn(node.file)([OUTCOMES, String(entry)]));
  }
  const kept = linked.filter((finding) => {
    const { node } = finding;
    if (unread.some((hint) => standsIn(finding, hint, sources))) return false;
    if (isName(finding) && (broken.has(node.file) || entries.has(keyIn(node.file)(declaredAs(finding)))))
      return false;
    return finding.params.nearest !== undefined || !places.has(placeOf(finding));
  });
  const named = new Set(kept.filter(isName).map(placeOf));
  const unshaped = read.filter((finding) => !(isBadName(finding) && named.has(placeOf(finding))));
  return [...unshaped, ...kept];
}

function standsIn({ node, atKey }: Finding, hint: Finding, sources: ReadonlyMap<string, Source>): boolean {
  if (node.file !== hint.node.file || hint.span === undefined) return false;
  const from = sources.get(node.file)?.place(node.path, atKey).from;
  return from !== undefined && from >= hint.span[0] && from < hint.span[1];
}

function isName({ code }: Finding): boolean {
  return code === "unknown-name" || code === "unknown-step";
}

function isBadName({ code, params }: Finding): boolean {
  return code === "wrong-shape" && params.expected === "id";
}

/** Where the name that was missed would stand. */
function declaredAs({ code, params, node }: Finding): Path {
  const name = String(params.name);
  if (code === "unknown-step") return ["steps", name];
  switch (params.what) {
    case "outcome":
      return [OUTCOMES, String(node.path[1])];
    case "limit":
      return [LIMITS, name];
    case "reading":
    case "value":
      return ["steps", name];
    default:
      return [`${params.what}s`, name];
  }
}

/** Of a wrong shape in it: the step that may lack an outcome by it, the limit that may be missed. */
function partsOf(path: Path): readonly Path[] {
  const [table, entry, key] = path;
  if (table === "steps" && OUTCOME_KEYS.has(key)) return [[OUTCOMES, String(entry)]];
  if (table === "specifications" && path.length === 3) return [[LIMITS, String(key)]];
  return [];
}

const OUTCOMES = "*outcomes";
const LIMITS = "*limits";
const OUTCOME_KEYS: ReadonlySet<unknown> = new Set(["answers", "bands", "outcomes", "returns"]);

type Path = NodePath["path"];

function keyIn(file: string): (path: Path) => string {
  return (path) => JSON.stringify([file, path]);
}

function placeOf({ node, atKey }: Finding): string {
  return JSON.stringify([node.file, node.path, atKey === true]);
}
