/** A measurement asked in the terminal: its wait and limit, the reading, the leads, the part's temperature. */
import type { Prompt } from "../../engine/machine/prompt.ts";
import { parseReading } from "../../engine/quantity/parse-reading.ts";
import { parseReadings } from "../../engine/quantity/parse-readings.ts";
import { readingProblemSentence } from "../../engine/quantity/reading-problem.ts";
import { displayUnit } from "../../engine/quantity/units.ts";
import { type Asking, choose, type Told, WHY_WORD } from "./asking.ts";
import { COUNT, countAgain, countOnce, timeStep } from "./time-step.ts";

const TYPE = "type";
const CANNOT = "I can't measure this";

export async function askMeasure(
  asking: Asking,
  prompt: Prompt & { readonly kind: "measure" },
): Promise<Told> {
  const { draft } = asking;
  const instead = (await timeStep(asking, prompt, CANNOT)) ?? (await askReading(asking, prompt));
  if (instead !== undefined) return instead;
  if (prompt.leads) draft.leads ??= await askLeads(asking, prompt.unit);
  if (prompt.temperature !== undefined)
    draft.temperature ??= await askTemperature(asking, prompt.temperature);
  const { reading = "", leads, temperature, waited } = draft;
  return {
    kind: "event",
    event: {
      type: "reading",
      step: prompt.step,
      reading,
      ...(leads === undefined ? {} : { leads }),
      ...(temperature === undefined ? {} : { temperature }),
      ...(waited === undefined ? {} : { waited }),
    },
  };
}

/** The reading goes into the draft; what was told instead of it, if anything. */
async function askReading(
  asking: Asking,
  prompt: Prompt & { readonly kind: "measure" },
): Promise<Told | undefined> {
  const { draft, screen } = asking;
  while (draft.reading === undefined) {
    const typed = await typeReading(
      asking,
      `Reading in ${displayUnit(prompt.unit)} (Enter alone for more)`,
      prompt.unit,
      true,
      true,
      asking.mayAskWhy ? WHY_WORD : undefined,
    );
    if (typed.toLowerCase() === WHY_WORD) return { kind: "why" };
    if (typed !== "") {
      draft.reading = typed;
      break;
    }
    const { limitSeconds } = prompt;
    let goesOn = false;
    screen.gap();
    const told = await choose(
      asking,
      [{ name: "Type the reading", value: TYPE }, ...countAgain(limitSeconds)],
      CANNOT,
      async (value) => {
        goesOn = true;
        if (value === COUNT && limitSeconds !== undefined) await countOnce(asking, limitSeconds);
        return { kind: "back" };
      },
    );
    if (!goesOn) return told;
    screen.gap();
  }
  return undefined;
}

/** What the meter shows with the leads held together. */
export async function askLeads(asking: Asking, unit: string): Promise<string> {
  asking.screen.show(["", "Touch the two lead tips hard together, in the same range.", ""]);
  return typeReading(asking, `Leads in ${displayUnit(unit)}`, unit, false, true);
}

/** A temperature always says its unit: bare numbers are read in different ones on either side of an ocean. */
async function askTemperature(asking: Asking, sentence: string): Promise<string> {
  asking.screen.show(["", sentence, ""]);
  const typed = await typeReading(asking, "Temperature in °C, or with its unit", "degC");
  return /^[-+−]?[\d.,]+$/.test(typed) ? `${typed} degC` : typed;
}

/**
 * A typed reading that can be read; empty, or several with semicolons between them, only where that may be. `word`
 * may be typed in place of a reading.
 */
export function typeReading(
  { asker }: Asking,
  message: string,
  unit: string,
  mayBeEmpty = false,
  several = false,
  word?: string,
): Promise<string> {
  return asker.type(message, (text) => {
    if ((text === "" && mayBeEmpty) || text.toLowerCase() === word) return undefined;
    const parsed = several ? parseReadings(text, unit) : parseReading(text, unit);
    return parsed.ok ? undefined : readingProblemSentence(parsed.problem);
  });
}
