/** English for what YAML does to people: a text that it reads otherwise than it was meant. */
import type { Params } from "./wording-type.ts";

interface HintWords {
  readonly message: string;
  readonly mend: string;
}

export const HINT_WORDS = {
  message: (p: Params): string => hint(p).message,
  mend: (p: Params): string => hint(p).mend,
};

function hint(p: Params): HintWords {
  const text = p("text");
  switch (p("hint")) {
    case "percent":
      return {
        message: "A text can't begin with % unless it is in quotes.",
        mend: `Put it in quotes: "${text}", or the number first: 5 %.`,
      };
    case "reserved-character":
      return {
        message: `A text can't begin with ${text} unless it is in quotes.`,
        mend: "Put it in quotes.",
      };
    case "comma":
      return {
        message: `The comma cut the text in two: "${text}" became a key of its own.`,
        mend: "Put the whole text in quotes.",
      };
    case "colon":
      return {
        message: "A colon and a space inside a text make it a key with a value.",
        mend: "Put the whole text in quotes.",
      };
    case "tab":
      return { message: "The line is indented with a tab.", mend: "Indent with spaces." };
    case "dash":
      return {
        message: "A dash begins a list here, on the line of its key.",
        mend: "Put the list on lines of its own, or the text in quotes.",
      };
    case "indent":
      return {
        message: "This line is indented differently from its neighbours.",
        mend: "Begin it in the same column as the keys it belongs to.",
      };
    case "unclosed":
      return { message: `A ${text} was opened before here and never closed.`, mend: `Close the ${text}.` };
    case "missing-colon":
      return {
        message: `"${text}" is neither a key nor a value.`,
        mend: "Write a colon and a space after the key, or put the text in quotes.",
      };
    case "odd-space":
      return {
        message: `"${text}" has a space in it that is none to YAML, as copied text has.`,
        mend: "Type the space anew.",
      };
    case "loose-text":
      return {
        message: `"${text}" stands behind a value that was already complete.`,
        mend: "Put the whole text in quotes.",
      };
    case "backslash":
      return {
        message: `"${text}" means nothing in double quotes.`,
        mend: "Write \\\\ for a backslash, or use single quotes.",
      };
    case "star":
      return {
        message: `A text that begins with * stands for something named &${p("name")}, and there is none before it.`,
        mend: "Put the text in quotes.",
      };
    case "hash":
      return {
        message: `The text ends where "${text}" begins: a # after a space starts a remark.`,
        mend: "Put the whole text in quotes, or a space behind the #.",
      };
    case "repeated":
      return {
        message: `"${p("name")}" is written twice here; only one can count.`,
        mend: "Take one of them out.",
      };
    case "key-shape":
      return { message: "A list or a map stands where a name should.", mend: "Put the name in quotes." };
    case "more":
      return {
        message: `There are at least ${p("count")} more findings in this file.`,
        mend: "Mend the first ones first.",
      };
    default:
      return { message: "This line can't be read as it is written.", mend: "Put the text in quotes." };
  }
}
