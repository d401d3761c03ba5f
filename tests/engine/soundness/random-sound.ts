/** Random procedures that are sound, and what single slips make of them. */
import fc from "fast-check";
import type { Band, Branch, Procedure, Step, StepId } from "../../../engine/procedure/model.ts";
import { act, ask, build, conclude, end, evidence, measure, type Way } from "./build-procedure.ts";

interface Sketch {
  readonly kind: "ask" | "two-bands" | "three-bands";
  readonly edge: number;
  readonly again: 0 | 1 | 2;
  readonly act: boolean;
  readonly prior: number;
  readonly strength: number;
}

const sketch: fc.Arbitrary<Sketch> = fc.record({
  kind: fc.constantFrom("ask", "two-bands", "three-bands"),
  edge: fc.integer({ min: -8, max: 40 }),
  again: fc.constantFrom(0, 0, 1, 2),
  act: fc.boolean(),
  prior: fc.integer({ min: 1, max: 4 }),
  strength: fc.constantFrom(0.96, 0.98, 0.99),
});

/** A test for each fault one after the other, some met by a short cut, retried or measured; what fails goes back. */
export function randomSound(): fc.Arbitrary<Procedure> {
  return fc
    .record({
      sketches: fc.array(sketch, { minLength: 2, maxLength: 4 }),
      shortCut: fc.boolean(),
      back: fc.boolean(),
      last: fc.boolean(),
    })
    .map(({ sketches, shortCut, back, last }) => {
      const tests = sketches.flatMap((one, at) => testOf(one, at, sketches.length, last));
      const faults = sketches.map((one, at) => [`f${at}`, one.prior] as const);
      const steps: readonly Step[] = [
        ...(shortCut ? [ask("which", { first: "t0", second: "t1" }, { evidence: evidence({}) })] : []),
        ...tests,
        ...(last ? [conclude("left", "other", { goto: "refer" })] : []),
        ...sketches.map((_, at) =>
          conclude(`c${at}`, `f${at}`, { verify: at === 0 && back ? "gone" : "still" }),
        ),
        ...(back ? [ask("gone", { yes: "mended", no: { goto: "t1", atMost: 1, else: "refer" } })] : []),
        ask("still", { yes: "mended", no: "refer" }),
        end("mended", "fixed"),
        end("refer", "referred"),
      ];
      return build(steps, {
        faults: { ...Object.fromEntries(faults), other: 1 },
        start: shortCut ? "which" : "t0",
      });
    });
}

function testOf(one: Sketch, at: number, count: number, last: boolean): readonly Step[] {
  const id = `t${at}`;
  const next = at + 1 < count ? (one.act ? `d${at}` : `t${at + 1}`) : last ? "left" : "refer";
  const between = one.act && at + 1 < count ? [act(`d${at}`, `t${at + 1}`)] : [];
  const found = `c${at}`;
  const edge = one.edge / 4;
  const rows = (yes: string, no: string) => ({
    evidence: evidence({ [`f${at}`]: { [yes]: one.strength }, otherwise: { [no]: one.strength } }),
  });
  const again: Way | undefined = one.again === 0 ? undefined : { goto: id, atMost: one.again, else: "refer" };
  switch (one.kind) {
    case "ask":
      return [
        ask(id, { yes: found, no: next, ...(again ? { unsure: again } : {}) }, rows("yes", "no")),
        ...between,
      ];
    case "two-bands":
      return [
        measure(
          id,
          { low: [`under ${edge} V`, found], high: [`from ${edge} V`, next] },
          { ...rows("low", "high"), ...(again ? { borderline: again, instrument: "meter" } : {}) },
        ),
        ...between,
      ];
    case "three-bands":
      return [
        measure(
          id,
          {
            low: [`to ${edge} V`, next],
            middle: [`over ${edge} V, under ${edge + 2} V`, next],
            high: [`from ${edge + 2} V`, found],
          },
          rows("high", "low"),
        ),
        ...between,
      ];
  }
}

export interface Mutant {
  readonly what: string;
  readonly procedure: Procedure;
}

