/** The clocks of a step: a wait before its answer, and the most that an energised act may last. */
import type { Prompt } from "../../engine/machine/prompt.ts";
import type { Choice } from "./asker.ts";
import { type Asking, choose, type Told } from "./asking.ts";

type Timed = Prompt & { readonly kind: "ask" | "measure" | "do" };

/** The value of `countAgain`'s choice; no id holds a control character. */
export const COUNT = "\u0000count";
const START = "start";
const ALREADY = "already";
const WITHOUT = "without";

/** Has the wait and the limit behind it when nothing is told; else what was told instead. */
export async function timeStep(asking: Asking, prompt: Timed, cannotName: string): Promise<Told | undefined> {
  if (asking.amending) return undefined;
  return (await waitFirst(asking, prompt, cannotName)) ?? (await countLimit(asking, prompt, cannotName));
}

async function waitFirst(asking: Asking, prompt: Timed, cannotName: string): Promise<Told | undefined> {
  const { draft, asker, screen } = asking;
  const minutes = prompt.waitMinutes;
  if (minutes === undefined || draft.waited !== undefined) return undefined;
  const told = await choose(
    asking,
    [
      { name: `Start the wait of ${minutes} min`, value: START },
      { name: `It has stood ${minutes} min already`, value: ALREADY },
    ],
    cannotName,
    async (value) => {
      if (value === ALREADY) draft.waited = minutes;
      else {
        screen.show(["", "Any key goes on before the time is up."]);
        const seconds = await asker.count({
          seconds: minutes * 60,
          running: "Waiting:",
          over: "The wait is over.",
        });
        draft.waited = Math.round(seconds / 6) / 10;
      }
      return { kind: "back" };
    },
  );
  if (draft.waited === undefined) return told;
  screen.gap();
  return undefined;
}

async function countLimit(asking: Asking, prompt: Timed, cannotName: string): Promise<Told | undefined> {
  const { draft, screen } = asking;
  const seconds = prompt.limitSeconds;
  if (seconds === undefined || draft.timed) return undefined;
  screen.show([`At most ${seconds} s at a time.`, ""]);
  const told = await choose(
    asking,
    [
      { name: `Count the ${seconds} s from now`, value: START },
      { name: "I count myself", value: WITHOUT },
    ],
    cannotName,
    async (value) => {
      draft.timed = true;
      if (value === START) await countOnce(asking, seconds);
      return { kind: "back" };
    },
  );
  if (!draft.timed) return told;
  screen.gap();
  return undefined;
}

/** The way to count the limit once more, for a step that has one. */
export function countAgain(seconds: number | undefined): readonly Choice[] {
  return seconds === undefined ? [] : [{ name: `Count ${seconds} s again`, value: COUNT, quiet: true }];
}

/** Counts the limit down once. */
export async function countOnce({ asker, screen }: Asking, seconds: number): Promise<void> {
  screen.gap();
  await asker.count({ seconds, running: "Let go at zero:", over: "Let go now." });
}
