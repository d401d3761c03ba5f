import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { RunEvent } from "../../../engine/machine/event.ts";
import type { Run } from "../../../engine/machine/run.ts";
import type { Finding } from "../../../engine/procedure/finding.ts";
import type { Procedure, Step } from "../../../engine/procedure/model.ts";
import { nextSteps } from "../../../engine/procedure/next-steps.ts";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { analyse } from "../../../engine/soundness/analysis.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { evidenceTable } from "../../../engine/soundness/evidence-table.ts";
import { figuresOf } from "../../../engine/soundness/figures.ts";
import { leastProbabilities } from "../../../engine/soundness/proven.ts";
import { waysToConclusions } from "../../../engine/soundness/ways-to-conclusions.ts";
import { randomProcedure } from "./random-procedure.ts";
import { OPENING, replayWitness } from "./replay-witness.ts";

function eventFor(step: Step, choice: number, at: number): RunEvent {
  const base = { at, step: step.id };
  switch (step.kind) {
    case "ask":
      if (choice === 2 && step.outcomes.get("cannot")?.implied === false)
        return { ...base, type: "cannot", reason: "stuck" };
      return { ...base, type: "answer", answer: step.answers[choice % step.answers.length]?.id ?? "" };
    case "measure":
      return { ...base, type: "reading", reading: choice % 2 === 0 ? "0.4 V" : "2 V" };
    default:
      return { ...base, type: "done" };
  }
}

/** The states of a run walked at random, as long as it lasts, 60 events at most. */
function* walk(procedure: Procedure, choices: readonly number[]): Generator<Run> {
  let run = openRun(procedure, OPENING);
  for (const [at, choice] of choices.entries()) {
    yield run;
    const step = procedure.steps.get(run.step);
    if (run.phase === "ended" || step === undefined) return;
    const next = advance(procedure, run, eventFor(step, choice, at));
    if (!next.ok) throw new Error(JSON.stringify(next.refusal));
    run = next.run;
  }
  yield run;
}

function errors(findings: readonly Finding[], code: string) {
  return findings.filter((finding) => finding.code === code && finding.severity === "error");
}

function concludedProbability(procedure: Procedure, run: Run): number | undefined {
  const step = procedure.steps.get(run.step);
  if (step?.kind !== "conclude") return undefined;
  const { faults } = posterior(procedure, run);
  return faults
    .filter((each) => step.faults.includes(each.fault))
    .reduce((sum, each) => sum + each.probability, 0);
}

