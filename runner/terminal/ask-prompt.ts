/** A prompt asked in the terminal; the answer comes back as an event, or as a wish to do something else. */
import { confirm, input, select } from "@inquirer/prompts";
import type { Prompt } from "../../engine/machine/prompt.ts";
import type { FactValue, LimitWord } from "../../engine/procedure/model.ts";
import { parseReading } from "../../engine/quantity/parse-reading.ts";
import { readingProblemSentence } from "../../engine/quantity/reading-problem.ts";
import { displayUnit } from "../../engine/quantity/units.ts";
import type { CardEvent } from "../kit/card-event.ts";

export type Told =
  | { readonly kind: "event"; readonly event: CardEvent }
  | { readonly kind: "amend" }
  | { readonly kind: "why" }
  | { readonly kind: "close" };

const CANNOT = "\u0000cannot";
const STOP = "\u0000stop";
const AMEND = "\u0000amend";
const WHY = "\u0000why";
const GO = "\u0000go";

/** What the technician told. Ctrl-C rejects with the prompt library's ExitPromptError. */
export async function askPrompt(prompt: Prompt): Promise<Told> {
  switch (prompt.kind) {
    case "fact":
      return askFact(prompt);
    case "specification":
      return askSpecification(prompt);
    case "set-up":
      return askGo(prompt.change === "make" ? "That is done" : "That is put back", {
        type: "set-up",
        setUp: prompt.setUp.id,
        change: prompt.change,
      });
    case "cautions":
      return askGo(acknowledgement(prompt), {
        type: "acknowledge",
        for: prompt.for,
        cautions: prompt.cautions.map((caution) => caution.id),
      });
    case "ask":
      return afterChoice(
        await choose(
          "Your answer",
          prompt.answers.map((answer) => ({ name: answer.label, value: answer.id })),
          "I can't tell",
        ),
        prompt.step,
        (answer) => ({ type: "answer", step: prompt.step, answer }),
      );
    case "measure":
      return askMeasure(prompt);
    case "do":
      return afterChoice(
        await choose("When it is done", [{ name: "Done", value: GO }], "I can't do this"),
        prompt.step,
        () => ({
          type: "done",
          step: prompt.step,
        }),
      );
    case "repair":
      return askGo("The repair is made", { type: "done", step: prompt.step });
    case "concluded":
      return askGo("Go on to the referral", { type: "done", step: prompt.step });
    case "end":
      return askEnd(prompt);
  }
}

function acknowledgement(prompt: Prompt & { readonly kind: "cautions" }): string {
  const words = prompt.cautions.flatMap((caution) => caution.acknowledge ?? []);
  return words.length > 0 ? words.join("; ") : "I have made it safe";
}

async function askGo(name: string, event: CardEvent): Promise<Told> {
  return afterChoice(await choose("When you are ready", [{ name, value: GO }]), "", () => event);
}

async function choose(
  message: string,
  choices: readonly { readonly name: string; readonly value: string }[],
  cannot?: string,
): Promise<string> {
  return select({
    message,
    loop: false,
    pageSize: 14,
    choices: [
      ...choices,
      ...(cannot === undefined ? [] : [{ name: cannot, value: CANNOT }]),
      { name: "Why this? What is still possible?", value: WHY },
      { name: "Change an earlier answer", value: AMEND },
      { name: "Leave the job here", value: STOP },
    ],
  });
}

async function afterChoice(value: string, step: string, event: (value: string) => CardEvent): Promise<Told> {
  if (value === AMEND) return { kind: "amend" };
  if (value === WHY) return { kind: "why" };
  if (value === CANNOT)
    return { kind: "event", event: { type: "cannot", step, reason: await reason("Why can't it be done?") } };
  if (value === STOP)
    return { kind: "event", event: { type: "stop", reason: await reason("Why is the job left here?") } };
  return { kind: "event", event: event(value) };
}

async function reason(message: string): Promise<string> {
  return input({ message, validate: (text) => text.trim() !== "" || "A word or two for the record." });
}

