/**
 * What is wrong with a small procedure, by walking every run there is: plain, slow, and without a line of the
 * engine's proofs. Conditions, calls and limits looked up in a run are not for it.
 */
import type {
  Band,
  Branch,
  FaultId,
  Outcome,
  Procedure,
  Step,
  StepId,
} from "../../../engine/procedure/model.ts";

/** A defect that was walked into, or that no run walked out of, as `kind step-or-fault`. */
export interface Proven {
  readonly defects: ReadonlySet<string>;
  /** False where there were too many runs to walk them all. */
  readonly complete: boolean;
}

type Counts = Readonly<Record<string, number>>;

interface Place {
  readonly step: StepId;
  readonly counts: Counts;
  /** The latest outcome of each step. */
  readonly results: Readonly<Record<StepId, Outcome>>;
  readonly concluded: boolean;
  readonly repair: "none" | "made" | "looked-at";
}

export function proveByWalking(procedure: Procedure, mostPlaces = 10_000): Proven {
  const walk = new Walk(procedure, mostPlaces);
  walk.from({ step: procedure.start, counts: {}, results: {}, concluded: false, repair: "none" }, new Set());
  for (const [id, step] of procedure.steps) {
    if (step.kind === "measure" && step.judged.by === "bands") coverOf(id, step.judged.bands, walk.defects);
    if (!walk.visited.has(id) && !isNobodys(step)) walk.defects.add(`unreachable-step ${id}`);
    if (walk.visited.has(id) && !leadsToEnd(procedure, id)) walk.defects.add(`no-end ${id}`);
    if (walk.visited.has(id) && countsAsFailed(procedure, step)) walk.defects.add(`no-verification ${id}`);
  }
  for (const fault of procedure.faults.keys())
    if (!walk.found.has(fault) && fault !== "other") walk.defects.add(`fault-never-found ${fault}`);
  return { defects: walk.defects, complete: walk.places <= mostPlaces };
}

/** Whether written branches lead from a step to an end. */
function leadsToEnd(procedure: Procedure, from: StepId): boolean {
  const reached = new Set([from]);
  for (const id of reached) {
    const step = procedure.steps.get(id);
    if (step?.kind === "end") return true;
    for (const { implied, arms, else: after } of step?.outcomes.values() ?? [])
      if (!implied) for (const goto of [...arms.map((arm) => arm.goto), after ?? id]) reached.add(goto);
  }
  return false;
}

/** Whether a conclusion's verification leads on to another conclusion, and nowhere to an end that is fixed. */
function countsAsFailed(procedure: Procedure, conclusion: Step): boolean {
  if (conclusion.kind !== "conclude" || conclusion.verify === undefined) return false;
  const reached = new Set([conclusion.verify]);
  for (const id of reached) {
    const step = procedure.steps.get(id);
    if (step?.kind === "conclude") continue;
    for (const { arms, else: after } of step?.outcomes.values() ?? [])
      for (const goto of [...arms.map((arm) => arm.goto), after ?? id]) reached.add(goto);
  }
  const steps = [...reached].map((id) => procedure.steps.get(id));
  return (
    steps.some((step) => step?.kind === "conclude") &&
    !steps.some((step) => step?.kind === "end" && step.end === "fixed")
  );
}

function isNobodys(step: Step): boolean {
  return step.id.startsWith("end/");
}

class Walk {
  readonly defects = new Set<string>();
  readonly visited = new Set<StepId>();
  readonly found = new Set<FaultId>();
  places = 0;
  readonly #procedure: Procedure;
  readonly #mostPlaces: number;

  constructor(procedure: Procedure, mostPlaces: number) {
    this.#procedure = procedure;
    this.#mostPlaces = mostPlaces;
  }

