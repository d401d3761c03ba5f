/** The best order as a graph to be written down: a step a node, ways that go on alike joined. */
import { CALLS, CONCLUDES, ENDS } from "../bulk-procedure.ts";
import type { BestPlan } from "./best-plan.ts";
import { answersOf, type ProcedurePlan } from "./plan-problem.ts";
import type { PlanState } from "./plan-space.ts";

/** Where a branch leads: a test of the plan, a step of the procedure, or an end that has to be added. */
export type PlanTarget =
  | { readonly node: number }
  | { readonly step: string }
  | { readonly added: "seldom" | "not-told-apart" };

export interface PlanNode {
  readonly test: number;
  /** By outcome of the test. */
  readonly targets: ReadonlyMap<number, PlanTarget>;
  /** How often it is come to. */
  probability: number;
}

export interface WrittenPlan {
  /** What is asked first stands first. */
  readonly nodes: readonly PlanNode[];
  readonly first: PlanTarget;
}

/** States rarer than this are not asked on: whoever comes there had answers that do not fit together. */
const SELDOM = 0.002;

export function writtenPlan(plan: ProcedurePlan, best: BestPlan): WrittenPlan {
  const { bulk, problem } = plan;
  const total = problem.weights.reduce((sum, weight) => sum + weight, 0);
  const rarest = Math.min(...problem.weights.filter((weight) => weight > 0)) / total;
  const seldom = Math.min(SELDOM, rarest / 4);
  const nodes: PlanNode[] = [];
  const byShape = new Map<string, number>();
  const ends = endsByAnswers(plan);
  const concludes = concludesOf(plan);
  const isCall = (test: number) => bulk.kind[plan.planned[test]?.step ?? -1] === CALLS;
  const onlyAt = callPlaces(best, isCall, seldom);

  const targetOf = (state: PlanState): PlanTarget => {
    const { stop } = state;
    if (stop?.kind === "concluded") {
      const step = concludes.get([...(problem.groups[stop.group] ?? [])].sort((a, b) => a - b).join());
      return step === undefined ? { added: "not-told-apart" } : { step };
    }
    if (stop?.kind === "ended") {
      const end = ends.find(({ answers }) =>
        answers.every(({ test, outcome }) => state.answers[test] === outcome),
      );
      return end === undefined ? { added: "seldom" } : { step: end.step };
    }
    if (stop?.kind === "unresolved") return { added: "not-told-apart" };
    if (state.mass < seldom) return { added: "seldom" };
    const test = best.policy(state);
    // The faults of a called procedure belong to the one place that calls it.
    if (isCall(test) && onlyAt.get(test) !== state) return { added: "seldom" };
    const steps = best.space.steps(state, test);
    const targets = new Map(steps.map((step) => [step.outcome, targetOf(step.state)]));
    // What no fault left can show has to lead somewhere as well.
    for (const outcome of problem.tests[test]?.outcomes.keys() ?? [])
      if (!targets.has(outcome)) targets.set(outcome, { added: "seldom" });
    const shape = JSON.stringify([test, [...targets].sort(([a], [b]) => a - b)]);
    const same = byShape.get(shape);
    const known = same === undefined ? undefined : nodes[same];
    if (same !== undefined && known !== undefined) {
      known.probability += state.mass;
      return { node: same };
    }
    byShape.set(shape, nodes.length);
    nodes.push({ test, targets, probability: state.mass });
    return { node: nodes.length - 1 };
  };

  return { first: targetOf(best.space.start), nodes };
}

/** The likeliest state in which each call is made. */
function callPlaces(
  best: BestPlan,
  isCall: (test: number) => boolean,
  seldom: number,
): ReadonlyMap<number, PlanState> {
  const places = new Map<number, PlanState>();
  const seen = new Set<PlanState>();
  const on = (state: PlanState): void => {
    if (state.stop !== undefined || state.mass < seldom || seen.has(state)) return;
    seen.add(state);
    const test = best.policy(state);
    if (isCall(test) && state.mass > (places.get(test)?.mass ?? 0)) places.set(test, state);
    for (const step of best.space.steps(state, test)) on(step.state);
  };
  on(best.space.start);
  return places;
}

/** Ends of the written order with the answers that lead there. */
function endsByAnswers(plan: ProcedurePlan) {
  const { bulk, written, planned, problem } = plan;
  return written.flatMap((way) => {
    const step = bulk.steps[way.step];
    if (step === undefined || bulk.kind[way.step] !== ENDS || step.scope !== "" || step.id.includes("/"))
      return [];
    const answers = answersOf(planned, way);
    return answers.length === 0 || problem.ended.length === 0 ? [] : [{ answers, step: step.id }];
  });
}

/** The conclusion of each set of faults, by their numbers. */
function concludesOf({ bulk }: ProcedurePlan): ReadonlyMap<string, string> {
  const steps = new Map<string, string>();
  for (const [at, step] of bulk.steps.entries()) {
    if (bulk.kind[at] !== CONCLUDES || step.scope !== "") continue;
    const key = [...(bulk.concluded[at] ?? [])].sort((a, b) => a - b).join();
    if (!steps.has(key)) steps.set(key, step.id);
  }
  return steps;
}