async function askMeasure(prompt: Prompt & { readonly kind: "measure" }): Promise<Told> {
  const unit = displayUnit(prompt.unit);
  const typed = await readingOr(
    `What does it show, in ${unit}? (empty for other choices)`,
    prompt.unit,
    true,
  );
  if (typed === "") {
    const other = await choose(
      "What else?",
      [{ name: "Type the reading", value: GO }],
      "I can't measure this",
    );
    return other === GO
      ? askMeasure(prompt)
      : afterChoice(other, prompt.step, () => ({ type: "done", step: prompt.step }));
  }
  const leads = prompt.leads
    ? await readingOr(`Hold the two leads together: what does it show, in ${unit}?`, prompt.unit, false)
    : undefined;
  const temperature =
    prompt.temperature === undefined
      ? undefined
      : await readingOr(`${prompt.temperature}, in °C or with its unit`, "degC", false);
  return {
    kind: "event",
    event: {
      type: "reading",
      step: prompt.step,
      reading: typed,
      ...(leads === undefined ? {} : { leads }),
      ...(temperature === undefined ? {} : { temperature }),
    },
  };
}

async function readingOr(message: string, unit: string, empty: boolean): Promise<string> {
  const typed = await input({
    message,
    validate: (text) => {
      if (text.trim() === "") return empty || "A reading, please.";
      const parsed = parseReading(text, unit);
      return parsed.ok || readingProblemSentence(parsed.problem);
    },
  });
  return typed.trim();
}

async function askFact(prompt: Prompt & { readonly kind: "fact" }): Promise<Told> {
  const { fact } = prompt;
  const told = (value: FactValue, typed?: string): Told => ({
    kind: "event",
    event: { type: "fact", fact: fact.id, value, ...(typed === undefined ? {} : { typed }) },
  });
  if (fact.list) {
    const codes = await input({ message: "Trouble codes, with spaces between (empty for none)" });
    return told(codes.split(/[\s,]+/).filter((code) => code !== ""));
  }
  if (fact.measure) {
    const unit = fact.measure.unit;
    const typed = await readingOr(`In ${displayUnit(unit)} (empty if it can't be known)`, unit, true);
    const parsed = parseReading(typed, unit);
    return typed === "" || !parsed.ok ? told({ unknown: true }) : told(parsed.reading.value, typed);
  }
  const value = await select({
    message: "Your answer",
    choices: [
      ...fact.choices.map((choice) => ({ name: choice.label, value: choice.id })),
      { name: "Not known", value: CANNOT },
    ],
  });
  return value === CANNOT ? told({ unknown: true }) : told(value);
}

async function askSpecification(prompt: Prompt & { readonly kind: "specification" }): Promise<Told> {
  const words: Readonly<Record<LimitWord, string>> = {
    from: "From at least",
    to: "Up to at most",
    over: "More than",
    under: "Less than",
  };
  const limits: Partial<Record<LimitWord, string>> = {};
  for (const word of prompt.limits)
    limits[word] = await readingOr(`${words[word]}, in ${displayUnit(prompt.unit)}`, prompt.unit, false);
  const source = await input({
    message: "Where does that stand?",
    validate: (text) => text.trim() !== "" || "The book, page or plate it comes from.",
  });
  return {
    kind: "event",
    event: { type: "specification", specification: prompt.specification, limits, source },
  };
}

async function askEnd(prompt: Prompt & { readonly kind: "end" }): Promise<Told> {
  const left = prompt.putBack.filter((item) => !item.done);
  const next = left[0];
  if (next === undefined) return { kind: "close" };
  const value = await select({
    message: `Still to be put back: ${left.length}`,
    choices: [
      ...left.map((item) => ({ name: `Put back now: ${item.do}`, value: item.setUp })),
      { name: "Leave it apart; it stays on the list", value: GO },
    ],
  });
  if (value !== GO) return { kind: "event", event: { type: "set-up", setUp: value, change: "put-back" } };
  const sure = await confirm({ message: "Close the job with this still apart?", default: false });
  return sure ? { kind: "close" } : askEnd(prompt);
}
