import type { Finding } from "../procedure/finding.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";

/**
 * `impossible-branch`: arms that no choice of facts takes. Exact for conditions on facts with choices; a
 * condition on readings, measured facts or lists counts as open, so that an arm not listed can still be
 * impossible, as can one that facts asked earlier on the way rule out.
 */
export function checkArms(analysis: Analysis): readonly Finding[] {
  return analysis.flow.steps.flatMap((step, index) =>
    isReached(analysis, index)
      ? [...step.outcomes.values()].flatMap((branch) =>
          branch.arms.flatMap((arm, number) =>
            armFacts(analysis.procedure, branch, number) === "never" && !givenRulesOut(analysis, branch.arms)
              ? {
                  code: "impossible-branch" as const,
                  severity: "error" as const,
                  params: { step: step.id, outcome: branch.outcome, why: "condition", goto: arm.goto },
                  node: arm.node,
                  step: step.id,
                }
              : [],
          ),
        )
      : [],
  );
}

/** A fact that the call or the equipment sheet gives is there to leave arms out. */
function givenRulesOut(
  analysis: Analysis,
  arms: readonly { readonly if?: { readonly facts: readonly string[] } }[],
): boolean {
  return arms.some((arm) =>
    arm.if?.facts.some((id) => analysis.procedure.facts.get(id)?.given !== undefined),
  );
}
