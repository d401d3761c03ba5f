import type { FaultId, Outcome, Procedure, Step } from "../procedure/model.ts";
import { likelihoodRow, tellingOutcomes } from "../reasoning/likelihood.ts";
import { testability } from "../reasoning/testability.ts";
import { type Analysis, analyse, isReached } from "./analysis.ts";
import { isImpliedEnd, isWayOut } from "./flow.ts";
import { perStep } from "./per-step.ts";
import { closureOf } from "./set-up-conflict.ts";
import { type Unrolled, unrolled } from "./unrolled.ts";

/** What a procedure is in numbers. `null` where loops without a bound, or too many states, forbid a count. */
export interface Figures {
  /** Steps that somebody wrote, called ones included. */
  readonly steps: number;
  /** Written branches, each arm and each `else` one. */
  readonly branches: number;
  /** Ways from the start to an end that differ in a branch, loops walked out to their bound; exact, in digits. */
  readonly paths: string | null;
  /** Steps on the shortest and longest way, start and end included; exact. */
  readonly shortestSteps: number | null;
  readonly longestSteps: number | null;
  /**
   * Minutes to the first conclusion or end over all faults by their priors: steps, waits and each set-up made
   * once with its putting back. Outcomes without evidence count as equally likely, borderline as never.
   */
  readonly expectedMinutes: number | null;
  /** Minutes of the longest way to an end, repairs included, with every set-up of the procedure made once. */
  readonly worstMinutes: number | null;
  readonly conclusions: number;
  readonly faults: number;
  /** McCabe's number of independent ways, all ends taken as one. */
  readonly cyclomatic: number;
  /** Faults that every step tells alike, largest group first; a fault alone is a group of one. */
  readonly ambiguityGroups: readonly (readonly FaultId[])[];
  /** Priors of the faults that some step tells from a sound machine, over all; null without priors. */
  readonly detected: number | null;
  /** Priors of detected faults that are told from every other, over those detected. */
  readonly isolatedToOne: number | null;
  /** Mean size of the groups met in the shop: each counts by its prior. */
  readonly meanGroup: number | null;
}

export function figuresOf(procedure: Procedure): Figures {
  const analysis = analyse(procedure);
  const { flow } = analysis;
  const written = flow.steps.filter((step) => !isImpliedEnd(step));
  const edges = flow.edges.filter((edge) => !isWayOut(edge));
  const ends = flow.steps.filter(
    (_, index) => !isWithout(analysis, index) && hasNoWay(analysis, index),
  ).length;
  const inner = flow.steps.filter((_, index) => !isWithout(analysis, index)).length;
  const walked = unrolled(analysis);
  const lengths = walked && lengthsOf(walked);
  return {
    steps: written.length,
    branches: edges.filter((edge) => edge.branch?.implied === false && !isReturn(flow.steps[edge.from]))
      .length,
    paths: walked ? countPaths(walked).toString() : null,
    shortestSteps: lengths?.shortest ?? null,
    longestSteps: lengths?.longest ?? null,
    expectedMinutes: walked ? expectedMinutes(analysis, walked) : null,
    worstMinutes: walked ? worstMinutes(analysis, walked) : null,
    conclusions: written.filter((step) => step.kind === "conclude").length,
    faults: procedure.faults.size,
    cyclomatic: edges.length + ends - inner + 1,
    ...testabilityOf(analysis),
  };
}

type TestabilityFigures = Pick<Figures, "ambiguityGroups" | "detected" | "isolatedToOne" | "meanGroup">;

/**
 * As IEEE Std 1522 and MIL-STD-2165 define them (from memory), each step taken to show what is likeliest under a
 * fault, and a sound machine to show what is likeliest under a fault that the step does not name.
 */
