/**
 * Text → YAML document, with limits that stop before hostile text can hurt: the depth and the number of parts
 * are counted while the text is taken apart, and the composing of a flood of mistakes is cut short.
 */

import type { CST } from "yaml";
import { Composer, type Document, Lexer, Parser } from "yaml";

/** Brackets and indents inside each other. */
export const MAX_DEPTH = 64;
/** Words, marks, spaces and line ends; 1,000 well-filled steps have a quarter of it. */
const MAX_PARTS = 500_000;
/** Comments and blank lines before the first key. */
const MAX_PRELUDE = 20_000;
const MAX_MISTAKES = 1_000;
/** Uses of anchored values (`*name`). */
const MAX_ALIASES = 10_000;

/** Why a text is refused as a whole, and where in it that was seen. */
export interface YamlRefusal {
  readonly why:
    | "too-deep"
    | "too-many-aliases"
    | "too-many-parts"
    | "too-many-mistakes"
    | "two-documents"
    | "empty";
  readonly at: number;
}

/** The text's one document, mistakes listed in it, or why the text is refused. */
export function readYaml(
  text: string,
): { readonly document: Document.Parsed } | { readonly refusal: YamlRefusal } {
  try {
    const parts = takeApart(text);
    return { document: compose(parts, text.length) };
  } catch (error) {
    if (error instanceof Refused) return { refusal: { why: error.why, at: error.at } };
    // Only running out of stack is expected beyond the counted limits.
    if (error instanceof RangeError) return { refusal: { why: "too-deep", at: 0 } };
    throw error;
  }
}

class Refused extends Error {
  readonly why: YamlRefusal["why"];
  readonly at: number;
  constructor(why: YamlRefusal["why"], at: number) {
    super(why);
    this.why = why;
    this.at = at;
  }
}

function takeApart(text: string): CST.Token[] {
  const parser = new Parser();
  const parts: CST.Token[] = [];
  let documents = 0;
  let count = 0;
  let aliases = 0;
  const take = (tokens: Iterable<CST.Token>) => {
    for (const token of tokens) {
      if (token.type === "document") documents += 1;
      if (documents > 1 && token.type === "document") throw new Refused("two-documents", token.offset);
      parts.push(token);
      if (parts.length > MAX_PRELUDE) throw new Refused("too-many-parts", parser.offset);
    }
  };
  for (const lexeme of new Lexer().lex(text)) {
    take(parser.next(lexeme));
    count += 1;
    if (lexeme.startsWith("*")) aliases += 1;
    if (aliases > MAX_ALIASES) throw new Refused("too-many-aliases", parser.offset);
    // The document and the word being read stand on the stack as well.
    if (parser.stack.length > MAX_DEPTH + 2) throw new Refused("too-deep", parser.offset);
    if (count > MAX_PARTS) throw new Refused("too-many-parts", parser.offset);
  }
  take(parser.end());
  if (documents === 0) throw new Refused("empty", 0);
  return parts;
}

function compose(parts: readonly CST.Token[], length: number): Document.Parsed {
  // Repeated names are found by whoever walks the document: the library's own search compares all with all.
  const composer = new Composer({
    version: "1.2",
    schema: "core",
    resolveKnownTags: false,
    keepSourceTokens: true,
    uniqueKeys: false,
    prettyErrors: false,
    logLevel: "silent",
  });
  stopFlood(composer);
  for (const document of composer.compose(parts, true, length)) return document as Document.Parsed;
  throw new Refused("empty", 0);
}

/** Makes the composer give up after so many mistakes: a file of nothing else would keep it busy for seconds. */
function stopFlood(composer: Composer): void {
  const report: unknown = Reflect.get(composer, "onError");
  if (typeof report !== "function") return;
  let mistakes = 0;
  Reflect.set(composer, "onError", (...mistake: unknown[]) => {
    mistakes += 1;
    if (mistakes > MAX_MISTAKES) throw new Refused("too-many-mistakes", 0);
    Reflect.apply(report, composer, mistake);
  });
}
