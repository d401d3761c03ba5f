import { stagesOf } from "../machine/stages.ts";
import type { Finding } from "../procedure/finding.ts";
import type { Hazard } from "../procedure/model.ts";
import { type Analysis, walkable } from "./analysis.ts";
import { perStep } from "./per-step.ts";
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
  for (const step of analysis.flow.steps) if (step.kind === "call") add(step.brings ?? [], `${step.id}/`);
  return [...scopes].flatMap(([hazard, within]) => firstUnwarned(analysis, hazard, within));
}

/** In each of the scopes the first work on some way that comes before every caution about a hazard. */
function firstUnwarned(analysis: Analysis, hazard: Hazard, within: readonly string[]): readonly Finding[] {
  const findings: Finding[] = [];
  let left = within;
  const { procedure, flow } = analysis;
  const { steps, out } = walkable(analysis);
  const by = new Map<number, CameBy>();
  const seen = new Set([0]);
  const queue = steps.length === 0 ? [] : [0];
  for (const node of queue) {
    const step = flow.steps[steps[node] ?? -1];
    if (step === undefined) continue;
    const stages = stagesAt(procedure, step);
    const next = stages.find(({ work, covers }) => work || covers.has(hazard));
    if (next?.covers.has(hazard) !== true && next !== undefined) {
      const inside = left.filter((scope) => step.id.startsWith(scope));
      left = left.filter((scope) => !inside.includes(scope));
      if (inside.length > 0)
        findings.push({
          code: "missing-caution",
          severity: "error",
          params: {
            step: step.id,
            what: "equipment",
            hazard,
            ...(next.setUp === undefined ? {} : { setUp: next.setUp }),
            ...(next.fact === undefined ? {} : { fact: next.fact }),
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
