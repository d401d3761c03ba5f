import { requirementsOf, withNeeds } from "../machine/set-ups.ts";
import { stagesOf } from "../machine/stages.ts";
import type { Finding } from "../procedure/finding.ts";
import type { Hazard, Step, StepId } from "../procedure/model.ts";
import { type Analysis, walkable } from "./analysis.ts";
import { perStep } from "./per-step.ts";
import type { OfStep } from "./step-lists.ts";
import { type CameBy, wayBack } from "./way-back.ts";
import { witnessOf } from "./witness.ts";

/**
 * `missing-caution` for the hazards of a whole machine, those at the top of a procedure and of its sheet: on every
 * way one covering caution comes before the first work. Those of a called procedure count for the work inside it.
 * Work is a reading, a fact that is measured, an act, a repair, and any set-up. A set-up is made before the cautions
 * of the step that needs it are shown, so only its own, or earlier ones, come in time; what its putting back says
 * comes after. A step that could not be done may not have shown its cautions. Exact but for conditions.
 */
export function checkMachineHazards(analysis: Analysis): readonly Finding[] {
  const scopes = new Map<Hazard, string[]>();
  const add = (hazards: readonly Hazard[], scope: string): void => {
    for (const hazard of hazards) scopes.set(hazard, [...(scopes.get(hazard) ?? []), scope]);
  };
  add(analysis.procedure.hazards, "");
  for (const { step } of analysis.steps.where(isCall))
    if (step.kind === "call") add(step.brings ?? [], `${step.id}/`);
  return [...scopes].flatMap(([hazard, within]) => firstUnwarned(analysis, hazard, within));
}

const isCall: OfStep = (_, { kind }) => kind === "call";

/** In each of the scopes the first work on some way that comes before every caution about a hazard. */
function firstUnwarned(analysis: Analysis, hazard: Hazard, within: readonly string[]): readonly Finding[] {
  const findings: Finding[] = [];
  let left = within;
  const { procedure, flow } = analysis;
  const { steps, out } = walkable(analysis);
  const putsBackFromOutside = puttingBack(analysis, hazard);
  const by = new Map<number, CameBy>();
  const seen = new Set([0]);
  const queue = steps.length === 0 ? [] : [0];
  for (const node of queue) {
    const step = flow.steps[steps[node] ?? -1];
    if (step === undefined) continue;
    const stages = stagesAt(procedure, step);
    const next = stages.find(({ work, covers }) => work || covers.has(hazard));
    const isUnwarned = next !== undefined && !next.covers.has(hazard);
    const around = left.filter((scope) => step.id.startsWith(scope));
    const inside = isUnwarned ? around : around.filter((scope) => putsBackFromOutside(step, scope));
    if (inside.length > 0) {
      left = left.filter((scope) => !inside.includes(scope));
      const { setUp, fact } = isUnwarned ? next : {};
      findings.push({
        code: "missing-caution",
        severity: "error",
        params: {
          step: step.id,
          what: "equipment",
          hazard,
          ...(setUp === undefined ? {} : { setUp }),
          ...(fact === undefined ? {} : { fact }),
        },
        node: step.node,
        step: step.id,
        witness: witnessOf(analysis, wayBack(by, node)),
      });
      if (left.length === 0 || inside.includes("")) return findings;
    }
    const isWarned = stages.some(({ covers }) => covers.has(hazard));
    for (const { to, edge } of out[node] ?? []) {
      const { branch } = flow.edges[edge] ?? {};
      // Not being able to look can be said before the caution was acknowledged.
      if (seen.has(to) || (isWarned && (branch?.step !== step.id || branch.outcome !== "cannot"))) continue;
      seen.add(to);
      by.set(to, { from: node, edge });
      queue.push(to);
    }
  }
  return findings;
}

const stagesAt = perStep(stagesOf);

/**
 * Whether a step in a call puts back, unwarned, what can have been made outside of it: the first work on the called
 * machine then. What was made inside was work itself, behind its own caution.
 */
function puttingBack({ procedure, flow }: Analysis, hazard: Hazard): (step: Step, scope: string) => boolean {
  const users = new Map<string, StepId[]>();
  const isAsked = flow.steps.some((step) => step.kind === "call" && step.brings?.includes(hazard));
  for (const step of isAsked ? flow.steps : [])
    for (const id of withNeeds(procedure, requirementsOf(procedure, step).needs))
      users.set(id, [...(users.get(id) ?? []), step.id]);
  const isWarned = (caution: string) => procedure.cautions.get(caution)?.covers.includes(hazard) === true;
  return (step, scope) =>
    scope !== "" &&
    requirementsOf(procedure, step).without.some((id) => {
      const { putBack } = procedure.setUps.get(id) ?? {};
      if (putBack === undefined || putBack.cautions.some(isWarned)) return false;
      return users.get(id)?.some((user) => !user.startsWith(scope)) === true;
    });
}