function testabilityOf(analysis: Analysis): TestabilityFigures {
  const { procedure, flow } = analysis;
  // Only where a fault shows other than a sound machine: most steps tell nothing of most faults.
  const shows = new Map<FaultId, string[]>([...procedure.faults.keys()].map((id) => [id, []]));
  for (const [index, step] of flow.steps.entries()) {
    if (step.evidence === undefined || !isReached(analysis, index)) continue;
    const shown = shownOf(procedure, step);
    const sound = shown.get("");
    for (const [fault, outcome] of shown)
      if (outcome !== sound) shows.get(fault)?.push(`${index} ${outcome}`);
  }
  const found = testability(
    [...procedure.faults.values()].map(({ id, prior }) => ({
      fault: id,
      rate: prior,
      shows: shows.get(id) ?? [],
    })),
    [],
  );
  return {
    ambiguityGroups: found.groups.toSorted((a, b) => b.length - a.length),
    detected: found.detected,
    isolatedToOne: found.isolatedTo(1),
    meanGroup: found.meanGroupByRate,
  };
}

/** The likeliest outcome of a step under each fault that it names, and under one that it does not, the empty id. */
const shownOf = perStep((procedure, step: Step): ReadonlyMap<FaultId, Outcome> => {
  const named = [...(step.evidence?.rows.keys() ?? []), ...(step.evidence?.reads.keys() ?? []), ""];
  return new Map(named.map((fault) => [fault, likeliest(likelihoodRow(procedure, step, fault))] as const));
});

/** Every outcome that no other is likelier than, in order: a tie tells nothing apart. */
function likeliest(row: ReadonlyMap<Outcome, number> | undefined): Outcome {
  const most = Math.max(...(row?.values() ?? [0]));
  return [...(row ?? [])].flatMap(([outcome, share]) => (share === most ? [outcome] : [])).join(" ");
}

/** Whether only `cannot` and `stop` that nobody wrote lead here. */
function isWithout({ flow }: Analysis, index: number): boolean {
  const into = flow.into[index] ?? [];
  const step = flow.steps[index];
  return step !== undefined && isImpliedEnd(step) && into.every((id) => isImpliedWay(flow.edges[id]));
}

function isImpliedWay(edge: Parameters<typeof isWayOut>[0] | undefined): boolean {
  return edge === undefined || isWayOut(edge);
}

function hasNoWay({ flow }: Analysis, index: number): boolean {
  return (flow.out[index] ?? []).every((id) => isImpliedWay(flow.edges[id]));
}

/** A call's branch stands on the edge of each end that returns by it; as written it is counted at the call. */
function isReturn(step: Step | undefined): boolean {
  return step?.kind === "end";
}

function countPaths({ order, out }: Unrolled): bigint {
  const ways = new Array<bigint>(out.length).fill(0n);
  for (const at of order.toReversed()) {
    const row = out[at] ?? [];
    ways[at] = row.length === 0 ? 1n : row.reduce((sum, { to }) => sum + (ways[to] ?? 0n), 0n);
  }
  return ways[0] ?? 0n;
}

function lengthsOf({ order, out }: Unrolled): { readonly shortest: number; readonly longest: number } {
  const shortest = new Float64Array(out.length);
  const longest = new Float64Array(out.length);
  for (const at of order.toReversed()) {
    const row = out[at] ?? [];
    let least = row.length === 0 ? 0 : Infinity;
    let most = 0;
    for (const { to } of row) {
      least = Math.min(least, shortest[to] ?? 0);
      most = Math.max(most, longest[to] ?? 0);
    }
    shortest[at] = least + 1;
    longest[at] = most + 1;
  }
  return { shortest: shortest[0] ?? 0, longest: longest[0] ?? 0 };
}

function minutesAt(procedure: Procedure, step: Step, withRepairs: boolean): number {
  const waited = "waitMinutes" in step ? (step.waitMinutes ?? 0) : 0;
  const repairs =
    step.kind === "conclude" && withRepairs
      ? step.repairs.reduce((sum, id) => sum + (procedure.repairs.get(id)?.minutes ?? 0), 0)
      : 0;
  return step.minutes + waited + repairs;
}

function worstMinutes({ flow, procedure }: Analysis, { order, out, steps }: Unrolled): number {
  const most = new Float64Array(out.length);
  for (const at of order.toReversed()) {
    const step = flow.steps[steps[at] ?? -1];
    if (step === undefined) continue;
    let after = 0;
    for (const { to } of out[at] ?? []) after = Math.max(after, most[to] ?? 0);
    most[at] = after + minutesAt(procedure, step, true);
  }
  let setUps = 0;
  for (const setUp of procedure.setUps.values()) setUps += setUp.minutes + (setUp.putBack?.minutes ?? 0);
  return rounded((most[0] ?? 0) + setUps);
}