/** Every procedure that one slip makes: a branch or an `else` left out, a limit moved, a goto to another step. */
export function mutantsOf(procedure: Procedure): readonly Mutant[] {
  const steps = [...procedure.steps.values()];
  const targets = steps.map(({ id }) => id).filter((id) => !id.startsWith("end/"));
  const written = steps.flatMap((step) => [...step.outcomes.values()].filter(({ implied }) => !implied));
  return [
    ...written.map((branch) => withoutBranch(procedure, branch)),
    ...written.map((branch) => withoutElse(procedure, branch)),
    ...steps.flatMap((step) => shiftedEdges(procedure, step)),
    ...written.flatMap((branch) => targets.map((target) => redirected(procedure, branch, target))),
  ].flatMap((mutant) => mutant ?? []);
}

function withStep(procedure: Procedure, step: Step): Procedure {
  return { ...procedure, steps: new Map([...procedure.steps, [step.id, step]]) };
}

/** A conclusion or an act without its only way on can't be written. */
function withoutBranch(procedure: Procedure, { step: id, outcome }: Branch): Mutant | undefined {
  const step = procedure.steps.get(id);
  const what = `${id} without ${outcome}`;
  const outcomes = new Map([...(step?.outcomes ?? [])].filter(([each]) => each !== outcome));
  if (step?.kind === "ask") {
    const answers = step.answers.filter((answer) => answer.id !== outcome);
    return { what, procedure: withStep(procedure, { ...step, outcomes, answers }) };
  }
  if (step?.kind !== "measure" || step.judged.by !== "bands") return undefined;
  const bands = step.judged.bands.filter((band) => band.id !== outcome);
  return { what, procedure: withStep(procedure, { ...step, outcomes, judged: { by: "bands", bands } }) };
}

function withoutElse(procedure: Procedure, branch: Branch): Mutant | undefined {
  const step = procedure.steps.get(branch.step);
  const { else: after, ...rest } = branch;
  if (step === undefined || after === undefined) return undefined;
  const outcomes = new Map([...step.outcomes, [branch.outcome, rest]]);
  return {
    what: `${branch.step} ${branch.outcome} without else`,
    procedure: withStep(procedure, { ...step, outcomes }),
  };
}

function shiftedEdges(procedure: Procedure, step: Step): readonly Mutant[] {
  if (step.kind !== "measure" || step.judged.by !== "bands") return [];
  const { bands } = step.judged;
  return bands.flatMap((band, at) =>
    (["low", "high"] as const).flatMap((side) =>
      [-3, -0.25, 0.25, 3].flatMap((by) => {
        const moved = shifted(band, side, by);
        if (moved === undefined) return [];
        const other = bands.map((each, index) => (index === at ? moved : each));
        const changed: Step = { ...step, judged: { by: "bands", bands: other } };
        return { what: `${step.id} ${band.id} ${side} by ${by}`, procedure: withStep(procedure, changed) };
      }),
    ),
  );
}

function shifted(band: Band, side: "low" | "high", by: number): Band | undefined {
  const limits = band[side];
  if (limits?.limit.kind !== "fixed") return undefined;
  const { value, unit } = limits.limit.quantity;
  return { ...band, [side]: { ...limits, limit: { kind: "fixed", quantity: { value: value + by, unit } } } };
}

function redirected(procedure: Procedure, branch: Branch, target: StepId): Mutant | undefined {
  const step = procedure.steps.get(branch.step);
  const [arm] = branch.arms;
  if (step === undefined || arm === undefined || arm.goto === target) return undefined;
  const moved: Branch = { ...branch, arms: [{ ...arm, goto: target }] };
  const outcomes = new Map([...step.outcomes, [branch.outcome, moved]]);
  const verify = step.kind === "conclude" && step.verify !== undefined ? { verify: target } : {};
  return {
    what: `${branch.step} ${branch.outcome} to ${target}`,
    procedure: withStep(procedure, { ...step, ...verify, outcomes } as Step),
  };
}
