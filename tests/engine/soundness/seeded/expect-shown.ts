/** Whether a finding's witness, replayed as an answers file, does what the finding says. */
import { expect } from "vitest";
import { advance } from "../../../../engine/machine/advance.ts";
import { type Answers, readAnswers } from "../../../../engine/machine/answers.ts";
import { openRun } from "../../../../engine/machine/apply.ts";
import type { RunEvent } from "../../../../engine/machine/event.ts";
import { numericBands } from "../../../../engine/machine/limits.ts";
import { promptOf } from "../../../../engine/machine/prompt-of.ts";
import type { Run } from "../../../../engine/machine/run.ts";
import { sceneOf } from "../../../../engine/machine/scene.ts";
import { type Walked, walkAnswers } from "../../../../engine/machine/walk.ts";
import type { Finding, WitnessStep } from "../../../../engine/procedure/finding.ts";
import type { Hazard, MeasureStep, Procedure } from "../../../../engine/procedure/model.ts";
import { nextSteps } from "../../../../engine/procedure/next-steps.ts";
import { posterior } from "../../../../engine/reasoning/posterior.ts";
import { witnessAnswers } from "../../../../engine/soundness/witness-answers.ts";

const OPENING = { run: "witness", at: 0 };

interface Replay {
  /** As far as the answers lead; absent where that has no end. */
  readonly walked?: Walked;
  /** The run when it has walked the witness's rows, and not on. */
  readonly run: Run;
}

export function expectShown(procedure: Procedure, finding: Finding): void {
  const { witness = [] } = finding;
  const { walked, run } = replayed(procedure, witness);
  if (finding.code === "reading-gap") {
    expectWalked(run, witness.slice(0, -1));
    if (walked === undefined) throw new Error("A reading that fits no band does not go round for ever.");
    expectNowhere(procedure, finding, witness, walked);
    return;
  }
  if (finding.code === "reading-not-taken") {
    // The last answer decides nothing where the condition on it can't be worked out: the run goes on by `cannot`.
    expectWalked(run, witness.slice(0, -1));
    const last = run.path[witness.length - 1];
    if (last !== undefined) expect([witness.at(-1)?.outcome, "cannot"]).toContain(last.outcome);
    expect(run.readings).not.toHaveProperty([String(finding.params.name)]);
    return;
  }
  expectWalked(run, witness);
  switch (finding.code) {
    case "dead-end":
      if (finding.params.why === "used-up") expect([run.phase, run.end]).toEqual(["ended", "unresolved"]);
      else expectNoEnd(procedure, finding, run);
      return;
    case "endless-loop": {
      const to = String(finding.params.to);
      expect(run.step === to || run.step.startsWith(`${to}/`)).toBe(true);
      expect(run.path.some(({ step }) => step === run.step)).toBe(true);
      return;
    }
    case "unsupported-conclusion":
      expectProbability(procedure, finding, run);
      return;
    case "reading-overlap":
      expectOther(procedure, finding, witness);
      return;
    case "no-verification": {
      if (finding.params.why === "never-holds") {
        expect(run.step).toBe(finding.params.verify);
        expect(run.verifying?.faults).not.toEqual([]);
        return;
      }
      const last = run.path.findLastIndex(({ step }) => procedure.steps.get(step)?.kind === "conclude");
      const looked = run.path
        .slice(last + 1)
        .filter(({ step }) => ["ask", "measure"].includes(procedure.steps.get(step)?.kind ?? ""))
        // A question with one answer, beside cannot and stop, shows nothing.
        .filter(({ step }) => (procedure.steps.get(step)?.outcomes.size ?? 0) > 3);
      expect(run.end).toBe("fixed");
      const isRepaired = run.path[last]?.outcome === "repaired";
      expect(finding.params.why).toBe(isRepaired ? "not-looked" : "not-repaired");
      if (isRepaired) expect(looked.filter(({ outcome }) => outcome !== "cannot")).toEqual([]);
      return;
    }
    case "hazard-not-referred":
      expect(run.path.map(({ step }) => step)).toContain(finding.step);
      expect(run.phase).toBe("ended");
      expect(run.end).not.toBe("referred");
      return;
    case "missing-caution":
      expectUncovered(procedure, finding, run);
      return;
    case "set-up-made-again":
      expect(run.step).toBe(finding.step);
      expect(run.everMade).toContain(finding.params.setUp);
      expect(run.made).not.toContain(finding.params.setUp);
      return;
    default:
      throw new Error(`Nothing says what a witness of ${finding.code} shows.`);
  }
}

function replayed(procedure: Procedure, witness: readonly WitnessStep[]): Replay {
  const read = readAnswers(witnessAnswers(procedure, witness), "answers.yaml", procedure);
  if (!read.ok) throw new Error(JSON.stringify(read.findings));
  const events: RunEvent[] = [];
  const walked = walkedAtMost(procedure, read.answers, events);
  let run = openRun(procedure, OPENING);
  for (const event of events) {
    if (run.path.length >= witness.length) break;
    run = accepted(procedure, run, event);
  }
  return { ...(walked ? { walked } : {}), run };
}

/** An endless loop goes on with the same answers: enough is seen long before the walk itself gives up. */
function walkedAtMost(procedure: Procedure, answers: Answers, events: RunEvent[]): Walked | undefined {
  try {
    return walkAnswers(procedure, OPENING, answers, (event) => {
      if (events.push(event) > MOST_EVENTS) throw new EnoughSeen();
    });
  } catch (error) {
    if (error instanceof EnoughSeen) return undefined;
    throw error;
  }
}

