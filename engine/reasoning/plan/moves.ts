/**
 * The written order with some steps asked sooner, and what that saves. Each saving is reckoned by walking the whole
 * order anew: the moved step is asked in front of the other wherever that comes up, its answer is kept for where it
 * was written, and what it proves is concluded at once. It is one of the orders that the best one is chosen from, so
 * no move promises more than the best order saves.
 */
import { writtenPolicy } from "./best-plan.ts";
import { type Found, followed, lostFaults } from "./found-shares.ts";
import type { PlanPolicy } from "./plan-exact.ts";
import type { PlanSpace } from "./plan-space.ts";
import type { PlanTest, WrittenPlace } from "./problem.ts";

/** Test `ask` in front of test `before`: both by number. */
export interface PlanMove {
  readonly ask: number;
  readonly before: number;
}

export interface PricedMove extends PlanMove {
  /** Minutes on average that it saves, on top of the moves before it. */
  readonly saves: number;
}

/** Less than this is not worth a change of what people are used to. */
const LEAST_SAVED = 0.05;
const MOST_MOVES = 5;
/** States followed in one round of trying moves. */
const MOST_FOLLOWED = 200_000;
const MOST_EACH = 60_000;

/**
 * The moves that save most, one after the other, each the best on top of those before. It ends where the next would
 * bring less than a twentieth of what all of them bring, so that the few that matter stand out. None that finds a
 * fault clearly less often than the written order does.
 */
export function bestMoves(space: PlanSpace, written: Found): readonly PricedMove[] {
  const own = followed(space, writtenPolicy, MOST_EACH);
  if (own === undefined) return [];
  const chosen: PricedMove[] = [];
  let { minutes } = own;
  const candidates = candidatesOf(space);
  while (chosen.length < MOST_MOVES) {
    let room = MOST_FOLLOWED;
    let best: PricedMove | undefined;
    for (const move of candidates) {
      if (room <= 0) break;
      if (chosen.some((one) => one.ask === move.ask)) continue;
      const found = withMoves(space, [...chosen, move]);
      room -= found?.states ?? 2 * MOST_EACH;
      if (found === undefined || lostFaults(found, written).length > 0) continue;
      const saves = minutes - found.minutes;
      if (saves > (best?.saves ?? LEAST_SAVED)) best = { ...move, saves };
    }
    if (best === undefined || best.saves < (own.minutes - minutes + best.saves) / 20) break;
    chosen.push(best);
    minutes -= best.saves;
  }
  return chosen;
}

/** What the written order takes and finds with these moves made in it; undefined where it can't be followed. */
export function withMoves(space: PlanSpace, moves: readonly PlanMove[]): Found | undefined {
  const policy: PlanPolicy = (state) => {
    const next = writtenPolicy(state);
    if (state.place?.kind !== "asks") return next;
    const due = moves.find(({ ask, before }) => before === next && ask !== next && space.allows(state, ask));
    return due?.ask ?? next;
  };
  return followed(space, policy, MOST_EACH);
}

/**
 * Moves of a step in front of one that comes before it on some way, where nothing forbids it. A quick test in front
 * of a long one is tried first: of a large order not all are.
 */
function candidatesOf({ problem }: PlanSpace): readonly PlanMove[] {
  const { tests, written } = problem;
  const standing = tests.map(() => new Set<number>());
  const earlier = tests.map(() => new Set<number>());
  /** By test, those it stands in front of on some way. */
  const walk = (place: WrittenPlace | undefined, before: readonly number[]): void => {
    if (place?.kind !== "asks") return;
    standing[place.test]?.add(place.part);
    for (const one of before) earlier[one]?.add(place.test);
    for (const next of place.next) walk(next, [...before, place.test]);
  };
  walk(written?.start, []);
  const minutes = tests.map(({ outcomes }) => Math.max(...outcomes.map((outcome) => outcome.minutes)));
  const gain = ({ ask, before }: PlanMove) => (minutes[before] ?? 0) - (minutes[ask] ?? 0);
  const all = [...tests.keys()].flatMap((ask) =>
    [...tests.keys()].flatMap((before) => {
      if (ask === before || waitsFor(tests, ask, before)) return [];
      const parts = written?.parts[ask];
      const shared = [...(standing[before] ?? [])].some((part) => parts?.has(part) === true);
      return shared && (earlier[before]?.has(ask) === true || earlier[ask]?.has(before) !== true)
        ? [{ ask, before }]
        : [];
    }),
  );
  return all.sort((a, b) => gain(b) - gain(a) || a.ask - b.ask || a.before - b.before);
}

function waitsFor(tests: readonly PlanTest[], test: number, other: number): boolean {
  const seen = new Set<number>();
  const waiting = [test];
  for (let one = waiting.pop(); one !== undefined; one = waiting.pop()) {
    if (seen.has(one)) continue;
    seen.add(one);
    waiting.push(...(tests[one]?.after ?? []));
  }
  return seen.has(other);
}
