/** What a run asks for now: its state turned into exactly one prompt. */

import type { Caution, Procedure, Repair, SetUp, Step } from "../procedure/model.ts";
import { scopeOf } from "../procedure/titles.ts";
import { filled } from "./filled.ts";
import { own } from "./own.ts";
import { bySignal, cautionsAtEnd, nextPreparation, type Preparation } from "./prepare.ts";
import type { Prompt, PutBackItem } from "./prompt.ts";
import type { Run } from "./run.ts";

/** The prompt of a run, everything a screen needs to show it in it. */
export function promptOf(procedure: Procedure, run: Run): Prompt {
  const step = procedure.steps.get(run.step);
  if (step === undefined || run.phase === "ended") {
    const cautions = cautionsAtEnd(procedure, run);
    return cautions ? preparationPrompt(procedure, run, step, cautions) : endPrompt(procedure, run, step);
  }
  const preparation = nextPreparation(procedure, run, step);
  return preparation
    ? preparationPrompt(procedure, run, step, preparation)
    : stepPrompt(procedure, run, step);
}

/** Every set-up made in this run that has to be put back, in the order to do it: last made first. */
export function putBackList(procedure: Procedure, run: Run): readonly PutBackItem[] {
  return run.everMade
    .flatMap((id) => {
      const putBack = procedure.setUps.get(id)?.putBack;
      if (putBack === undefined) return [];
      return {
        setUp: id,
        do: filled(procedure, run, scopeOf(id), putBack.do),
        ...(putBack.torque ? { torque: putBack.torque } : {}),
        done: !run.made.includes(id),
      };
    })
    .reverse();
}

function endPrompt(procedure: Procedure, run: Run, step: Step | undefined): Prompt {
  return {
    kind: "end",
    step: run.step,
    end: run.end ?? "unresolved",
    ...(step?.say === undefined ? {} : { say: filled(procedure, run, step.scope, step.say) }),
    ...(run.unproven === undefined ? {} : { unproven: faultTitles(procedure, run, run.unproven) }),
    putBack: putBackList(procedure, run),
  };
}

function faultTitles(procedure: Procedure, run: Run, id: string): readonly string[] {
  const step = procedure.steps.get(id);
  if (step?.kind !== "conclude") return [];
  return step.faults.map((fault) =>
    filled(procedure, run, scopeOf(fault), procedure.faults.get(fault)?.title ?? fault),
  );
}

function preparationPrompt(
  procedure: Procedure,
  run: Run,
  step: Step | undefined,
  next: Preparation,
): Prompt {
  switch (next.kind) {
    case "fact": {
      const fact = procedure.facts.get(next.fact);
      if (fact === undefined) throw new Error(`fact ${next.fact} was linked and is not there`);
      return { kind: "fact", fact };
    }
    case "specification": {
      const specification = procedure.specifications.get(next.specification);
      const open = specification?.open;
      if (open === undefined) throw new Error(`open specification ${next.specification} is not there`);
      return {
        kind: "specification",
        specification: next.specification,
        title: specification?.title ?? next.specification,
        unit: open.unit,
        limits: open.limits,
      };
    }
    case "set-up": {
      const setUp = procedure.setUps.get(next.setUp);
      if (setUp === undefined) throw new Error(`set-up ${next.setUp} was linked and is not there`);
      return { kind: "set-up", change: next.change, setUp: filledSetUp(procedure, run, setUp) };
    }
    case "cautions": {
      const cautions = bySignal(procedure, next.cautions).map((caution) =>
        filledCaution(procedure, run, caution),
      );
      return { kind: "cautions", for: next.for, next: whatFollows(procedure, run, step, next.for), cautions };
    }
  }
}

function filledSetUp(procedure: Procedure, run: Run, setUp: SetUp): SetUp {
  const fill = (text: string) => filled(procedure, run, scopeOf(setUp.id), text);
  return {
    ...setUp,
    title: fill(setUp.title),
    do: fill(setUp.do),
    ...(setUp.where === undefined ? {} : { where: fill(setUp.where) }),
    ...(setUp.putBack ? { putBack: { ...setUp.putBack, do: fill(setUp.putBack.do) } } : {}),
  };
}

