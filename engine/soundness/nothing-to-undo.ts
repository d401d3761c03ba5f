import { excludedBy, requirementsOf, withNeeds } from "../machine/set-ups.ts";
import type { Finding } from "../procedure/finding.ts";
import type { Analysis } from "./analysis.ts";

/**
 * `set-up-not-put-back` as a warning: a step that must be `without` a set-up with `put-back: none`, which some step
 * has made. A run takes it for undone and tells nobody to do anything, as nothing says how; where the step makes
 * another set-up that excludes it, making that one says so. Whether the one step comes before the other is not
 * looked at.
 */
export function checkNothingToUndo({ procedure, flow }: Analysis): readonly Finding[] {
  const final = [...procedure.setUps.values()].filter(({ putBack }) => putBack === undefined);
  if (final.length === 0) return [];
  const made = new Set(
    flow.steps.flatMap((step) => withNeeds(procedure, requirementsOf(procedure, step).needs)),
  );
  const silent = new Set(final.filter(({ id }) => made.has(id)).map(({ id }) => id));
  return flow.steps.flatMap((step) => {
    const { needs, without } = requirementsOf(procedure, step);
    const makes = withNeeds(procedure, needs);
    return without
      .filter((id) => silent.has(id) && !makes.some((each) => excludedBy(procedure, each).has(id)))
      .map((setUp) => ({
        code: "set-up-not-put-back" as const,
        severity: "warning" as const,
        params: { setUp, step: step.id, why: "without" },
        node: step.node,
        step: step.id,
      }));
  });
}
