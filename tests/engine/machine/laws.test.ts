import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { createActor, transition } from "xstate";
import { advance } from "../../../engine/machine/advance.ts";
import { countedEvent, runBefore } from "../../../engine/machine/amend.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import {
  eventLine,
  openingLine,
  replayRecord,
  verifyRecord,
  writeLine,
} from "../../../engine/machine/record.ts";
import type { Run } from "../../../engine/machine/run.ts";
import { settingsOf } from "../../../engine/machine/settings.ts";
import { stepOfState, toStatechart } from "../../../engine/machine/statechart.ts";
import { loadProcedure, usable } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { randomAmendment, randomChoice, randomEvent } from "../random-event.ts";
import { type RandomTexts, randomTexts } from "../random-procedure.ts";

const OPENING = { run: "run-1", at: 1_700_000_000_000 };
/** What makes a random procedure unsound in a way that walking it would show. */
const FLOW_CODES = new Set([
  "unknown-step",
  "dead-end",
  "endless-loop",
  "reading-gap",
  "reading-overlap",
  "set-up-conflict",
]);

function load({ text, called }: RandomTexts): Procedure {
  const loaded = loadProcedure(text, "random-one.yaml", {
    procedure: (id) => (id === "random-called" ? called : undefined),
    equipment: () => undefined,
  });
  const wrong = loaded.findings.filter((finding) => finding.severity === "error");
  if (loaded.procedure === undefined || !usable(loaded.findings))
    throw new Error(`the random procedure does not link: ${JSON.stringify(wrong)}`);
  return loaded.procedure;
}

const draws = fc.array(fc.nat(10_000), { minLength: 5, maxLength: 60 });

/**
 * Walks with the draws; some take a step by choice, and every fifth amends an earlier answer instead. `see` sees each
 * accepted event.
 */
function walk(
  procedure: Procedure,
  numbers: readonly number[],
  see: (before: Run, event: Parameters<typeof advance>[2], after: Run) => void,
): Run {
  let run = openRun(procedure, OPENING);
  for (const [index, draw] of numbers.entries()) {
    const at = OPENING.at + (index + 1) * 60_000;
    const amendment = index % 5 === 4 ? randomAmendment(run, draw, at) : undefined;
    const choice = index % 4 === 2 ? randomChoice(procedure, run, draw, at) : undefined;
    const event = amendment ?? choice ?? randomEvent(promptOf(procedure, run), draw, at);
    if (event === undefined) break;
    const next = advance(procedure, run, event);
    if (!next.ok) throw new Error(`${event.type} refused: ${JSON.stringify(next.refusal)}`);
    see(run, event, next.run);
    run = next.run;
  }
  return run;
}