const MOST_EVENTS = 200;
class EnoughSeen extends Error {}

function accepted(procedure: Procedure, run: Run, event: RunEvent): Run {
  const next = advance(procedure, run, event);
  if (!next.ok) throw new Error(JSON.stringify(next.refusal));
  return next.run;
}

function expectWalked(run: Run, witness: readonly WitnessStep[]): void {
  const row = ({ step, outcome }: { readonly step: string; readonly outcome: string }) =>
    `${step} ${outcome}`;
  expect(run.path.slice(0, witness.length).map(row)).toEqual(witness.map(row));
}

/** The reading is refused, or has an outcome that the step leads nowhere. */
function expectNowhere(
  procedure: Procedure,
  { step = "" }: Finding,
  witness: readonly WitnessStep[],
  { at, refusal, run }: Walked,
): void {
  const row = run.path[witness.length - 1];
  if (row !== undefined) {
    expect(row.step).toBe(step);
    expect([...(procedure.steps.get(step)?.outcomes.keys() ?? [])]).not.toContain(row.outcome);
    return;
  }
  expect(at).toBe(step);
  expect(refusal).toMatchObject({ code: "bad-reading", problem: { code: "no-band" } });
}

function expectNoEnd(procedure: Procedure, { step: from = "" }: Finding, run: Run): void {
  expect(run.step).toBe(from);
  const reached = new Set([from]);
  for (const id of reached) {
    const step = procedure.steps.get(id);
    if (step) for (const next of nextSteps(procedure, step)) if (!next.startsWith("end/")) reached.add(next);
  }
  expect([...reached].filter((id) => procedure.steps.get(id)?.kind === "end")).toEqual([]);
}

function expectProbability(procedure: Procedure, { step, params }: Finding, run: Run): void {
  expect(run.step).toBe(step);
  const concluded = String(params.fault).split(", ");
  const proof = posterior(procedure, run)
    .faults.filter(({ fault }) => concluded.includes(fault))
    .reduce((sum, { probability }) => sum + probability, 0);
  expect(proof).toBeCloseTo(Number(params.probability), 3);
  expect(proof).toBeLessThan(procedure.certainty);
}

/** With the bands written the other way round, the very same reading is in the other one. */
function expectOther(procedure: Procedure, finding: Finding, witness: readonly WitnessStep[]): void {
  const step = procedure.steps.get(finding.step ?? "");
  if (step?.kind === "measure" && step.judged.by === "specification") {
    expectInverted(procedure, step, witness);
    return;
  }
  if (step?.kind !== "measure" || step.judged.by !== "bands") throw new Error(finding.step);
  // What lies in two bands can be too close to call: without a branch for that the band decides.
  const outcomesLeft = new Map([...step.outcomes].filter(([outcome]) => outcome !== "borderline"));
  const withBands = (bands: typeof step.judged.bands): Procedure => {
    const judged: MeasureStep = { ...step, outcomes: outcomesLeft, judged: { by: "bands", bands } };
    return { ...procedure, steps: new Map([...procedure.steps, [step.id, judged]]) };
  };
  const outcomes = [step.judged.bands, step.judged.bands.toReversed()].map(
    (bands) => replayed(withBands(bands), witness).run.path[witness.length - 1],
  );
  expect(outcomes.map((row) => row?.outcome).toSorted()).toEqual(
    [finding.params.first, finding.params.second].toSorted(),
  );
}

/** The reading lies below the lower limit and above the upper one that the run judges by. */
function expectInverted(procedure: Procedure, step: MeasureStep, witness: readonly WitnessStep[]): void {
  const { run } = replayed(procedure, witness);
  const bands = numericBands(procedure, run, step, sceneOf(procedure, run, 0)) ?? [];
  const end = (outcome: string, which: "low" | "high") =>
    bands.find((band) => band.outcome === outcome)?.[which] ?? Number.NaN;
  const value = run.readings[step.id]?.value ?? Number.NaN;
  expect(value).toBeLessThanOrEqual(end("below", "high"));
  expect(value).toBeGreaterThanOrEqual(end("above", "low"));
}

/** Nothing that is shown from arriving at the step until its work covers the hazard. */
function expectUncovered(procedure: Procedure, { step, params }: Finding, arrived: Run): void {
  expect(arrived.step).toBe(step);
  const what = String(params.what);
  const shown = new Set<Hazard>();
  for (let run = arrived; ; ) {
    const prompt = promptOf(procedure, run);
    if (prompt.kind === "cautions") {
      // A set-up's hazard is met when it is made: only what is shown for it comes in time.
      if (!procedure.setUps.has(what) || prompt.for === what)
        for (const { covers } of prompt.cautions) for (const hazard of covers) shown.add(hazard);
      const cautions = prompt.cautions.map(({ id }) => id);
      run = accepted(procedure, run, { type: "acknowledge", at: 0, for: prompt.for, cautions });
    } else if (prompt.kind === "set-up")
      run = accepted(procedure, run, {
        type: "set-up",
        at: 0,
        setUp: prompt.setUp.id,
        change: prompt.change,
      });
    else break;
  }
  expect([...shown]).not.toContain(params.hazard);
}
