/** What `plan` tells of a procedure: its order, the best one, and how to come nearer to it. */
import type { FaultId, Outcome, Procedure, StepId } from "../../procedure/model.ts";
import { expectedRun } from "../expected-run.ts";
import { repairOrder } from "../repair-order.ts";
import { type BestPlan, bestPlan, type PlanBudget } from "./best-plan.ts";
import { bestMoves, minutesWithMoves } from "./moves.ts";
import { type ProcedurePlan, procedurePlan } from "./plan-problem.ts";
import type { PlanState } from "./plan-space.ts";
import { meanMinutes } from "./written-ways.ts";

export type PlanTree =
  | { readonly step: StepId; readonly outcomes: readonly PlanBranch[] }
  /** Proven. */
  | { readonly concluded: readonly FaultId[]; readonly proof: number }
  /** Ends as the written order does with these answers, or inside a called procedure. */
  | { readonly ended: true }
  /** Nothing left tells these apart; the repairs in the order that costs least minutes on average. */
  | { readonly unresolved: readonly FaultId[]; readonly repairs: readonly string[] }
  /** Comes too rarely to be written down. */
  | { readonly rare: true };

interface PlanBranch {
  readonly outcome: Outcome;
  /** That the plan comes here. */
  readonly probability: number;
  readonly next: PlanTree;
}

export interface PlanReport {
  readonly procedure: string;
  readonly written: { readonly expectedMinutes: number };
  readonly best: { readonly expectedMinutes: number; readonly exact: boolean; readonly tree: PlanTree };
  /** No order of these steps takes less on average. */
  readonly lowerBound: number;
  /** Each saving on top of those before it. */
  readonly moves: readonly { readonly ask: StepId; readonly before: StepId; readonly saves: number }[];
  readonly withMoves: { readonly expectedMinutes: number };
  /** Conclusions of several faults with different repairs: which to try first. */
  readonly repairs: readonly {
    readonly step: StepId;
    readonly faults: readonly FaultId[];
    readonly order: readonly string[];
    readonly expectedMinutes: number;
  }[];
}

export interface Planned {
  readonly plan: ProcedurePlan;
  readonly best: BestPlan;
}

/**
 * The procedure's plan, and the best order that a budget finds for it; undefined where the written order can go
 * round for ever, so that it has no minutes on average.
 */
export function planned(procedure: Procedure, budget?: PlanBudget): Planned | undefined {
  const plan = procedurePlan(procedure);
  if (plan.written.some(({ endless }) => endless)) return undefined;
  return { plan, best: bestPlan(plan.problem, budget) };
}

/** The report on a plan. */
export function planReport({ plan, best }: Planned): PlanReport {
  const { bulk, problem } = plan;
  const whole = (minutes: number) => plan.frontMinutes + plan.reached * minutes;
  const moves = bestMoves(plan);
  // As a rehearsal counts, the meter's own error included where that can be told.
  const expected = expectedRun(bulk);
  const stepOf = (test: number) => problem.tests[test]?.id ?? "";
  return {
    procedure: bulk.procedure.id,
    written: { expectedMinutes: expected.ok ? expected.minutes : meanMinutes(plan.written) },
    best: {
      expectedMinutes: whole(best.minutes),
      exact: best.exact,
      tree: treeOf(plan, best, best.space.start),
    },
    lowerBound: whole(best.lowerBound),
    moves: moves.map(({ ask, before, saves }) => ({ ask: stepOf(ask), before: stepOf(before), saves })),
    withMoves: { expectedMinutes: minutesWithMoves(plan, moves) },
    repairs: repairsOf(plan),
  };
}

/** Branches that come less often than once in so many runs are not written down. */
const RARE = 1e-4;

function treeOf(plan: ProcedurePlan, best: BestPlan, state: PlanState): PlanTree {
  const { problem } = plan;
  if (state.stop !== undefined) return leafOf(plan, state);
  if (state.mass < RARE) return { rare: true };
  const test = best.policy(state);
  return {
    step: problem.tests[test]?.id ?? "",
    outcomes: best.space.steps(state, test).map((step) => ({
      outcome: problem.tests[test]?.outcomes[step.outcome]?.id ?? "",
      probability: step.state.mass,
      next: treeOf(plan, best, step.state),
    })),
  };
}

function leafOf({ bulk, problem }: ProcedurePlan, state: PlanState): PlanTree {
  const { stop, weights, mass } = state;
  const idOf = (fault: number) => bulk.faults[fault] ?? "";
  if (stop?.kind === "concluded") {
    const faults = problem.groups[stop.group] ?? [];
    const proof = faults.reduce((sum, fault) => sum + (weights[fault] ?? 0), 0) / mass;
    return { concluded: faults.map(idOf), proof };
  }
  if (stop?.kind === "ended") return { ended: true };
  const left = [...state.alive].sort((a, b) => (weights[b] ?? 0) - (weights[a] ?? 0));
  return {
    unresolved: left.map(idOf),
    repairs: orderedRepairs(
      bulk.procedure,
      left.map((fault) => ({ fault: idOf(fault), share: (weights[fault] ?? 0) / mass })),
    ).order,
  };
}

/** The repairs of some faults in the best order; faults of one repair count together. */
function orderedRepairs(
  procedure: Procedure,
  shares: readonly { readonly fault: FaultId; readonly share: number }[],
) {
  const sums = new Map<string, number>();
  for (const { fault, share } of shares) {
    const repair = procedure.faults.get(fault)?.repair;
    if (repair !== undefined) sums.set(repair, (sums.get(repair) ?? 0) + share);
  }
  return repairOrder(
    [...sums].map(([repair, probability]) => ({
      repair,
      probability,
      cost: procedure.repairs.get(repair)?.minutes ?? 0,
    })),
  );
}

function repairsOf({ bulk, written }: ProcedurePlan): PlanReport["repairs"] {
  return bulk.steps.flatMap((step, at) => {
    if (step.kind !== "conclude" || step.repairs.length < 2) return [];
    const ways = written.filter((way) => way.step === at);
    const sums = [...(bulk.concluded[at] ?? [])].map((fault) =>
      ways.reduce((sum, way) => sum + (way.weights[fault] ?? 0), 0),
    );
    const total = sums.reduce((sum, each) => sum + each, 0);
    if (!(total > 0)) return [];
    const shares = [...(bulk.concluded[at] ?? [])].map((fault, index) => ({
      fault: bulk.faults[fault] ?? "",
      share: (sums[index] ?? 0) / total,
    }));
    const { order, expectedCost } = orderedRepairs(bulk.procedure, shares);
    return [{ step: step.id, faults: step.faults, order, expectedMinutes: expectedCost }];
  });
}
