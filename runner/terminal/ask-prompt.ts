/** A prompt asked in the terminal; the answer comes back as an event, or as a wish to do something else. */
import type { Prompt } from "../../engine/machine/prompt.ts";
import { acknowledgement } from "../kit/acknowledgement.ts";
import type { CardEvent } from "../kit/card-event.ts";
import { askFact, askSpecification } from "./ask-known.ts";
import { askMeasure } from "./ask-measure.ts";
import type { Choice } from "./asker.ts";
import { type Asking, choose, type Told } from "./asking.ts";
import { COUNT, countAgain, countOnce, timeStep } from "./time-step.ts";

/** What the technician told. Leaving the program throws `Left`. */
export async function askPrompt(asking: Asking, prompt: Prompt): Promise<Told> {
  switch (prompt.kind) {
    case "fact":
      return askFact(asking, prompt);
    case "specification":
      return askSpecification(asking, prompt);
    case "measure":
      return askMeasure(asking, prompt);
    case "set-up":
      return askDone(
        asking,
        prompt.change === "make" ? `Done: ${lowerFirst(prompt.setUp.title)}` : "It is back",
        "I can't do this",
        { type: "set-up", setUp: prompt.setUp.id, change: prompt.change },
      );
    case "cautions":
      return askDone(asking, acknowledgement(prompt.cautions), "I can't make it safe", {
        type: "acknowledge",
        for: prompt.for,
        cautions: prompt.cautions.map((caution) => caution.id),
      });
    case "ask":
      return askTimed(
        asking,
        prompt,
        prompt.answers.map((answer) => ({ name: answer.label, value: answer.id })),
        "I can't tell",
        (answer) => ({ type: "answer", step: prompt.step, answer }),
      );
    case "do":
      return askTimed(asking, prompt, [{ name: "This is done", value: "done" }], "I can't do this", () => ({
        type: "done",
        step: prompt.step,
      }));
    case "repair": {
      const repairs = prompt.repairs.map((repair) => lowerFirst(repair.title)).join(", ");
      return askDone(
        asking,
        repairs === "" ? "Repaired, now prove it" : `Done: ${repairs}`,
        "I can't repair this",
        { type: "done", step: prompt.step },
      );
    }
    case "concluded":
      return askDone(asking, "Note it and hand it on", "I can't go on", { type: "done", step: prompt.step });
    case "end":
      return askEnd(asking, prompt);
  }
}

/** An answer after the step's wait and limit; the limit can be counted again. */
async function askTimed(
  asking: Asking,
  prompt: Prompt & { readonly kind: "ask" | "do" },
  answers: readonly Choice[],
  cannotName: string,
  event: (answer: string) => CardEvent,
): Promise<Told> {
  const instead = await timeStep(asking, prompt, cannotName);
  if (instead !== undefined) return instead;
  const { limitSeconds } = prompt;
  return choose(asking, [...answers, ...countAgain(limitSeconds)], cannotName, async (value) => {
    if (value !== COUNT || limitSeconds === undefined) return { kind: "event", event: event(value) };
    await countOnce(asking, limitSeconds);
    asking.screen.gap();
    return askTimed(asking, prompt, answers, cannotName, event);
  });
}

function askDone(asking: Asking, name: string, cannotName: string, event: CardEvent): Promise<Told> {
  return choose(asking, [{ name, value: "done" }], cannotName, () => ({ kind: "event", event }));
}

const CLOSE = "\u0000close";
const LATER = "\u0000later";
const AMEND = "\u0000amend";
const LIST = "\u0000list";

/** What is still apart is put back one by one; the job can be closed with the rest on its list. */
async function askEnd(
  { asker, screen, mayAmend }: Asking,
  prompt: Prompt & { readonly kind: "end" },
): Promise<Told> {
  const left = prompt.putBack.filter((item) => !item.done);
  const value = await asker.choose([
    ...left.map((item) => ({ name: `Done: ${lowerFirst(item.do)}`, value: item.setUp })),
    {
      name: left.length === 0 ? "Close the job" : "Close the job with this apart",
      value: CLOSE,
      quiet: left.length > 0,
    },
    ...(mayAmend ? [{ name: "Change an earlier answer", value: AMEND, quiet: true }] : []),
    { name: "Come back to it later", value: LATER, quiet: true },
  ]);
  if (value === LATER) return { kind: "later" };
  if (value === AMEND) return { kind: "amend" };
  if (value !== CLOSE) return { kind: "event", event: { type: "set-up", setUp: value, change: "put-back" } };
  if (left.length === 0) return { kind: "close" };
  screen.show([
    "",
    `${left.length === 1 ? "One thing is" : `${left.length} things are`} still apart. Tell whoever takes the vehicle.`,
    "",
  ]);
  const sure = await asker.choose([
    { name: "Back to the list", value: LIST },
    { name: "Close it all the same", value: CLOSE },
  ]);
  return sure === CLOSE ? { kind: "close" } : { kind: "back" };
}

function lowerFirst(text: string): string {
  return /^[A-Z][a-z]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
}
