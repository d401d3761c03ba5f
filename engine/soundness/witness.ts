import type { WitnessStep } from "../procedure/finding.ts";
import type { FactValue } from "../procedure/model.ts";
import type { NumericBand } from "../quantity/verdict.ts";
import { type Analysis, wayFromStart } from "./analysis.ts";
import { factsOf } from "./counted.ts";
import { type Followed, firstUnmet, rowsOf, toldOn } from "./followed-way.ts";
import type { Interval } from "./plain-number.ts";
import { asksTime } from "./witness-clock.ts";
import { type Manner, WitnessRuns } from "./witness-runs.ts";
import { triedOn } from "./witness-trials.ts";
import { type Wanted, wantedOn } from "./witness-values.ts";

/**
 * The shortest way from the start to a step as the rows of a run's path: facts where they are asked, a reading
 * for every measured outcome, a call's row behind its called rows. Undefined where nothing leads there.
 * Limits told only in a run are made up.
 */
export function witnessTo(analysis: Analysis, index: number): readonly WitnessStep[] | undefined {
  const way = wayFromStart(analysis, index);
  return way && witnessOf(analysis, way);
}

/**
 * As {@link witnessTo}, with a reading there whose value lies where `interval` says, by the bands that the run
 * judges by. Its outcome is what the run makes of it: `nowhere` where that is nothing.
 */
export function witnessReading(
  analysis: Analysis,
  index: number,
  interval: (bands: readonly NumericBand[] | undefined) => Interval | undefined,
  wanted?: Wanted,
): readonly WitnessStep[] | undefined {
  const step = analysis.flow.steps[index];
  const way = wayFromStart(analysis, index);
  if (step?.kind !== "measure" || way === undefined) return undefined;
  const followed = follow(analysis, way, wanted);
  return [...rowsOf(followed), ...walksOf(analysis).runs.readingRows(followed, step, interval)];
}

/**
 * The rows of a way given by its edges, with facts and readings that meet the conditions on it where such were
 * found; else the row where the run would leave it says on what it hangs. `failing` where the witness shows that
 * the last condition can't be worked out.
 */
export function witnessOf(
  analysis: Analysis,
  way: readonly number[],
  failing = false,
): readonly WitnessStep[] {
  return rowsOf(follow(analysis, way, undefined, { failing, quick: false }));
}

/** The rows of a way, and whether a run was found that walks it to its end. */
export interface Shown {
  readonly rows: readonly WitnessStep[];
  /** True, too, where a condition asks for another time than the rows can tell. */
  readonly walks: boolean;
  /** Whether every reading on it that decides is clear of the limits. */
  readonly clear: boolean;
}

/**
 * As {@link witnessOf}, and whether a run walks it. `whole`: where values looked for place by place do not lead to
 * the end, they are looked for once more for all conditions on the way together.
 */
export function shownOn(analysis: Analysis, way: readonly number[], whole: boolean): Shown {
  const followed = follow(analysis, way);
  const found = whole && !followed.walks ? wantedOn(analysis, way, toldOn(followed)) : undefined;
  const again = found && followWith(analysis, way, found);
  const best = again?.walks ? again : followed;
  return { rows: rowsOf(best), walks: best.walks, clear: best.clear };
}

/**
 * As {@link shownOn}, by a run that works quicker than the minutes of the steps; undefined where no time is asked
 * for.
 */
export function shownQuick(analysis: Analysis, way: readonly number[]): Shown | undefined {
  if (!way.some((id) => asksOfTime(analysis, id))) return undefined;
  const followed = follow(analysis, way, undefined, { failing: false, quick: true });
  return { rows: rowsOf(followed), walks: followed.walks, clear: followed.clear };
}

function asksOfTime({ flow }: Analysis, edge: number): boolean {
  const branch = flow.edges[edge]?.branch;
  return branch !== undefined && asksTime(branch);
}

/** What is kept of an analysis: the ways followed, and what was found where a run left one. */
interface Walks {
  readonly runs: WitnessRuns;
  readonly found: WeakMap<Followed, Map<typeof wantedOn, Wanted | undefined>>;
}
const WALKS = new WeakMap<Analysis, Walks>();

function walksOf(analysis: Analysis): Walks {
  const known = WALKS.get(analysis);
  if (known !== undefined) return known;
  const walks: Walks = { runs: new WitnessRuns(analysis), found: new WeakMap() };
  WALKS.set(analysis, walks);
  return walks;
}

/** So often values are looked for anew, with what the run before came to. */
const MOST_TRIES = 10;

const PLAINLY: Manner = { failing: false, quick: false };

function follow(
  analysis: Analysis,
  way: readonly number[],
  given?: Wanted,
  manner: Manner = PLAINLY,
): Followed {
  const followed = (wanted: Wanted | undefined) => followWith(analysis, way, wanted, manner);
  let best = followed(given);
  for (let tries = MOST_TRIES; tries > 0 && !best.met; tries -= 1) {
    const better = furtherThan(analysis, way, best, (found) => followed(joined(found, given)));
    if (better === undefined) break;
    best = better;
  }
  return best;
}

/** The way followed further than before with what is found for the place where the run left it. */
function furtherThan(
  analysis: Analysis,
  way: readonly number[],
  before: Followed,
  followed: (found: Wanted) => Followed,
): Followed | undefined {
  const unmet = firstUnmet(before);
  for (const look of [wantedOn, triedOn]) {
    const found = foundBy(look, analysis, way.slice(0, unmet.place), unmet);
    const next = found && followed(found);
    if (next !== undefined && (next.met || firstUnmet(next).place > unmet.place)) return next;
  }
  return undefined;
}

function followWith(
  analysis: Analysis,
  way: readonly number[],
  wanted: Wanted | undefined,
  manner: Manner = PLAINLY,
): Followed {
  const facts = new Map([...factsFor(analysis, way), ...(wanted?.facts ?? [])]);
  return walksOf(analysis).runs.follow(way, facts, wanted, manner);
}

/** What is to be told and read so that the run does not leave its way there. */
function foundBy(
  look: typeof wantedOn,
  analysis: Analysis,
  way: readonly number[],
  unmet: Followed,
): Wanted | undefined {
  const { found } = walksOf(analysis);
  const known = found.get(unmet) ?? new Map<typeof wantedOn, Wanted | undefined>();
  found.set(unmet, known);
  if (!known.has(look)) known.set(look, look(analysis, way, toldOn(unmet)));
  return known.get(look);
}

function joined(found: Wanted, given: Wanted | undefined): Wanted {
  return {
    facts: new Map([...found.facts, ...(given?.facts ?? [])]),
    readings: new Map([...found.readings, ...(given?.readings ?? [])]),
  };
}

/** Choices that take every arm of a way; none where all do, or where the way is only known arm by arm. */
function factsFor({ facts, flow }: Analysis, way: readonly number[]): Map<string, FactValue> {
  let fitting = facts.whole;
  for (const id of way) {
    const edge = flow.edges[id];
    if (edge !== undefined) fitting &= factsOf(facts, edge);
  }
  return new Map(fitting === facts.whole || fitting === 0n ? [] : facts.first(fitting));
}
