/** The best order as a graph to be written down: a step a node, ways that go on alike joined. */
import { isForSafety } from "../../machine/safety-work.ts";
import { settingsOf, undoneAt } from "../../machine/settings.ts";
import type { BestPlan } from "./best-plan.ts";
import type { ProcedurePlan } from "./plan-problem.ts";
import { stateBehindFront } from "./plan-report.ts";
import type { PlanState } from "./plan-space.ts";
import type { WrittenPlace } from "./problem.ts";

/** Where a branch leads: a test of the plan, a step of the procedure, or an end that has to be added. */
export type PlanTarget =
  | { readonly node: number }
  | { readonly step: string }
  | { readonly added: "seldom" | "not-told-apart" };

export interface PlanNode {
  readonly test: number;
  /** By outcome of the test. */
  readonly targets: ReadonlyMap<number, PlanTarget>;
  /** Set-ups that can be made there and that the author's order never has made at it: they are undone first. */
  readonly strange: Set<string>;
  /** How often it is come to. */
  probability: number;
}

export interface WrittenPlan {
  /** What is asked first stands first. */
  readonly nodes: readonly PlanNode[];
  readonly first: PlanTarget;
  /** How often a call would be made in another place than its likeliest: its faults belong to one place only. */
  readonly callsElsewhere: number;
  /** By repair: set-ups that have to do with a hazard and that the author's order never has made at it. */
  readonly strangeAtRepairs: ReadonlyMap<string, ReadonlySet<string>>;
}

/**
 * States rarer than this are not asked on where tests were moved: whoever comes there had answers that do not fit
 * together. What keeps its place is asked all the same, and what was answered as written goes on as written: a rare
 * answer may be the one that something dangerous shows itself by.
 */
const SELDOM = 0.002;

export function writtenPlan(plan: ProcedurePlan, best: BestPlan): WrittenPlan {
  const { bulk, problem } = plan;
  const total = problem.weights.reduce((sum, weight) => sum + weight, 0);
  const rarest = Math.min(...problem.weights.filter((weight) => weight > 0)) / total;
  const seldom = Math.min(SELDOM, rarest / 4);
  const nodes: PlanNode[] = [];
  const byShape = new Map<string, number>();
  const strangeAtRepairs = new Map<string, Set<string>>();
  let callsElsewhere = 0;
  const isCall = (test: number) => plan.planned[test]?.kind === "call";
  const stepOf = (at: number | undefined) => {
    const step = bulk.steps[at ?? -1];
    // An end that nobody wrote, or one inside a call, has no name here.
    return step === undefined || step.scope !== "" || step.id.includes("/") ? undefined : step.id;
  };
  const onlyAt = callPlaces(best, isCall, seldom);

  const targetOf = (state: PlanState): PlanTarget => {
    const { stop } = state;
    if (stop?.kind === "concluded") {
      const step = stepOf(stop.step);
      if (step === undefined) return { added: "not-told-apart" };
      noteAtRepairs(plan, step, state.made, strangeAtRepairs);
      return { step };
    }
    if (stop?.kind === "ended") {
      const step = stepOf(stop.step);
      return step === undefined ? { added: "seldom" } : { step };
    }
    if (stop?.kind === "unresolved") return { added: "not-told-apart" };
    const rare = state.mass < seldom;
    const inPlace = rare ? testInPlace(plan, state) : undefined;
    if (rare && inPlace === undefined) return { added: "seldom" };
    const test = inPlace ?? best.policy(state);
    // The faults of a called procedure belong to the one place that calls it.
    if (isCall(test) && onlyAt.get(test) !== state) {
      callsElsewhere += state.mass;
      return { added: "seldom" };
    }
    const steps = best.space.steps(state, test);
    const targets = new Map(steps.map((step) => [step.outcome, targetOf(step.state)]));
    // What no fault left can show leads on as written where the test is in its turn, else to an end.
    const inTurn = state.place?.kind === "asks" && state.place.test === test;
    for (const outcome of problem.tests[test]?.outcomes.keys() ?? [])
      if (!inTurn && !targets.has(outcome) && !endsAt(plan, test, outcome))
        targets.set(outcome, { added: "seldom" });
    const shape = JSON.stringify([test, [...targets].sort(([a], [b]) => a - b)]);
    const same = byShape.get(shape);
    const known = same === undefined ? undefined : nodes[same];
    const strange = strangeTo(plan, test, state.made);
    if (same !== undefined && known !== undefined) {
      for (const id of strange) known.strange.add(id);
      known.probability += state.mass;
      return { node: same };
    }
    byShape.set(shape, nodes.length);
    nodes.push({ test, targets, strange: new Set(strange), probability: state.mass });
    return { node: nodes.length - 1 };
  };

  return { first: targetOf(stateBehindFront(plan, best)), nodes, callsElsewhere, strangeAtRepairs };
}

