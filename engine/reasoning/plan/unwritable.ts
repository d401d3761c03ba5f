/** Which best orders can't be written down as a text. */
import { expressionsOf } from "../../procedure/link-needs.ts";
import type { ProcedurePlan } from "./plan-problem.ts";
import type { PlannedTest } from "./planned-tests.ts";
import type { PlanTarget, WrittenPlan } from "./written-plan.ts";

export interface Unwritable {
  readonly step: string;
  /**
   * - `several-places`: the step would stand in several places although a condition or value uses its reading.
   * - `condition`: where it leads hangs on a condition.
   * - `call`: it would be called in several places, find something made or leave something made as it never does as
   *   written, or go on by more than what it returns.
   */
  readonly why: "several-places" | "condition" | "call";
}

/** A call in other places than its likeliest may come so seldom. */
const SELDOM_CALLED = 0.005;

/** Why an order can't be written; undefined where it can. */
export function unwritable(plan: ProcedurePlan, written: WrittenPlan): Unwritable | undefined {
  const twice = usedTwice(plan, written);
  if (twice !== undefined) return { step: twice, why: "several-places" };
  for (const { test, targets, strange } of written.nodes) {
    const one = plan.planned[test];
    if (one === undefined) continue;
    // A called procedure's set-ups have no name outside it.
    const nameless = [...strange].find((setUp) => setUp.includes("/"));
    if (nameless !== undefined) return { step: nameless.slice(0, nameless.indexOf("/")), why: "call" };
    const own = plan.bulk.steps[one.step];
    const hangs = [...(own?.outcomes.values() ?? [])].some(({ arms }) => arms.length > 1);
    if (one.kind === "draw" || hangs) return { step: own?.id ?? "", why: "condition" };
    if (one.kind !== "call") continue;
    if (written.callsElsewhere > SELDOM_CALLED || strange.size > 0 || returnsApart(plan, one, targets))
      return { step: one.id, why: "call" };
  }
  return undefined;
}

/** Steps that stand in several places. */
export function copiedSteps(
  { planned }: ProcedurePlan,
  { nodes }: Pick<WrittenPlan, "nodes">,
): ReadonlySet<string> {
  const counts = new Map<number, number>();
  for (const { test } of nodes) counts.set(test, (counts.get(test) ?? 0) + 1);
  return new Set([...counts].flatMap(([test, count]) => (count > 1 ? [planned[test]?.id ?? ""] : [])));
}

/** The word that a called procedure returns by after such a way; undefined where it concludes. */
export function returnWord({ bulk }: ProcedurePlan, call: PlannedTest, outcome: number): string | undefined {
  const last = call.walked[outcome]?.findLast((passed) => "step" in passed);
  if (last === undefined || !("step" in last) || (call.inside[outcome] ?? -1) >= 0) return undefined;
  const branch = (bulk.firstBranch[last.step] ?? 0) + last.outcome;
  const step = bulk.steps[bulk.armTo[bulk.firstArm[branch] ?? -1] ?? -1];
  if (step?.kind !== "end") return undefined;
  return step.end === "fixed" ? "fault-found" : step.end;
}

/** A step of several places whose reading is used by name elsewhere. */
function usedTwice(plan: ProcedurePlan, written: WrittenPlan): string | undefined {
  const { procedure } = plan.bulk;
  const expressions = [...procedure.steps.values()].flatMap((step) => [...expressionsOf(procedure, step)]);
  const used = new Set(expressions.flatMap(({ readings, elapsed }) => [...readings, ...elapsed]));
  return [...copiedSteps(plan, written)].find((step) => used.has(step));
}

/** Whether ways through a call that return alike would have to go on differently. */
function returnsApart(
  plan: ProcedurePlan,
  call: PlannedTest,
  targets: ReadonlyMap<number, PlanTarget>,
): boolean {
  const known = new Map<string, string>();
  for (const [outcome, target] of targets) {
    const word = returnWord(plan, call, outcome);
    // What nobody comes to may go on as the others do.
    if (word === undefined || ("added" in target && target.added === "seldom")) continue;
    const to = JSON.stringify(target);
    if ((known.get(word) ?? to) !== to) return true;
    known.set(word, to);
  }
  return false;
}
