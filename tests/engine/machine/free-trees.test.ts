import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import type { Run } from "../../../engine/machine/run.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { SHIPPED, shippedProcedure } from "../../trees.ts";
import { randomChoice, randomEvent } from "../random-event.ts";

const OPENED = 1_700_000_000_000;
/** A job with every step chosen, every loop walked out and everything put back needs fewer. */
const MOST_EVENTS = 600;

/** Who changes their mind for ever answers nothing: after so many choices the job goes on as asked. */
const MOST_CHOICES = 100;

/** Walks to the end, every third event a choice where one is open; readings in volts are as good as any. */
function walkToEnd(procedure: Procedure, numbers: readonly number[]): Run {
  let run = openRun(procedure, { run: "run-1", at: OPENED });
  let choices = 0;
  for (let index = 0; index < MOST_EVENTS; index += 1) {
    const draw = (numbers[index % numbers.length] ?? 0) + index;
    const at = OPENED + index * 60_000;
    const mayChoose = draw % 3 === 0 && choices < MOST_CHOICES;
    const choice = mayChoose ? randomChoice(procedure, run, draw, at) : undefined;
    if (choice !== undefined) choices += 1;
    const event = choice ?? randomEvent(promptOf(procedure, run), draw, at);
    if (event === undefined) return run;
    const next = advance(procedure, run, event);
    if (next.ok) run = next.run;
    else if (next.refusal.code !== "bad-reading") throw new Error(JSON.stringify([event, next.refusal]));
  }
  return run;
}

describe("a shipped procedure whose order is set free", () => {
  it.each(SHIPPED)(
    "%s comes to an end whatever is chosen and answered, with nothing refused that it asks for",
    (id) => {
      const procedure = { ...shippedProcedure(id), freeOrder: true };
      fc.assert(
        fc.property(fc.array(fc.nat(10_000), { minLength: 7, maxLength: 40 }), (numbers) => {
          const run = walkToEnd(procedure, numbers);
          expect(run.phase).toBe("ended");
        }),
        { numRuns: 40 },
      );
    },
  );
});
