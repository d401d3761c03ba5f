/** Offers ids and words of the format while the author types. */
import { autocompletion, type CompletionContext, type CompletionResult } from "@codemirror/autocomplete";
import type { Extension } from "@codemirror/state";
import { choicesAt } from "../edits/complete.ts";
import type { Outline } from "../edits/outline.ts";

/** Lines looked at above the cursor to tell what a bare key belongs to. */
const LOOK_BACK = 60;

/** Returns completion that reads the names from whatever outline is the latest. */
export function editorCompletions(outline: () => Outline | undefined): Extension {
  return autocompletion({
    icons: false,
    override: [(context) => complete(context, outline())],
    activateOnTyping: true,
  });
}

function complete(context: CompletionContext, outline: Outline | undefined): CompletionResult | null {
  if (!outline) return null;
  const line = context.state.doc.lineAt(context.pos);
  const above: string[] = [];
  for (let number = Math.max(1, line.number - LOOK_BACK); number < line.number; number += 1) {
    above.push(context.state.doc.line(number).text);
  }
  const choices = choicesAt(line.text.slice(0, context.pos - line.from), above, outline);
  if (!choices || choices.words.length === 0) return null;
  return {
    from: line.from + choices.from,
    options: choices.words.map((label) => ({ label, detail: choices.what })),
    validFor: /^[\p{L}\p{N}_/-]*$/u,
  };
}
