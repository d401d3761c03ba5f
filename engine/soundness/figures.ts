import type { FaultId, Outcome, Procedure, Step } from "../procedure/model.ts";
import { bulkProcedure } from "../reasoning/bulk-procedure.ts";
import { expectedRun } from "../reasoning/expected-run.ts";
import { likelihoodRow } from "../reasoning/likelihood.ts";
import { priorShares } from "../reasoning/prior-shares.ts";
import { testability } from "../reasoning/testability.ts";
import { type Analysis, analyse, isReached } from "./analysis.ts";
import { isImpliedEnd, isUnwritten } from "./flow.ts";
import { perStep } from "./per-step.ts";
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
   * Minutes to the first conclusion or end over all faults by their priors, the complaint present: what a rehearsal
   * comes to in the long run. `null` too where that hangs on readings, or on too many states.
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
  const edges = flow.edges.filter((edge) => !isUnwritten(edge));
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
    expectedMinutes: walked ? expectedMinutes(procedure) : null,
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
const shownOf = perStep((procedure, step): ReadonlyMap<FaultId, Outcome> => {
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

function isImpliedWay(edge: Parameters<typeof isUnwritten>[0] | undefined): boolean {
  return edge === undefined || isUnwritten(edge);
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

function minutesAt(procedure: Procedure, step: Step): number {
  const waited = "waitMinutes" in step ? (step.waitMinutes ?? 0) : 0;
  const repairs =
    step.kind === "conclude"
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
    most[at] = after + minutesAt(procedure, step);
  }
  let setUps = 0;
  for (const setUp of procedure.setUps.values()) setUps += setUp.minutes + (setUp.putBack?.minutes ?? 0);
  return rounded((most[0] ?? 0) + setUps);
}

/** More states than this, or more steps times faults, are not walked: a tenth of a second or so. */
const MOST_STATES = 10_000;
const MOST_PRODUCTS = 60_000;

function expectedMinutes(procedure: Procedure): number | null {
  const products = procedure.faults.size * procedure.steps.size;
  if (products === 0 || products > MOST_PRODUCTS) return null;
  // With no fault that can be there nothing is to be expected.
  if (priorShares(procedure.faults.values()).every((share) => share === 0)) return null;
  const expected = expectedRun(bulkProcedure(procedure), { mostStates: MOST_STATES });
  return expected.ok ? rounded(expected.minutes) : null;
}

function rounded(minutes: number): number {
  return Math.round(minutes * 10) / 10;
}
