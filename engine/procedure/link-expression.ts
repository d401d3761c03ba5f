/** Conditions, values and texts of a part: their names looked up where they stand. */
import { unitOf } from "../quantity/units.ts";
import { compileExpression, type ExpressionNames } from "./compile-expression.ts";
import type { FactType } from "./expression-environment.ts";
import type { Root } from "./expression-names.ts";
import { namelessPlace, namesInText } from "./fill-text.ts";
import { type Linking, nodeOf, type Part, type Path } from "./linking.ts";
import type { Expression } from "./model.ts";

/** The expression, or undefined with what was wrong with it. */
export function linkExpression(
  linking: Linking,
  part: Part,
  text: string,
  path: Path,
  wants: "bool" | "number",
  thisReading: boolean,
): Expression | undefined {
  const names = namesIn(linking, part, wants, thisReading);
  const { expression, findings } = compileExpression(text, part.scope, nodeOf(part, path), names);
  const step = path[0] === "steps" ? `${part.scope}${path[1]}` : undefined;
  for (const finding of findings) linking.add(step === undefined ? finding : { ...finding, step });
  return expression;
}

const PLAIN_NAME = /^(facts|readings|values)\.([A-Za-z0-9_]+(?:-[A-Za-z0-9_]+)*)$/;

/**
 * What a table goes by, with its unit where it is one fact or reading. `facts.battery-temperature` is a name
 * here, not a subtraction.
 */
export function linkBy(
  linking: Linking,
  part: Part,
  text: string,
  path: Path,
  thisReading: boolean,
): { readonly by: Expression; readonly unit?: string } | undefined {
  const [, root, name] = PLAIN_NAME.exec(text.trim()) ?? [];
  const written = root === undefined ? text : `${root}["${name}"]`;
  const by = linkExpression(linking, part, written, path, "number", thisReading);
  if (by === undefined || root === undefined) return by && { by };
  const unit = unitBehind(linking, by, root);
  return unit === undefined ? { by } : { by, unit };
}

function unitBehind(linking: Linking, by: Expression, root: string): string | undefined {
  const [fact] = by.facts;
  const [step] = by.readings;
  const raw = step === undefined ? undefined : linking.rawSteps.get(step)?.raw;
  const reading = root === "values" ? raw?.unit : (raw?.["reading-unit"] ?? raw?.unit);
  const written = fact === undefined ? reading : linking.rawFacts.get(fact)?.raw.unit;
  return written === undefined ? undefined : unitOf(written)?.symbol;
}

/** Reports the facts in a text that the part does not know, and gives the text back. */
export function linkText(linking: Linking, part: Part, text: string, path: Path): string {
  for (const name of namesInText(text)) linking.resolve(part, "fact", name, path);
  const nameless = namelessPlace(text);
  if (nameless !== undefined) linking.unknown(part, "fact", nameless, [], path);
  return text;
}

function namesIn(
  linking: Linking,
  part: Part,
  wants: "bool" | "number",
  thisReading: boolean,
): ExpressionNames {
  const find = (kind: "step" | "fact", name: string): string | undefined => {
    if (linking.anyName) return name;
    if (kind === "fact" && name === "codes") return name;
    const id = part.scope + name;
    return linking.has(kind, id) ? id : linking.byMember(part, kind, name);
  };
  return {
    wants,
    thisReading,
    resolve: (root, name) => {
      const id = find(root === "facts" ? "fact" : "step", name);
      if (id === undefined || root === "facts" || root === "elapsed" || linking.anyName) return id;
      return linking.rawSteps.get(id)?.raw.measure === undefined ? undefined : id;
    },
    candidates: (root) => candidatesFor(linking, part, root),
    factType: (id) => factType(linking, id),
    choices: (name) => {
      const id = find("fact", name);
      return id === undefined ? undefined : choicesOf(linking, part, id);
    },
  };
}

/** A call may give what no choice is; and of a sheet's tables only the procedure knows the facts. */
function choicesOf(linking: Linking, part: Part, id: string): readonly string[] | undefined {
  const { choices } = linking.rawFacts.get(id)?.raw ?? {};
  if (choices === undefined || linking.anyName || part.call !== undefined) return undefined;
  return Array.isArray(choices) ? choices : Object.keys(choices);
}

function candidatesFor(linking: Linking, part: Part, root: Root): readonly string[] {
  const all = linking.candidates(part, root === "facts" ? "fact" : "step");
  if (root === "facts" || root === "elapsed") return all;
  return all.filter((name) => linking.rawSteps.get(part.scope + name)?.raw.measure !== undefined);
}

function factType(linking: Linking, id: string): FactType {
  if (id === "codes") return "list<string>";
  // A sheet's table can only go by a number; whether the procedure's fact is one is seen when it is laid over.
  if (linking.anyName) return "double";
  return linking.rawFacts.get(id)?.raw.measure === undefined ? "string" : "double";
}
