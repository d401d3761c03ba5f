/** What has to be known before a step, asked in the terminal: facts, and limits from the maker's data. */
import type { Prompt } from "../../engine/machine/prompt.ts";
import type { FactValue, LimitWord } from "../../engine/procedure/model.ts";
import { parseReading } from "../../engine/quantity/parse-reading.ts";
import { readingProblemSentence } from "../../engine/quantity/reading-problem.ts";
import { displayUnit } from "../../engine/quantity/units.ts";
import { readCodes } from "../kit/codes-text.ts";
import { typeReading } from "./ask-measure.ts";
import { type Asking, choose, type Told } from "./asking.ts";

type FactPrompt = Prompt & { readonly kind: "fact" };

const TYPE = "\u0000type";
const NONE = "\u0000none";
const UNKNOWN = "\u0000unknown";

export function askFact(asking: Asking, prompt: FactPrompt): Promise<Told> {
  const { fact } = prompt;
  if (fact.list) return askCodes(asking, prompt);
  if (fact.measure) return askNumber(asking, prompt, fact.measure.unit);
  return choose(
    asking,
    [
      ...fact.choices.map((choice) => ({ name: choice.label, value: choice.id })),
      { name: "Not known", value: UNKNOWN },
    ],
    undefined,
    (value) => told(prompt, value === UNKNOWN ? { unknown: true } : value),
  );
}

function askCodes(asking: Asking, prompt: FactPrompt): Promise<Told> {
  return choose(
    asking,
    [
      { name: "No codes stored", value: NONE },
      { name: "Type the codes", value: TYPE },
      { name: "They can't be read", value: UNKNOWN },
    ],
    undefined,
    async (value) => {
      if (value === NONE) return told(prompt, []);
      if (value === UNKNOWN) return told(prompt, { unknown: true });
      asking.screen.gap();
      const typed = await asking.asker.type("Codes, with spaces between", (text) => {
        const { codes, wrong } = readCodes(text);
        if (wrong.length > 0)
          return `No trouble code: ${wrong.join(", ")}. A letter P, C, B or U, then four signs.`;
        return codes.length === 0 ? "Type them as in P0562 U0140." : undefined;
      });
      return told(prompt, readCodes(typed).codes, typed);
    },
  );
}

async function askNumber(asking: Asking, prompt: FactPrompt, unit: string): Promise<Told> {
  const typed = await asking.asker.type(`In ${displayUnit(unit)} (Enter alone for more)`, (text) => {
    if (text === "") return undefined;
    const parsed = parseReading(text, unit);
    if (!parsed.ok) return readingProblemSentence(parsed.problem);
    return Number.isFinite(parsed.reading.value) ? undefined : "Type a number here, not over range.";
  });
  const parsed = parseReading(typed, unit);
  if (parsed.ok) return told(prompt, parsed.reading.value, typed);
  asking.screen.gap();
  return choose(
    asking,
    [
      { name: "Type it", value: TYPE },
      { name: "Not known", value: UNKNOWN },
    ],
    undefined,
    (value) => {
      if (value === UNKNOWN) return told(prompt, { unknown: true });
      asking.screen.gap();
      return askNumber(asking, prompt, unit);
    },
  );
}

function told({ fact }: FactPrompt, value: FactValue, typed?: string): Told {
  return {
    kind: "event",
    event: { type: "fact", fact: fact.id, value, ...(typed === undefined ? {} : { typed }) },
  };
}

const WORDS: Readonly<Record<LimitWord, string>> = {
  from: "At least",
  to: "At most",
  over: "More than",
  under: "Less than",
};

export async function askSpecification(
  asking: Asking,
  prompt: Prompt & { readonly kind: "specification" },
): Promise<Told> {
  const { specification, limits: words, unit } = prompt;
  const limits: Partial<Record<LimitWord, string>> = {};
  for (const word of words) {
    const typed = await typeReading(
      asking,
      `${WORDS[word]}, in ${displayUnit(unit)} (Enter alone for more)`,
      unit,
      true,
    );
    if (typed === "") {
      asking.screen.gap();
      return choose(asking, [{ name: "Type the numbers", value: TYPE }], "I can't find it", () => {
        asking.screen.gap();
        return askSpecification(asking, prompt);
      });
    }
    limits[word] = typed;
  }
  const source = await asking.asker.type("Where did you read it", (text) =>
    text === "" ? "Label on the part, data sheet, page." : undefined,
  );
  return { kind: "event", event: { type: "specification", specification, limits, source } };
}