/** Above so many products the expected minutes are not reckoned. */
const MOST_PRODUCTS = 20_000_000;

function expectedMinutes(analysis: Analysis, walked: Unrolled): number | null {
  const { procedure } = analysis;
  const faults = [...procedure.faults.values()];
  const whole = faults.reduce((sum, fault) => sum + fault.prior, 0);
  const setUps = [...procedure.setUps.keys()];
  if (walked.steps.length * Math.max(1, faults.length) * (1 + setUps.length) > MOST_PRODUCTS) return null;
  const weighed =
    whole > 0 ? faults.map(({ id, prior }) => ({ id, share: prior / whole })) : [{ id: "", share: 1 }];
  const closures = new Map<string, ReadonlySet<string>>();
  const needing = setUps.map((setUp) =>
    analysis.flow.steps.map((step) =>
      step.needs.some((need) => closureOf(procedure, closures, need).has(setUp)),
    ),
  );
  let minutes = 0;
  for (const { id, share } of weighed) {
    const shares = edgeShares(analysis, walked, id);
    minutes += share * sumOver(analysis, walked, shares);
    for (const [number, setUp] of setUps.entries()) {
      const each = procedure.setUps.get(setUp);
      const needed = needing[number] ?? [];
      minutes +=
        share *
        chanceOfMeeting(analysis, walked, shares, needed) *
        ((each?.minutes ?? 0) + (each?.putBack?.minutes ?? 0));
    }
  }
  return rounded(minutes);
}

type Shares = readonly (readonly number[])[];

/** P(edge | node, fault), in the order of the node's edges; a conclusion is where the way ends. */
function edgeShares({ procedure, flow }: Analysis, walked: Unrolled, fault: string): Shares {
  return walked.steps.map((index, at) => {
    const step = flow.steps[index];
    const row = walked.out[at] ?? [];
    if (step === undefined || step.kind === "conclude") return row.map(() => 0);
    const telling = tellingOutcomes(step);
    const likely = likelihoodRow(procedure, step, fault);
    const raw = row.map(({ edge }) => {
      const branch = flow.edges[edge]?.branch;
      if (branch === undefined || branch.step !== step.id || telling.length === 0) return 1;
      if (!telling.includes(branch.outcome)) return 0;
      const arms = row.filter((each) => flow.edges[each.edge]?.branch === branch).length;
      return (likely?.get(branch.outcome) ?? 1 / telling.length) / arms;
    });
    const sum = raw.reduce((total, each) => total + each, 0);
    return raw.map((each) => (sum > 0 ? each / sum : 1 / row.length));
  });
}

function sumOver({ flow, procedure }: Analysis, walked: Unrolled, shares: Shares): number {
  const chance = new Float64Array(walked.steps.length);
  chance[0] = 1;
  let minutes = 0;
  for (const at of walked.order) {
    const step = flow.steps[walked.steps[at] ?? -1];
    const here = chance[at] ?? 0;
    if (step === undefined || here === 0) continue;
    if (step.kind !== "conclude") minutes += here * minutesAt(procedure, step, false);
    for (const [number, { to }] of (walked.out[at] ?? []).entries())
      chance[to] = (chance[to] ?? 0) + here * (shares[at]?.[number] ?? 0);
  }
  return minutes;
}

/** The probability that the way comes by one of the marked steps before it concludes. */
function chanceOfMeeting(
  { flow }: Analysis,
  walked: Unrolled,
  shares: Shares,
  marked: readonly boolean[],
): number {
  const chance = new Float64Array(walked.steps.length);
  chance[0] = 1;
  let met = 0;
  for (const at of walked.order) {
    const index = walked.steps[at] ?? -1;
    const here = chance[at] ?? 0;
    if (here === 0 || flow.steps[index]?.kind === "conclude") continue;
    if (marked[index]) {
      met += here;
      continue;
    }
    for (const [number, { to }] of (walked.out[at] ?? []).entries())
      chance[to] = (chance[to] ?? 0) + here * (shares[at]?.[number] ?? 0);
  }
  return met;
}

function rounded(minutes: number): number {
  return Math.round(minutes * 10) / 10;
}
