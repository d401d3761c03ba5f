import { requirementsOf } from "../machine/set-ups.ts";
import type { Finding } from "../procedure/finding.ts";
import type { NodePath, Procedure, StepId } from "../procedure/model.ts";
import type { Analysis } from "./analysis.ts";
import type { OfStep } from "./step-lists.ts";

/**
 * `set-up-conflict`: what must be made and undone for the same step, repair or set-up, with all that set-ups
 * need in turn; set-ups that need what must be without them; and set-ups that need themselves. Exact.
 */
export function checkSetUpConflicts(analysis: Analysis): readonly Finding[] {
  const { procedure } = analysis;
  const closures = new Map<string, ReadonlySet<string>>();
  const findings: Finding[] = [];
  const look = (wants: Wants, node: NodePath, step?: StepId): void => {
    for (const { setUp, by } of conflicts(procedure, closures, wants))
      findings.push({
        code: "set-up-conflict",
        severity: "error",
        params: { setUp, by },
        node,
        ...(step === undefined ? {} : { step }),
      });
  };
  for (const { step } of analysis.steps.where(needsSomething)) {
    look(step, step.node, step.id);
    if (step.kind !== "conclude" || step.repairs.length === 0) continue;
    // A run makes the set-ups of a conclusion and of all its repairs together.
    const parts = [step, ...step.repairs.flatMap((id) => procedure.repairs.get(id) ?? [])];
    const told = new Set(parts.flatMap((part) => against(procedure, closures, part).map(pairText)));
    for (const pair of against(procedure, closures, requirementsOf(procedure, step)))
      if (!told.has(pairText(pair)))
        findings.push({
          code: "set-up-conflict",
          severity: "error",
          params: pair,
          node: step.node,
          step: step.id,
        });
  }
  for (const repair of procedure.repairs.values()) look(repair, repair.node);
  for (const setUp of procedure.setUps.values()) {
    look(setUp, setUp.node);
    for (const by of closureOf(procedure, closures, setUp.id))
      if (by !== setUp.id && procedure.setUps.get(by)?.without.includes(setUp.id))
        findings.push({
          code: "set-up-conflict",
          severity: "error",
          params: { setUp: setUp.id, by },
          node: setUp.node,
        });
    if (setUp.needs.some((need) => closureOf(procedure, closures, need).has(setUp.id)))
      findings.push({
        code: "set-up-conflict",
        severity: "error",
        params: { setUp: setUp.id, why: "circle" },
        node: setUp.node,
      });
  }
  return findings;
}

/** Where neither a step nor its repairs need any set-up, nothing is in conflict. */
const needsSomething: OfStep = (procedure, step) => requirementsOf(procedure, step).needs.length > 0;

interface Wants {
  readonly needs: readonly string[];
  readonly without: readonly string[];
}

function* conflicts(
  procedure: Procedure,
  closures: Map<string, ReadonlySet<string>>,
  { needs, without }: Wants,
): Generator<{ readonly setUp: string; readonly by: string }> {
  if (needs.length === 0) return;
  const needed = new Set(needs.flatMap((need) => [...closureOf(procedure, closures, need)]));
  // The same name in both is told where the names are read.
  for (const setUp of without) if (needed.has(setUp) && !needs.includes(setUp)) yield { setUp, by: setUp };
  for (const by of needed)
    for (const setUp of procedure.setUps.get(by)?.without ?? []) if (needed.has(setUp)) yield { setUp, by };
}

interface Pair extends Readonly<Record<string, string>> {
  readonly setUp: string;
  readonly by: string;
}

function pairText({ setUp, by }: Pair): string {
  return JSON.stringify([setUp, by]);
}

/** {@link conflicts}, the same name in both included. */
function against(
  procedure: Procedure,
  closures: Map<string, ReadonlySet<string>>,
  { needs, without }: Wants,
): readonly Pair[] {
  const same = without.filter((id) => needs.includes(id)).map((id) => ({ setUp: id, by: id }));
  return [...same, ...conflicts(procedure, closures, { needs, without })];
}

/** A set-up with all that it needs, in turn. */
export function closureOf(
  procedure: Procedure,
  closures: Map<string, ReadonlySet<string>>,
  id: string,
): ReadonlySet<string> {
  const known = closures.get(id);
  if (known !== undefined) return known;
  const closure = new Set<string>([id]);
  for (const each of closure) for (const need of procedure.setUps.get(each)?.needs ?? []) closure.add(need);
  closures.set(id, closure);
  return closure;
}