/** Of what is made, the set-ups that some step of a test finds undone in the author's order. */
function strangeTo({ bulk, planned }: ProcedurePlan, test: number, made: number): readonly string[] {
  const settings = settingsOf(bulk.procedure);
  const steps = (planned[test]?.walked ?? []).flat().flatMap((one) => {
    const step = "step" in one ? bulk.steps[one.step] : undefined;
    return step === undefined ? [] : step;
  });
  return bulk.setUps
    .names(made)
    .filter((id) => steps.some((step) => undoneAt(bulk.procedure, step, [id], false, true).includes(id)))
    .filter((id) => steps.some((step) => settings.get(step.id)?.has(id) === false));
}

/** Repairs are made with the engine stopped, say, where the author has them made so. */
function noteAtRepairs(
  { bulk }: ProcedurePlan,
  conclusion: string,
  made: number,
  noted: Map<string, Set<string>>,
): void {
  const { procedure } = bulk;
  const step = procedure.steps.get(conclusion);
  if (step?.kind !== "conclude") return;
  const strange = undoneAt(procedure, step, bulk.setUps.names(made), false, true);
  for (const repair of step.repairs)
    for (const id of strange) {
      const isNeeded = [...procedure.steps.values()].some(
        (other) =>
          other.kind === "conclude" &&
          other.repairs.includes(repair) &&
          settingsOf(procedure).get(other.id)?.has(id) === true,
      );
      if (!isForSafety(procedure, id) || isNeeded || id.includes("/") || repair.includes("/")) continue;
      noted.set(repair, (noted.get(repair) ?? new Set()).add(id));
    }
}

/** What a rare state asks on by: a test that stays, or any where nothing was answered out of turn. */
function testInPlace({ problem, planned, stays }: ProcedurePlan, state: PlanState): number | undefined {
  const { place, answers } = state;
  if (place?.kind !== "asks" || planned[place.test]?.kind === "call") return undefined;
  if (stays[place.test] !== undefined) return place.test;
  let here: WrittenPlace | undefined = problem.written.start;
  let depth = 0;
  while (here?.kind === "asks" && here !== place) {
    here = here.next[answers[here.test] ?? -1];
    depth += 1;
  }
  return answers.reduce((given, answer) => given + (answer === -1 ? 0 : 1), 0) === depth
    ? place.test
    : undefined;
}

/** Whether an outcome ends the job as written: what that end says is kept, however seldom it comes. */
function endsAt({ bulk, planned }: ProcedurePlan, test: number, outcome: number): boolean {
  const [only] = planned[test]?.walked[outcome] ?? [];
  if (planned[test]?.kind !== "step" || only === undefined || !("step" in only)) return false;
  const branch = bulk.branches[(bulk.firstBranch[only.step] ?? 0) + only.outcome];
  return branch?.arms.every(({ goto }) => bulk.procedure.steps.get(goto)?.kind === "end") === true;
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