describe("on procedures written at random", () => {
  it("every witness, replayed, walks as it says", () => {
    fc.assert(
      fc.property(randomProcedure(), (procedure) => {
        for (const { code, witness } of checkProcedure(procedure)) {
          if (witness === undefined) continue;
          const run = replayWitness(procedure, witness);
          const walked = run.path.slice(0, witness.length).map(({ step, outcome }) => ({ step, outcome }));
          expect({ code, rows: walked }).toEqual({
            code,
            rows: witness.map(({ step, outcome }) => ({ step, outcome })),
          });
        }
      }),
      { numRuns: 150 },
    );
  });

  it("a conclusion called unsupported is so when its witness is walked", () => {
    let shown = 0;
    fc.assert(
      fc.property(randomProcedure(), (procedure) => {
        for (const finding of errors(checkProcedure(procedure), "unsupported-conclusion")) {
          const cut = replayWitness(procedure, finding.witness ?? []);
          expect(cut.step).toBe(finding.step);
          expect(concludedProbability(procedure, cut)).toBeCloseTo(Number(finding.params.probability), 3);
          shown += 1;
        }
      }),
      { numRuns: 150 },
    );
    expect(shown).toBeGreaterThan(30);
  });

  it("no run comes to a first conclusion with less than it needs unless that was found", () => {
    let short = 0;
    fc.assert(
      fc.property(
        randomProcedure(),
        fc.array(fc.array(fc.nat(2), { minLength: 25, maxLength: 25 }), { minLength: 5, maxLength: 5 }),
        (procedure, walks) => {
          const known = new Set(
            errors(checkProcedure(procedure), "unsupported-conclusion").map((each) => each.step),
          );
          for (const choices of walks)
            for (const run of walk(procedure, choices)) {
              const probability = concludedProbability(procedure, run);
              if (probability === undefined) continue;
              if (probability < procedure.certainty - 1e-6) {
                short += 1;
                expect(known).toContain(run.step);
              }
              // Later conclusions of the same run are warned of only.
              break;
            }
        },
      ),
      { numRuns: 300 },
    );
    expect(short).toBeGreaterThan(30);
  });

  it("no run comes to a later conclusion with less than it needs unless that was told, verifications' answers included", () => {
    let later = 0;
    fc.assert(
      fc.property(
        randomProcedure(),
        fc.array(fc.array(fc.nat(2), { minLength: 25, maxLength: 25 }), { minLength: 5, maxLength: 5 }),
        (procedure, walks) => {
          const known = checkProcedure(procedure).filter(({ code }) => code === "unsupported-conclusion");
          for (const choices of walks)
            for (const run of walk(procedure, choices)) {
              const step = procedure.steps.get(run.step);
              const probability = concludedProbability(procedure, run);
              if (step?.kind !== "conclude" || probability === undefined || run.concluded === undefined)
                continue;
              // Concluded again after its own failed verification, or after answers that fit no fault.
              if (step.faults.every((fault) => run.struck.includes(fault)) || probability === 0) continue;
              if (probability > procedure.certainty - 1e-6) continue;
              later += 1;
              expect(known.map((finding) => finding.step)).toContain(run.step);
            }
        },
      ),
      { numRuns: 600 },
    );
    expect(later).toBeGreaterThan(30);
  });

  it("the bound over all ways is never above what a run has at a conclusion", () => {
    let bounded = 0;
    fc.assert(
      fc.property(
        randomProcedure(),
        fc.array(fc.array(fc.nat(2), { minLength: 25, maxLength: 25 }), { minLength: 5, maxLength: 5 }),
        (procedure, walks) => {
          const analysis = analyse(procedure);
          const { flow, walked } = analysis;
          const asked = new Set([...flow.steps.keys()].filter((at) => flow.steps[at]?.kind === "conclude"));
          const { least } = leastProbabilities(
            analysis,
            evidenceTable(flow),
            waysToConclusions(analysis, asked, (_, id) => walked[id] === 1),
          );
          for (const choices of walks)
            for (const run of walk(procedure, choices)) {
              const step = procedure.steps.get(run.step);
              const probability = concludedProbability(procedure, run);
              if (step?.kind !== "conclude" || probability === undefined) continue;
              // A fault concluded again after its own failed verification is left to the run.
              if (step.faults.some((fault) => run.struck.includes(fault))) continue;
              bounded += 1;
              expect(probability).toBeGreaterThan((least.get(flow.indexOf.get(step.id) ?? -1) ?? 0) - 1e-9);
            }
        },
      ),
      { numRuns: 1000 },
    );
    expect(bounded).toBeGreaterThan(100);
  });

  it("what a warned conclusion is told to have is what its witness, walked, leaves of it", () => {
    let shown = 0;
    fc.assert(
      fc.property(randomProcedure(), (procedure) => {
        for (const finding of checkProcedure(procedure)) {
          if (finding.code !== "unsupported-conclusion" || finding.severity !== "warning") continue;
          const cut = replayWitness(procedure, finding.witness ?? []);
          expect(cut.step).toBe(finding.step);
          expect(concludedProbability(procedure, cut)).toBeCloseTo(Number(finding.params.probability), 3);
          shown += 1;
        }
      }),
      { numRuns: 300 },
    );
    expect(shown).toBeGreaterThan(30);
  });

  it("agrees with a plain closure and with runs about steps that can't be reached", () => {
    fc.assert(
      fc.property(
        randomProcedure(),
        fc.array(fc.nat(2), { minLength: 40, maxLength: 40 }),
        (procedure, choices) => {
          const findings = checkProcedure(procedure);
          const reached = new Set([procedure.start]);
          for (const id of reached) {
            const step = procedure.steps.get(id);
            if (step) for (const next of nextSteps(procedure, step)) reached.add(next);
          }
          const lost = [...procedure.steps.keys()].filter((id) => !reached.has(id) && !id.startsWith("end/"));
          const told = errors(findings, "unreachable-step").map((each) => each.step);
          // A used-up branch's else can be out of reach as well, which the closure does not see.
          for (const id of lost) expect(told).toContain(id);
          for (const run of walk(procedure, choices)) expect(told).not.toContain(run.step);
        },
      ),
      { numRuns: 150 },
    );
  });

  it("agrees with a walk over every state about runs that never end, and shows each", () => {
    let endless = 0;
    fc.assert(
      fc.property(randomProcedure(), (procedure) => {
        const known = canGoForEver(procedure);
        fc.pre(known !== undefined);
        const found = errors(checkProcedure(procedure), "endless-loop");
        expect(found.length > 0).toBe(known);
        for (const { witness = [] } of found) {
          expect(witness.length).toBeGreaterThan(0);
          endless += 1;
        }
      }),
      { numRuns: 300 },
    );
    expect(endless).toBeGreaterThan(50);
  });

  it("a procedure without an endless loop ends whatever is answered", () => {
    fc.assert(
      fc.property(
        randomProcedure(),
        fc.array(fc.nat(2), { minLength: 400, maxLength: 400 }),
        (procedure, choices) => {
          const findings = checkProcedure(procedure);
          fc.pre(errors(findings, "endless-loop").length === 0);
          const figures = figuresOf(procedure);
          const runs = [...walk(procedure, choices)];
          expect(runs.at(-1)?.phase).toBe("ended");
          expect(figures.longestSteps).not.toBeNull();
        },
      ),
      { numRuns: 80 },
    );
  });
});

/**
 * Whether a state of a run, where it stands and how often each bounded branch was taken, can come back: depth
 * first. Undefined above 20,000 states.
 */
function canGoForEver(procedure: Procedure): boolean | undefined {
  const MOST = 20_000;
  const open = new Set<string>();
  const done = new Set<string>();
  const stack: { readonly key: string; readonly next: { step: string; taken: Record<string, number> }[] }[] =
    [];
  const enter = (step: string, taken: Record<string, number>): boolean => {
    const key = JSON.stringify([step, Object.entries(taken).sort()]);
    if (open.has(key)) return true;
    if (done.has(key)) return false;
    open.add(key);
    const next = [...(procedure.steps.get(step)?.outcomes.values() ?? [])].flatMap((branch) => {
      const name = `${branch.step}:${branch.outcome}`;
      const times = taken[name] ?? 0;
      if (branch.atMost !== undefined && times >= branch.atMost)
        return branch.else === undefined ? [] : [{ step: branch.else, taken }];
      const after = branch.atMost === undefined ? taken : { ...taken, [name]: times + 1 };
      return branch.arms.map(({ goto }) => ({ step: goto, taken: after }));
    });
    stack.push({ key, next });
    return false;
  };
  if (enter(procedure.start, {})) return true;
  for (let top = stack.at(-1); top !== undefined; top = stack.at(-1)) {
    if (open.size + done.size > MOST) return undefined;
    const next = top.next.pop();
    if (next !== undefined) {
      if (enter(next.step, next.taken)) return true;
      continue;
    }
    stack.pop();
    open.delete(top.key);
    done.add(top.key);
  }
  return false;
}