  /**
   * `before` holds where this run has been with the counts it had there: to be there again is to go round for
   * ever. It is walked on all the same, as long as its answers are others than before.
   */
  from(place: Place, before: ReadonlySet<string>): void {
    this.places += 1;
    const step = this.#procedure.steps.get(place.step);
    if (step === undefined || this.places > this.#mostPlaces) return;
    this.visited.add(step.id);
    const here = JSON.stringify([place.step, Object.entries(place.counts).sort()]);
    if (before.has(here)) this.defects.add("endless-loop");
    const { concluded, repair } = place;
    const alike = JSON.stringify([here, Object.entries(place.results).sort(), concluded, repair]);
    if (before.has(alike)) return;
    if (step.kind === "conclude") this.#conclude(step.faults, place);
    if (step.kind === "end" && step.end === "fixed" && place.repair !== "looked-at")
      this.defects.add(`no-verification ${step.id}`);
    for (const branch of step.outcomes.values())
      if (!branch.implied) this.#take(step, branch, place, new Set([...before, here, alike]));
  }

  #take(step: Step, branch: Branch, place: Place, before: ReadonlySet<string>): void {
    const key = `${step.id}:${branch.outcome}`;
    const times = place.counts[key] ?? 0;
    const usedUp = branch.atMost !== undefined && times >= branch.atMost;
    const target = usedUp ? branch.else : branch.arms[0]?.goto;
    if (target === undefined) {
      // Too close to call once more: then the band decides, which is walked as well.
      if (branch.outcome !== "borderline") this.defects.add(`dead-end ${step.id}`);
      return;
    }
    const says = step.kind === "ask" || step.kind === "measure";
    const answers = [...step.outcomes.keys()].filter((each) => each !== "cannot" && each !== "stop").length;
    const shows = step.kind === "measure" || (step.kind === "ask" && answers > 1);
    const looked = shows && branch.outcome !== "cannot" && place.repair === "made";
    const repaired = step.kind === "conclude" ? (step.verify === undefined ? "none" : "made") : place.repair;
    this.from(
      {
        step: target,
        counts: branch.atMost === undefined || usedUp ? place.counts : { ...place.counts, [key]: times + 1 },
        results: says ? { ...place.results, [step.id]: branch.outcome } : place.results,
        concluded: place.concluded || step.kind === "conclude",
        repair: looked ? "looked-at" : repaired,
      },
      before,
    );
  }

  #conclude(concluded: readonly FaultId[], { step, results, concluded: again }: Place): void {
    for (const fault of concluded) this.found.add(fault);
    if (again) return;
    const weights = [...this.#procedure.faults.values()].map(({ id, prior }) => ({
      id,
      weight: Object.entries(results).reduce(
        (product, [at, outcome]) => product * likelihood(this.#procedure.steps.get(at), id, outcome),
        prior,
      ),
    }));
    const sum = (of: typeof weights) => of.reduce((total, { weight }) => total + weight, 0);
    const proof = sum(weights.filter(({ id }) => concluded.includes(id))) / sum(weights);
    if (proof < this.#procedure.certainty - 1e-6) this.defects.add(`unsupported-conclusion ${step}`);
  }
}

/** P(outcome | fault): a row's rest is shared by the outcomes that it does not name; without a row all are alike. */
function likelihood(step: Step | undefined, fault: FaultId, outcome: Outcome): number {
  const evidence = step?.evidence;
  if (step === undefined || evidence === undefined || outcome === "cannot" || outcome === "borderline")
    return 1;
  const outcomes = [...step.outcomes.keys()].filter(
    (each) => !["cannot", "stop", "borderline"].includes(each),
  );
  const row = evidence.rows.get(fault) ?? evidence.otherwise ?? new Map<Outcome, number>();
  const named = row.get(outcome);
  if (named !== undefined) return named;
  const unnamed = outcomes.filter((each) => !row.has(each)).length;
  const left = 1 - outcomes.reduce((total, each) => total + (row.get(each) ?? 0), 0);
  return Math.max(0, left) / unnamed;
}

/** Readings at and about every limit, and far beyond all of them, each held against every band. */
function coverOf(step: StepId, bands: readonly Band[], defects: Set<string>): void {
  const limits = bands.flatMap((band) => [band.low, band.high].flatMap((end) => limitOf(end) ?? []));
  const about = limits.flatMap((limit) => [limit - 0.01, limit, limit + 0.01]);
  const readings = [...about, ...between(limits), -1e9, 1e9, -Infinity, Infinity];
  const holding = (reading: number) => bands.filter((band) => isIn(reading, band)).length;
  for (const band of bands)
    if (!readings.some((reading) => isIn(reading, band))) defects.add(`impossible-branch ${step}`);
  if (readings.some((reading) => holding(reading) === 0)) defects.add(`reading-gap ${step}`);
  if (readings.some((reading) => holding(reading) > 1)) defects.add(`reading-overlap ${step}`);
}

function between(limits: readonly number[]): readonly number[] {
  const rising = limits.toSorted((a, b) => a - b);
  return rising.slice(1).map((limit, at) => (limit + (rising[at] ?? limit)) / 2);
}

function limitOf(end: Band["low"]): number | undefined {
  return end?.limit.kind === "fixed" ? end.limit.quantity.value : undefined;
}

function isIn(reading: number, { low, high }: Band): boolean {
  const [from, to] = [limitOf(low), limitOf(high)];
  const above = from === undefined || reading > from || (low?.included === true && reading === from);
  const below = to === undefined || reading < to || (high?.included === true && reading === to);
  return above && below;
}