function filledCaution(procedure: Procedure, run: Run, caution: Caution): Caution {
  const fill = (text: string) => filled(procedure, run, scopeOf(caution.id), text);
  return {
    ...caution,
    hazard: fill(caution.hazard),
    ...(caution.consequence === undefined ? {} : { consequence: fill(caution.consequence) }),
    avoid: fill(caution.avoid),
    ...(caution.acknowledge === undefined ? {} : { acknowledge: fill(caution.acknowledge) }),
  };
}

function filledRepair(procedure: Procedure, run: Run, repair: Repair): Repair {
  const fill = (text: string) => filled(procedure, run, scopeOf(repair.id), text);
  return {
    ...repair,
    title: fill(repair.title),
    do: repair.do.map((act) => ({
      ...act,
      say: fill(act.say),
      ...(act.where === undefined ? {} : { where: fill(act.where) }),
    })),
  };
}

/** The sentence that says what the cautions stand before. */
function whatFollows(procedure: Procedure, run: Run, step: Step | undefined, before: string): string {
  const setUp = (id: string) => {
    const found = procedure.setUps.get(id);
    return found && filledSetUp(procedure, run, found);
  };
  if (before.startsWith("set-up ")) return setUp(before.slice("set-up ".length))?.do ?? "";
  if (before.startsWith("put-back ")) return setUp(before.slice("put-back ".length))?.putBack?.do ?? "";
  if (step === undefined) return "";
  if (step.kind === "conclude" && step.repairs.length > 0)
    return step.repairs
      .flatMap((id) => procedure.repairs.get(id)?.title ?? [])
      .map((title) => filled(procedure, run, step.scope, title))
      .join("; ");
  const text = step.kind === "ask" ? step.ask : step.kind === "do" ? step.do : (step.say ?? step.title);
  return filled(procedure, run, step.scope, text);
}

function stepPrompt(procedure: Procedure, run: Run, step: Step): Prompt {
  const base = {
    step: step.id,
    title: filled(procedure, run, step.scope, step.title),
    ...(step.say === undefined ? {} : { say: filled(procedure, run, step.scope, step.say) }),
    ...(step.where === undefined ? {} : { where: filled(procedure, run, step.scope, step.where) }),
    ...(step.picture ? { picture: step.picture } : {}),
    tools: step.tools,
    apart: run.made.flatMap((id) => {
      const setUp = procedure.setUps.get(id);
      return setUp === undefined ? [] : filled(procedure, run, scopeOf(id), setUp.title);
    }),
    ...("waitMinutes" in step && step.waitMinutes !== undefined ? { waitMinutes: step.waitMinutes } : {}),
    ...("limitSeconds" in step && step.limitSeconds !== undefined ? { limitSeconds: step.limitSeconds } : {}),
    visit: own(run.visits, step.id) ?? 1,
  };
  switch (step.kind) {
    case "ask":
      return {
        kind: "ask",
        ...base,
        text: filled(procedure, run, step.scope, step.ask),
        answers: step.answers.map(({ id, label }) => ({
          id,
          label: filled(procedure, run, step.scope, label),
        })),
      };
    case "measure":
      return {
        kind: "measure",
        ...base,
        quantity: step.quantity,
        unit: step.readingUnit,
        ...(step.instrument === undefined
          ? {}
          : { instrument: procedure.instruments.get(step.instrument)?.title ?? step.instrument }),
        leads: step.correct?.leads === "ask",
        ...(step.correct?.temperature
          ? { temperature: filled(procedure, run, step.scope, step.correct.temperature.ask) }
          : {}),
        ...(step.plausible ? { plausible: step.plausible } : {}),
      };
    case "do":
      return { kind: "do", ...base, text: filled(procedure, run, step.scope, step.do) };
    case "conclude": {
      const faults = step.faults.flatMap((id) => {
        const fault = procedure.faults.get(id);
        if (fault === undefined) return [];
        const fill = (text: string) => filled(procedure, run, scopeOf(id), text);
        return { id, title: fill(fault.title), ...(fault.where ? { where: fill(fault.where) } : {}) };
      });
      if (step.verify === undefined) return { kind: "concluded", ...base, faults };
      const repairs = step.repairs
        .flatMap((id) => procedure.repairs.get(id) ?? [])
        .map((repair) => filledRepair(procedure, run, repair));
      return { kind: "repair", ...base, faults, repairs, acts: repairs.flatMap((repair) => repair.do) };
    }
    case "call":
    case "end":
      throw new Error(`a run does not stand at a ${step.kind} step`);
  }
}
