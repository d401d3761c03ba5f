/** Facts inside texts: `Unplug the {facts.connector}.` */
import type { FactValue } from "./model.ts";
import { titleOf } from "./titles.ts";

const PLACE = /\{\s*facts\.([^\s{}]+)\s*\}/g;

/** A place that names no fact: it would be shown as it is written. */
const NAMELESS = /\{\s*facts\.?\s*\}/;

/** Such a place in a text, as written. */
export function namelessPlace(text: string): string | undefined {
  return NAMELESS.exec(text)?.[0];
}

/** Names of the facts in a text, as written, each once. */
export function namesInText(text: string): readonly string[] {
  if (!text.includes("{")) return [];
  return [...new Set([...text.matchAll(PLACE)].map((match) => match[1] ?? ""))];
}

/**
 * The text with its facts filled in; a fact that is not known is called by its own name. `scope` is that of the
 * thing the text belongs to: a step's own, else `scopeOf` its id. `facts` gives a choice's label, not its id,
 * where there is one.
 */
export function fillText(text: string, scope: string, facts: (id: string) => FactValue | undefined): string {
  if (!text.includes("{")) return text;
  return text.replaceAll(PLACE, (_place, name: string) => wordsOf(facts(factId(scope, name)), name));
}

/** The full id of a fact that a file calls by a name of its own. `codes` is shared by all. */
export function factId(scope: string, name: string): string {
  return name === "codes" ? name : scope + name;
}

function wordsOf(value: FactValue | undefined, name: string): string {
  if (typeof value === "string") return value;
  if (typeof value === "number") return String(value);
  if (value !== undefined && "length" in value) return value.join(", ");
  return titleOf(name).toLowerCase();
}
