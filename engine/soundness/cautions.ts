import type { Finding } from "../procedure/finding.ts";
import type { Hazard, NodePath, Procedure, Step } from "../procedure/model.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { checkMachineHazards } from "./machine-hazards.ts";
import { perStep } from "./per-step.ts";
import { closureOf } from "./set-up-conflict.ts";
import type { OfStep } from "./step-lists.ts";
import { witnessTo } from "./witness.ts";

/**
 * `missing-caution`: hazards that are met where no caution that covers them stands. A step's hazard may be
 * covered by its own cautions or by those of the set-ups it works in; a set-up's by its own; a repair's and its
 * acts' by the repair's, the act's and the conclusion's, which are all shown before the work. What the machine
 * itself does to people is looked at by {@link checkMachineHazards}. Exact but for conditions.
 */
export function checkCautions(analysis: Analysis): readonly Finding[] {
  const { procedure, steps } = analysis;
  const findings: Finding[] = [];
  // A set-up or repair that several steps come to lacks its caution once.
  const told = new Set<string>();
  for (const { index, step } of steps.where(lacksCaution)) {
    if (!isReached(analysis, index)) continue;
    for (const { hazard, met } of uncovered(procedure, step)) {
      const key = JSON.stringify([hazard, met.node]);
      if (told.has(key)) continue;
      told.add(key);
      findings.push(missing(analysis, index, step, hazard, met));
    }
  }
  return [...findings, ...checkMachineHazards(analysis)];
}

interface Met {
  readonly what: string;
  readonly hazards: readonly Hazard[];
  readonly cautions: readonly string[];
  readonly node: NodePath;
}

interface Uncovered {
  readonly hazard: Hazard;
  readonly met: Met;
}

const uncovered = perStep((procedure, step): readonly Uncovered[] =>
  metAt(procedure, step).flatMap((met) => {
    if (met.hazards.length === 0) return [];
    const covered = covers(procedure, met.cautions);
    return met.hazards.filter((hazard) => !covered.has(hazard)).map((hazard) => ({ hazard, met }));
  }),
);

const lacksCaution: OfStep = (procedure, step) => uncovered(procedure, step).length > 0;

const metAt = perStep((procedure, step): readonly Met[] => [...allMetAt(procedure, step)]);

function* allMetAt(procedure: Procedure, step: Step): Generator<Met> {
  const closures = new Map<string, ReadonlySet<string>>();
  const repairs =
    step.kind === "conclude" ? step.repairs.flatMap((id) => procedure.repairs.get(id) ?? []) : [];
  const ofRepairs = repairs.flatMap((repair) => repair.cautions);
  const needs = [step, ...repairs].flatMap((each) => each.needs);
  const setUps = [...new Set(needs.flatMap((id) => [...closureOf(procedure, closures, id)]))].flatMap(
    (id) => procedure.setUps.get(id) ?? [],
  );
  const inForce = setUps.flatMap((setUp) => setUp.cautions);
  yield {
    what: step.id,
    hazards: step.hazards,
    cautions: [...step.cautions, ...ofRepairs, ...inForce],
    node: step.node,
  };
  for (const setUp of setUps) {
    yield { what: setUp.id, hazards: setUp.hazards, cautions: setUp.cautions, node: setUp.node };
    // Made before it is put back, so that its own cautions were shown, too.
    const back = setUp.putBack;
    if (back !== undefined)
      yield {
        what: setUp.id,
        hazards: back.hazards ?? [],
        cautions: [...setUp.cautions, ...back.cautions],
        node: { ...setUp.node, path: [...setUp.node.path, "put-back"] },
      };
  }
  for (const repair of repairs) {
    const cautions = [...step.cautions, ...repair.cautions, ...inForce];
    yield { what: repair.id, hazards: repair.hazards, cautions, node: repair.node };
    for (const [index, act] of repair.do.entries())
      yield {
        what: repair.id,
        hazards: act.hazards,
        cautions: [...cautions, ...act.cautions],
        node: { ...repair.node, path: [...repair.node.path, "do", index] },
      };
  }
}

function covers(procedure: Procedure, cautions: readonly string[]): ReadonlySet<Hazard> {
  return new Set(cautions.flatMap((id) => procedure.cautions.get(id)?.covers ?? []));
}

function missing(analysis: Analysis, index: number, step: Step, hazard: Hazard, met: Met): Finding {
  const witness = witnessTo(analysis, index);
  return {
    code: "missing-caution",
    severity: "error",
    params: { step: step.id, what: met.what, hazard },
    node: met.node,
    step: step.id,
    ...(witness === undefined ? {} : { witness }),
  };
}
