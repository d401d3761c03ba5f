/** A run walked by hand in a test: what is not looked at is prepared and acknowledged on the way. */
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { RunEvent } from "../../../engine/machine/event.ts";
import type { Prompt } from "../../../engine/machine/prompt.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import type { Refusal } from "../../../engine/machine/refusal.ts";
import type { Run } from "../../../engine/machine/run.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";

type Given = RunEvent extends infer E ? (E extends { at: number } ? Omit<E, "at"> : never) : never;

export const OPENED = 1_700_000_000_000;

export class Job {
  readonly procedure: Procedure;
  run: Run;
  /** ms; a minute goes by at each event unless it is set. */
  now = OPENED;
  /** Every prompt that was passed, in short. */
  readonly asked: string[] = [];

  constructor(procedure: Procedure) {
    this.procedure = procedure;
    this.run = openRun(procedure, { run: "run-1", at: OPENED });
  }

  get prompt(): Prompt {
    return promptOf(this.procedure, this.run);
  }

  /** Gives an event; throws where it is refused. */
  give(given: Given): this {
    const refusal = this.tryTo(given);
    if (refusal !== undefined) throw new Error(`${given.type} refused: ${JSON.stringify(refusal)}`);
    return this;
  }

  /** Gives an event; the refusal, if there is one. */
  tryTo(given: Given): Refusal | undefined {
    this.now += 60_000;
    const asked = short(this.prompt);
    const next = advance(this.procedure, this.run, { ...given, at: this.now } as RunEvent);
    if (!next.ok) return next.refusal;
    this.asked.push(asked);
    this.run = next.run;
    return undefined;
  }

  /** Acknowledges, makes and puts back until something else is asked. */
  ready(): this {
    for (;;) {
      const { prompt } = this;
      if (prompt.kind === "cautions")
        this.give({ type: "acknowledge", for: prompt.for, cautions: prompt.cautions.map((one) => one.id) });
      else if (prompt.kind === "set-up")
        this.give({ type: "set-up", setUp: prompt.setUp.id, change: prompt.change });
      else return this;
    }
  }

  /** Answers the step that is asked: an answer, a reading, `done` or `cannot`. */
  say(
    step: string,
    typed: string,
    more: { readonly temperature?: string; readonly leads?: string } = {},
  ): this {
    const { prompt } = this.ready();
    if (!("step" in prompt) || prompt.step !== step || prompt.kind === "end")
      throw new Error(`${step} is answered, ${short(prompt)} is asked`);
    if (typed === "cannot") return this.give({ type: "cannot", step, reason: "no room" });
    if (prompt.kind === "ask") return this.give({ type: "answer", step, answer: typed });
    if (prompt.kind === "measure") return this.give({ type: "reading", step, reading: typed, ...more });
    return this.give({ type: "done", step });
  }

  /** Number of the last event. */
  get seq(): number {
    return this.run.events.length;
  }

  /** The path as `step outcome`. */
  get path(): readonly string[] {
    return this.run.path.map((row) => `${row.step} ${row.outcome}`);
  }
}

function short(prompt: Prompt): string {
  switch (prompt.kind) {
    case "fact":
      return `fact ${prompt.fact.id}`;
    case "specification":
      return `specification ${prompt.specification}`;
    case "set-up":
      return `${prompt.change} ${prompt.setUp.id}`;
    case "cautions":
      return `cautions ${prompt.for}`;
    default:
      return `${prompt.kind} ${prompt.step}`;
  }
}