describe("on random procedures and random answers", () => {
  it("the generator makes procedures whose flow is sound", () => {
    fc.assert(
      fc.property(randomTexts(), (texts) => {
        const findings = checkProcedure(load(texts), []);
        expect(findings.filter((finding) => FLOW_CODES.has(finding.code))).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it("replaying a record gives the run that wrote it", () => {
    fc.assert(
      fc.property(randomTexts(), draws, (texts, numbers) => {
        const procedure = load(texts);
        let last = openingLine(procedure, OPENING, "tests");
        const lines = [writeLine(last)];
        const run = walk(procedure, numbers, (before, event) => {
          last = eventLine(last, event, before.step);
          lines.push(writeLine(last));
        });
        const verified = verifyRecord(lines);
        if (!verified.ok) throw new Error(verified.problem.message);
        const replayed = replayRecord(procedure, verified.lines);
        if (!replayed.ok) throw new Error(JSON.stringify(replayed));
        expect(replayed.run).toEqual(run);
      }),
      { numRuns: 150 },
    );
  });

  it("the statechart stands where the pure function stands, after every event", () => {
    fc.assert(
      fc.property(randomTexts(), draws, (texts, numbers) => {
        const procedure = load(texts);
        const machine = toStatechart(procedure);
        let snapshot = createActor(machine, { input: OPENING }).getSnapshot();
        expect(stepOfState(machine, snapshot.value)).toBe(openRun(procedure, OPENING).step);
        walk(procedure, numbers, (_, event, after) => {
          [snapshot] = transition(machine, snapshot, event);
          expect(stepOfState(machine, snapshot.value)).toBe(after.step);
          expect(snapshot.context.run).toEqual(after);
        });
      }),
      { numRuns: 120 },
    );
  });

  it("every event that counts can be gone back to, at the prompt that it answered", () => {
    fc.assert(
      fc.property(randomTexts(), draws, (texts, numbers) => {
        const procedure = load(texts);
        const run = walk(procedure, numbers, () => {});
        for (const row of run.path) {
          const kind = procedure.steps.get(row.step)?.kind;
          if (kind === "call" || kind === "end" || row.outcome === "stop") continue;
          const before = runBefore(procedure, run, row.seq);
          const event = countedEvent(run, row.seq);
          if (before === undefined || event === undefined) throw new Error(`${row.seq} does not count`);
          expect(row.step.startsWith("facts/") || before.step === row.step).toBe(true);
          const prompt = promptOf(procedure, before);
          if (event.type !== "fact" && event.type !== "cannot")
            expect(prompt).toMatchObject({ step: row.step });
          const at = OPENING.at + 10_000_000;
          const other = randomEvent(prompt, (numbers[0] ?? 0) % 36, at);
          if (other === undefined) throw new Error("an end can't be gone back to");
          const next = advance(procedure, run, { type: "amend", at, seq: row.seq, event: other });
          if (!next.ok)
            throw new Error(`${other.type} for ${event.type} refused: ${JSON.stringify(next.refusal)}`);
          const then = randomEvent(promptOf(procedure, next.run), 1, at);
          if (then !== undefined) expect(advance(procedure, next.run, then).ok).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
  });

  it("an answer amended to what it was leaves path and end as they were", () => {
    fc.assert(
      fc.property(randomTexts(), draws, fc.nat(1000), (texts, numbers, pick) => {
        const procedure = load(texts);
        let run = openRun(procedure, OPENING);
        for (const [index, draw] of numbers.entries()) {
          const event = randomEvent(promptOf(procedure, run), draw, OPENING.at + index * 1000);
          const next = event && advance(procedure, run, event);
          if (!next?.ok) break;
          run = next.run;
        }
        const amendable = run.counted.filter((seq) => {
          const type = run.events[seq - 1]?.type;
          return type === "answer" || type === "reading";
        });
        const seq = amendable[pick % Math.max(1, amendable.length)];
        const event = seq === undefined ? undefined : run.events[seq - 1];
        if (seq === undefined || event === undefined) return;
        const amended = advance(procedure, run, { type: "amend", at: event.at, seq, event });
        if (!amended.ok) throw new Error(JSON.stringify(amended.refusal));
        const plain = (one: Run) => one.path.map(({ seq: _, ...row }) => row);
        expect(plain(amended.run)).toEqual(plain(run));
        expect(amended.run.end).toBe(run.end);
        expect(amended.run.made).toEqual(run.made);
        expect(amended.run.minutes).toBe(run.minutes);
      }),
      { numRuns: 150 },
    );
  });

  it("free order: a choice enters no conclusion without its proof, takes none away from the written way, and no answer twice", () => {
    const seen = { chosen: 0, ahead: 0, proven: 0 };
    fc.assert(
      fc.property(randomTexts(true), draws, (texts, numbers) => {
        const procedure = load(texts);
        walk(procedure, numbers, (before, event, after) => {
          if (event.type === "choose") seen.chosen += 1;
          seen.ahead += after.hops.filter((hop) => hop.ahead).length;
          expect(new Set(after.ahead).size).toBe(after.ahead?.length ?? 0);
          const step = procedure.steps.get(after.step);
          if (step?.kind !== "conclude" || after.step === before.step || event.type === "amend") return;
          const proof = (run: Run) =>
            posterior(procedure, run)
              .faults.filter(({ fault }) => step.faults.includes(fault))
              .reduce((sum, { probability }) => sum + probability, 0);
          // Its own answer leads there and out of the job: what the end says is heard, proven or not.
          const leadsOut = after.hops.some((hop) => hop.step === before.step && hop.goto === after.step);
          if (before.waiting !== undefined && leadsOut) {
            expect(step.verify).toBeUndefined();
            return;
          }
          const isProven = proof(after) >= procedure.certainty - 1e-9;
          if (before.waiting !== undefined && after.step !== before.waiting) {
            seen.proven += 1;
            expect(isProven).toBe(true);
          } else if (!isProven) {
            // The written way itself has too little: what was chosen took nothing away.
            const own = Object.entries(after.told).filter(([id]) => !after.ahead?.includes(id));
            expect(proof({ ...after, told: Object.fromEntries(own) })).toBeLessThan(procedure.certainty);
          }
        });
      }),
      { numRuns: 1500, seed: 7 },
    );
    // The law says nothing where the walks never come to it.
    expect(seen.chosen).toBeGreaterThan(100);
    expect(seen.ahead).toBeGreaterThan(5);
    expect(seen.proven).toBeGreaterThan(1);
  });

  it("no work on a machine comes before its caution, whatever is chosen, where check finds none missing", () => {
    const seen = { work: 0, chosen: 0 };
    fc.assert(
      fc.property(randomTexts(true), draws, (texts, numbers) => {
        const procedure: Procedure = { ...load(texts), hazards: ["rotating"] };
        const missing = checkProcedure(procedure).some(
          ({ code, params }) => code === "missing-caution" && params.what === "equipment",
        );
        if (missing) return;
        let warned = false;
        walk(procedure, numbers, (before, event) => {
          const covers = (id: string) => procedure.cautions.get(id)?.covers.includes("rotating");
          if (event.type === "acknowledge" && event.cautions.some(covers)) warned = true;
          if (event.type === "choose") seen.chosen += 1;
          const step = procedure.steps.get(before.step);
          const acts = step?.kind === "do" || (step?.kind === "conclude" && step.repairs.length > 0);
          const works =
            event.type === "reading" ||
            (event.type === "done" && acts) ||
            (event.type === "set-up" && event.change === "make");
          if (!works) return;
          seen.work += 1;
          expect(warned).toBe(true);
        });
      }),
      { numRuns: 200, seed: 11 },
    );
    expect(seen.work).toBeGreaterThan(5);
    expect(seen.chosen).toBeGreaterThan(1);
  });

  it("the written order has nothing made at a step that its settings do not name", () => {
    let looked = 0;
    fc.assert(
      fc.property(randomTexts(), draws, (texts, numbers) => {
        const procedure = load(texts);
        const settings = settingsOf(procedure);
        let run = openRun(procedure, OPENING);
        for (const draw of numbers) {
          const event = randomEvent(promptOf(procedure, run), draw, OPENING.at);
          const next = event && advance(procedure, run, event);
          if (!next?.ok) break;
          run = next.run;
          if (run.phase !== "open") continue;
          for (const id of run.made) expect([...(settings.get(run.step) ?? [])]).toContain(id);
          looked += run.made.length;
        }
      }),
      { numRuns: 200 },
    );
    expect(looked).toBeGreaterThan(100);
  });

  it("minutes never fall and set-ups are never made twice at once", () => {
    fc.assert(
      fc.property(randomTexts(), draws, (texts, numbers) => {
        const procedure = load(texts);
        walk(procedure, numbers, (before, _, after) => {
          expect(after.minutes).toBeGreaterThanOrEqual(before.minutes);
          expect(new Set(after.made).size).toBe(after.made.length);
        });
      }),
      { numRuns: 80 },
    );
  });
});
