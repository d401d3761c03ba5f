/** What `plan` tells of a procedure: its order, the best one, and how to come nearer to it. */
import type { FaultId, Outcome, Procedure, StepId } from "../../procedure/model.ts";
import { expectedRun } from "../expected-run.ts";
import { repairOrder } from "../repair-order.ts";
import { type BestPlan, bestPlan, type PlanBudget, writtenPolicy } from "./best-plan.ts";
import { type Found, type FoundShares, followed, foundByWays, lostFaults, sharesOf } from "./found-shares.ts";
import { bestMoves, withMoves } from "./moves.ts";
import { planBound } from "./plan-bound.ts";
import { type ProcedurePlan, procedurePlan } from "./plan-problem.ts";
import { type PlanState, planSpace } from "./plan-space.ts";
import type { StayReason } from "./staying.ts";
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

/** Minutes to the conclusion on average, and what is found in them. */
interface Expected {
  readonly expectedMinutes: number;
  /** Not there where the order is too large to be followed. */
  readonly shares?: FoundShares;
}

export interface PlanReport {
  readonly procedure: string;
  readonly written: Expected;
  readonly best: Expected & { readonly exact: boolean; readonly tree: PlanTree };
  /** No order of these steps takes less on average. */
  readonly lowerBound: number;
  /** Each saving on top of those before it. */
  readonly moves: readonly { readonly ask: StepId; readonly before: StepId; readonly saves: number }[];
  readonly withMoves: Expected;
  /** Conclusions of several faults with different repairs: which to try first. */
  readonly repairs: readonly {
    readonly step: StepId;
    readonly faults: readonly FaultId[];
    readonly order: readonly string[];
    readonly expectedMinutes: number;
  }[];
  /** Steps that tell faults apart and keep their place all the same, and why. */
  readonly stays: readonly { readonly step: StepId; readonly why: StayReason }[];
  /** What no order is compared by: the author reads on there. */
  readonly notCompared: readonly NotCompared[];
}

export type NotCompared =
  /** No answer that the evidence allows leads to the step, as one that only “can't be done” leads to. */
  | { readonly why: "never-come-to"; readonly step: StepId }
  /** The written order comes to it twice before a repair: it is taken for the best one. */
  | { readonly why: "twice"; readonly step: StepId }
  /** It has too many ways to be followed: it is taken for the best one. */
  | { readonly why: "too-large" }
  /** What was cheaper found it clearly less often: the written order is taken for the best one. */
  | { readonly why: "would-lose"; readonly fault: FaultId };

export interface Planned {
  readonly plan: ProcedurePlan;
  /** The written order itself where nothing can be compared with it. */
  readonly best: BestPlan;
  /** Not there where the order is too large to be followed. */
  readonly found?: { readonly written: Found; readonly best: Found };
  /** Why the written order is taken for the best one. */
  readonly asWritten?: "twice" | "too-large" | "would-lose";
  /** Faults, by number, that whatever is cheaper finds clearly less often. */
  readonly lost: readonly number[];
}

/**
 * The procedure's plan, and the best order that a budget finds for it; undefined where the written order can go
 * round for ever, so that it has no minutes on average. A best order that finds a fault clearly less often than the
 * written one is looked for anew, with that fault looked at before another is concluded out of turn.
 */
export function planned(procedure: Procedure, budget?: PlanBudget): Planned | undefined {
  const plan = procedurePlan(procedure);
  if (plan.written.some(({ endless }) => endless)) return undefined;
  if (plan.twice !== undefined || plan.cut)
    return { plan, best: writtenOnly(plan), asWritten: plan.cut ? "too-large" : "twice", lost: [] };
  const { written } = plan.problem;
  const own = foundByWays(plan.bulk, plan.written);
  let { guarded } = written;
  for (;;) {
    const problem = { ...plan.problem, written: { ...written, guarded } };
    const best = bestPlan(problem, budget);
    const other = followed(best.space, best.policy);
    if (other === undefined) return { plan, best: writtenOnly(plan), asWritten: "too-large", lost: [] };
    const lost = lostFaults(other, own);
    const found = { written: own, best: other };
    if (lost.length === 0) return { plan: { ...plan, problem }, best, found, lost };
    if (lost.every((fault) => guarded.has(fault))) {
      return {
        plan,
        best: writtenOnly(plan),
        found: { written: own, best: own },
        asWritten: "would-lose",
        lost,
      };
    }
    guarded = new Set([...guarded, ...lost]);
  }
}

/** The written order in the place of the best one. */
function writtenOnly(plan: ProcedurePlan): BestPlan {
  const space = planSpace(plan.problem);
  const minutes = meanMinutes(plan.written);
  const lowerBound = Math.min(minutes, planBound(space)(space.start));
  return { minutes, lowerBound, exact: false, space, policy: writtenPolicy };
}

/** The report on a plan. */
export function planReport({ plan, best, found, asWritten, lost }: Planned): PlanReport {
  const { bulk, problem } = plan;
  const moves = asWritten === undefined && found !== undefined ? bestMoves(best.space, found.written) : [];
  const moved = moves.length === 0 ? found?.written : withMoves(best.space, moves);
  const written = writtenMinutes(plan);
  const saved = moves.reduce((sum, { saves }) => sum + saves, 0);
  const stepOf = (test: number) => problem.tests[test]?.id ?? "";
  return {
    procedure: bulk.procedure.id,
    written: { expectedMinutes: written, ...(found && { shares: sharesOf(found.written) }) },
    best: {
      expectedMinutes: asWritten === undefined ? Math.min(best.minutes, written) : written,
      exact: best.exact,
      tree: treeOf(plan, best, stateBehindFront(plan, best)),
      ...(found && { shares: sharesOf(found.best) }),
    },
    lowerBound: Math.min(best.lowerBound, written),
    moves: moves.map(({ ask, before, saves }) => ({ ask: stepOf(ask), before: stepOf(before), saves })),
    // Of a large order what comes very seldom is not followed, so that it seems to take a hair less.
    withMoves: {
      expectedMinutes: Math.max(written - saved, Math.min(best.lowerBound, written)),
      ...(moved && { shares: sharesOf(moved) }),
    },
    repairs: repairsOf(plan),
    stays: plan.stays.flatMap((why, test) =>
      why === undefined ||
      plan.planned[test]?.kind === "draw" ||
      (why === "act" && plan.planned[test]?.kind !== "call")
        ? []
        : [{ step: stepOf(test), why }],
    ),
    notCompared: [
      ...plan.left.map((step) => ({ why: "never-come-to" as const, step })),
      ...(plan.twice === undefined ? [] : [{ why: "twice" as const, step: plan.twice }]),
      ...(asWritten === "too-large" ? [{ why: "too-large" as const }] : []),
      ...lost.map((fault) => ({ why: "would-lose" as const, fault: bulk.faults[fault] ?? "" })),
    ],
  };
}

/** Where not all ways were walked, as a rehearsal counts, if that can be told. */
function writtenMinutes({ bulk, written, cut }: ProcedurePlan): number {
  const expected = cut ? expectedRun(bulk) : undefined;
  return expected?.ok === true ? expected.minutes : meanMinutes(written);
}

/** The first state in which something is asked that tells faults apart: what stands in front stays there. */
export function stateBehindFront({ front }: ProcedurePlan, { space, policy }: BestPlan): PlanState {
  let state = space.start;
  while (state.stop === undefined && front.includes(policy(state))) {
    const on = space.steps(state, policy(state)).filter(({ state: next }) => next.stop === undefined);
    const [only] = on;
    if (only === undefined) return state;
    state = only.state;
  }
  return state;
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
