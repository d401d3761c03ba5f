import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { stringify } from "yaml";
import { advance } from "../../../engine/machine/advance.ts";
import { readAnswers } from "../../../engine/machine/answers.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import { own } from "../../../engine/machine/own.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import type { Run } from "../../../engine/machine/run.ts";
import { walkAnswers } from "../../../engine/machine/walk.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { fanText, sound } from "../procedure/fan-text.ts";
import { randomChoice, randomEvent } from "../random-event.ts";
import { randomTexts } from "../random-procedure.ts";

const OPENING = { run: "run-1", at: 1_700_000_000_000 };

const STEPS = `
  first:
    ask: Well?
    answers: { "yes": { goto: second }, "no": { goto: second } }
    evidence: { fuse-open: { "yes": 0.6 }, otherwise: { "no": 0.6 } }
  second:
    ask: And now?
    needs: [shield-off]
    answers: { "yes": { goto: bad }, "no": { goto: bad } }
    evidence: { motor-open: { "yes": 0.6 }, otherwise: { "no": 0.6 } }
  bad: { end: referred }`;

const FACTS = "\n  plug: { ask: Which plug?, choices: { round: Round, flat: Flat } }";

function walked(procedure: Procedure, text: string) {
  const read = readAnswers(text, "answers.yaml", procedure);
  if (!read.ok) throw new Error(JSON.stringify(read.findings));
  return walkAnswers(procedure, OPENING, read.answers);
}

const free = (order = "true") =>
  sound(fanText({ "free-order": order, start: "first", steps: STEPS, facts: FACTS }));

/** What a run comes to, whoever gave its answers. */
const result = ({ path, minutes, end, made, struck, concluded }: Run) => ({
  path: path.map(({ seq: _, ...row }) => row),
  minutes,
  end,
  made,
  struck,
  concluded,
});

/** The answers file that a recorded run amounts to: each answer at its visit, each choice where it was made. */
function answersOf(procedure: Procedure, run: Run): string {
  const steps = new Map<string, unknown[]>();
  const facts: Record<string, unknown> = {};
  const choices: { at: string; take: string; visit: number; apart: readonly string[]; after: string[] }[] =
    [];
  let before = openRun(procedure, OPENING);
  for (const event of run.events) {
    const visit = (own(before.visits, before.step) ?? 1) - 1;
    const say = (entry: unknown) => {
      const visits = steps.get(before.step) ?? [];
      // A visit that was left by choice had no answer.
      for (let index = visits.length; index < visit; index += 1) visits[index] = "cannot";
      visits[visit] = entry;
      steps.set(before.step, visits);
    };
    if (event.type === "choose")
      choices.push({
        at: before.step,
        take: event.step,
        visit: visit + 1,
        apart: before.made,
        after: Object.keys(before.facts).map((id) => `facts/${id}`),
      });
    else if (event.type === "answer") say(event.answer);
    else if (event.type === "reading") say({ reading: event.reading });
    else if (event.type === "cannot") say({ answer: "cannot", reason: event.reason });
    else if (event.type === "stop") say({ answer: "stop", reason: event.reason });
    else if (event.type === "done") say("done");
    else if (event.type === "fact")
      facts[event.fact] = typeof event.value === "object" ? "unknown" : event.value;
    const next = advance(procedure, before, event);
    if (!next.ok) throw new Error("a recorded event is refused");
    before = next.run;
  }
  return stringify(new Map<string, unknown>([...steps, ["facts", facts], ["choices", choices]]));
}

describe("a choice in an answers file", () => {
  it("takes a step instead of the one asked for, once, and the written one waits", () => {
    const { run } = walked(free(), `choices: [{ at: first, take: second }]\nfirst: "yes"\nsecond: "no"`);
    expect(run.path.map(({ step, outcome, chosen }) => [step, outcome, chosen])).toEqual([
      ["second", "no", true],
      ["first", "yes", undefined],
      ["bad", "referred", undefined],
    ]);
  });

  it("waits for the set-ups that were made before it", () => {
    const back = `first: "yes"\nsecond: "no"\nchoices:\n  - { at: first, take: second }\n  - { at: second, take: first`;
    // Left before the shield is off, the step asks for it when the written order comes to it.
    const early = walked(free(), `${back} }`).run;
    const late = walked(free(), `${back}, apart: [shield-off] }`).run;
    expect(early.events.findIndex(({ type }) => type === "set-up")).toBeGreaterThan(2);
    expect(late.events.map(({ type }) => type).slice(0, 3)).toEqual(["choose", "set-up", "choose"]);
    // Put back for the first step, which the written order looks at with the shield on, and taken off again.
    expect(late.minutes).toBe(early.minutes + 8 + 6);
  });

  it("is told where the step can't be taken, and where a name is not known", () => {
    const text = `choices: [{ at: first, take: second }]\nfirst: "yes"\nsecond: "no"`;
    expect(walked(free("false"), text)).toMatchObject({
      at: "first",
      refusal: { code: "not-to-choose", step: "second" },
    });
    // The first step needs nothing apart: what the row waits for never comes.
    expect(walked(free(), text.replace("second }", "second, apart: [shield-off] }")).refusal?.code).toBe(
      "not-to-choose",
    );
    const wrong = readAnswers(
      "choices: [{ at: frist, take: second, apart: [sheild-off], after: [facts/plugg] }]",
      "answers.yaml",
      free(),
    );
    expect(wrong.ok ? [] : wrong.findings.map(({ code, params }) => [code, params.nearest])).toEqual([
      ["unknown-step", "first"],
      ["unknown-name", "shield-off"],
      ["unknown-name", "facts/plug"],
    ]);
  });

  it("lets a recorded run of free order be walked again as it stands", () => {
    let choosing = 0;
    const draws = fc.array(fc.nat(10_000), { minLength: 5, maxLength: 60 });
    fc.assert(
      fc.property(randomTexts(true), draws, ({ text, called }, numbers) => {
        const { procedure } = loadProcedure(text, "random-one.yaml", {
          procedure: (id) => (id === "random-called" ? called : undefined),
          equipment: () => undefined,
        });
        if (procedure === undefined) return;
        let run = openRun(procedure, OPENING);
        for (const [index, draw] of [...numbers, ...Array(40).fill(1)].entries()) {
          const at = OPENING.at + index;
          const choice =
            index % 3 === 1 && index < numbers.length ? randomChoice(procedure, run, draw, at) : undefined;
          const event = choice ?? randomEvent(promptOf(procedure, run), draw, at);
          const next = event && advance(procedure, run, event);
          if (next?.ok === true) run = next.run;
        }
        // After a stop an answers file leaves things as they are: who stops puts back by hand.
        if (run.end === undefined || run.end === "stopped") return;
        if (run.path.some(({ chosen }) => chosen)) choosing += 1;
        expect(result(walked(procedure, answersOf(procedure, run)).run)).toEqual(result(run));
      }),
      { numRuns: 400, seed: 20261126 },
    );
    expect(choosing).toBeGreaterThan(40);
  });
});
