/** What a meter's figure means in a rehearsed run, and how likely each meaning is under a fault. */
import { uncertaintyOf } from "../quantity/accuracy.ts";
import { normalCdf } from "../quantity/normal.ts";
import { bandOf, sharesOf } from "../quantity/verdict.ts";
import type { ReadModel } from "./fault-model.ts";

/** The outcome number of a figure's band, -1 outside all, and whether it is too close to call. */
export interface ReadAs {
  readonly outcome: number;
  readonly tooClose: boolean;
}

/** Standard uncertainty of the meter at a value; undefined where no accuracy is known. */
export function uncertaintyAt(how: ReadModel, value: number): number | undefined {
  return how.ranges && uncertaintyOf(value, how.unit, 0, how.ranges)?.u;
}

/** What a figure is read as, by the rules of a run. Never too close where `borderline` is not written. */
export function readAs(how: ReadModel, shown: number): ReadAs {
  const picked = bandOf(shown, how.bands);
  const outcome = how.outcomes[how.bands.findIndex((band) => band.outcome === picked)] ?? -1;
  const u = how.borderline < 0 ? undefined : uncertaintyAt(how, shown);
  if (u === undefined || picked === undefined) return { outcome, tooClose: false };
  return { outcome, tooClose: (sharesOf(shown, u, how.bands)[picked] ?? 0) < how.decideAt };
}

/** P(read so), for each way that a figure can be read, for a true value and a meter's error that are normal. */
export function readingChances(how: ReadModel): readonly (ReadAs & { readonly chance: number })[] {
  const { mean, deviation } = how;
  const u = uncertaintyAt(how, mean) ?? 0;
  const sigma = Math.hypot(deviation, u);
  if (sigma === 0) return [{ ...readAs(how, mean), chance: 1 }];
  const ways = new Map<string, ReadAs & { chance: number }>();
  let low = 0;
  const points = turningPoints(how, sigma);
  for (const [index, from] of [-Infinity, ...points].entries()) {
    const to = points[index] ?? Infinity;
    const inside = Number.isFinite(from + to)
      ? (from + to) / 2
      : Number.isFinite(to)
        ? to - sigma
        : Number.isFinite(from)
          ? from + sigma
          : mean;
    const high = to === Infinity ? 1 : shownBelow(how, to);
    const way = readAs(how, inside);
    const key = `${way.outcome} ${way.tooClose}`;
    const known = ways.get(key);
    const chance = Math.max(0, high - low);
    if (known === undefined) ways.set(key, { ...way, chance });
    else known.chance += chance;
    low = high;
  }
  return [...ways.values()].filter(({ chance }) => chance > 0);
}

const SCANNED = 2000;
/** Standard deviations to either side: beyond is one figure in 10^15. */
const FAR = 8;

/** The figures at which the reading begins to mean something else, rising. */
function turningPoints(how: ReadModel, sigma: number): readonly number[] {
  const low = how.mean - FAR * sigma;
  const high = how.mean + FAR * sigma;
  const ends = how.bands.flatMap((band) => [band.low, band.high]).filter((end) => end > low && end < high);
  const scanned = Array.from({ length: SCANNED + 1 }, (_, n) => low + ((high - low) * n) / SCANNED);
  // Close calls lie about the ends, however narrow they are.
  const near = ends.flatMap((end) => {
    const about = uncertaintyAt(how, end) ?? 0;
    return [-4, -2, -1, -0.1, 0.1, 1, 2, 4].map((multiple) => end + multiple * about);
  });
  const tried = [...scanned, ...near].sort((a, b) => a - b);
  const points = new Set<number>(ends);
  for (const [index, from] of tried.entries()) {
    const to = tried[index + 1];
    if (to !== undefined && !sameWay(readAs(how, from), readAs(how, to)))
      points.add(turnBetween(how, from, to));
  }
  return [...points].sort((a, b) => a - b);
}

function sameWay(one: ReadAs, other: ReadAs): boolean {
  return one.outcome === other.outcome && one.tooClose === other.tooClose;
}

function turnBetween(how: ReadModel, from: number, to: number): number {
  const before = readAs(how, from);
  let low = from;
  let high = to;
  for (let halved = 0; halved < 60; halved += 1) {
    const middle = (low + high) / 2;
    if (sameWay(readAs(how, middle), before)) low = middle;
    else high = middle;
  }
  return high;
}

/** P(figure < limit): the meter's error at each true value, over the true values (Simpson's rule). */
function shownBelow(how: ReadModel, limit: number): number {
  const { mean, deviation } = how;
  const below = (z: number): number => {
    const truth = mean + deviation * z;
    const u = uncertaintyAt(how, truth) ?? 0;
    if (u === 0) return truth < limit ? 1 : truth === limit ? 0.5 : 0;
    return normalCdf((limit - truth) / u);
  };
  if (deviation === 0) return below(0);
  const atLimit = (limit - mean) / deviation;
  if (how.ranges === undefined) return normalCdf(atLimit);
  // Where the error decides is where the true value is near the limit: that part is looked at closely.
  const width = (FAR * (uncertaintyAt(how, limit) ?? 0)) / deviation;
  const clamp = (z: number) => Math.min(FAR, Math.max(-FAR, z));
  const cuts = [-FAR, clamp(atLimit - width), clamp(atLimit + width), FAR];
  let sum = normalCdf(-FAR);
  for (const [index, from] of cuts.entries()) {
    const to = cuts[index + 1];
    if (to !== undefined && to > from) sum += simpson((z) => below(z) * density(z), from, to);
  }
  return sum;
}

function density(z: number): number {
  return Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);
}

function simpson(f: (x: number) => number, from: number, to: number): number {
  const parts = 400;
  const width = (to - from) / parts;
  let sum = f(from) + f(to);
  for (let part = 1; part < parts; part += 1) sum += f(from + part * width) * (part % 2 === 1 ? 4 : 2);
  return (sum * width) / 3;
}
