/** What a rehearsal comes to in the long run, reckoned exactly instead of by chance. */
import type { BulkProcedure } from "./bulk-procedure.ts";
import { type Walked, type Way, waysOf } from "./expected-walk.ts";
import { faultModel } from "./fault-model.ts";
import { rehearsedArms } from "./rehearsed-arms.ts";
import { stillToCome } from "./still-to-come.ts";

interface Expected {
  /** Chances by ending, in the order of `ENDINGS`; they sum to 1. */
  readonly endings: readonly number[];
  /** Mean minutes to the conclusion or end, as in a rehearsal. */
  readonly minutes: number;
  /** Mean cost of the repairs concluded. */
  readonly cost: number;
}

/** A branch, or its `else`. */
interface ExpectedRow {
  /** How often a run takes it on average. */
  readonly times: number;
  /** The chance that a run takes it at all. */
  readonly chance: number;
  /** Chances by ending of runs that take it, times `chance`; so are the minutes. */
  readonly endings: readonly number[];
  readonly minutes: number;
}

export interface ExpectedRun extends Expected {
  /** In the order of the faults; `prior` as a share. */
  readonly perFault: readonly (Expected & { readonly prior: number })[];
  /** Rows `2 × branch`, and `2 × branch + 1` for its `else`. */
  readonly perRow: readonly ExpectedRow[];
}

export type Expectation =
  | ({ readonly ok: true } & ExpectedRun)
  /**
   * `readings-decide`: a condition hangs on a reading of which more than the band is known; `too-many-states`;
   * `endless`: nothing bounds a way round.
   */
  | { readonly ok: false; readonly why: "readings-decide" | "too-many-states" | "endless" };

/** The most states looked at, all faults together, unless told otherwise: about two seconds. */
const MOST_STATES = 100_000;

/** The exact expectation of a rehearsal with such a share of slips, or why it can't be told. */
export function expectedRun(
  bulk: BulkProcedure,
  { slips = 0, mostStates = MOST_STATES }: { readonly slips?: number; readonly mostStates?: number } = {},
): Expectation {
  const walked: Walked = {
    bulk,
    model: faultModel(bulk),
    arms: rehearsedArms(bulk),
    ahead: stillToCome(bulk),
    slips,
  };
  if (readingsDecide(walked)) return { ok: false, why: "readings-decide" };
  const perRow = Array.from({ length: 2 * bulk.branches.length }, () => ({
    times: 0,
    chance: 0,
    endings: [0, 0, 0],
    minutes: 0,
  }));
  const perFault: (Expected & { readonly prior: number })[] = [];
  let left = mostStates;
  let before = 0;
  for (const fault of bulk.faults.keys()) {
    const upTo = walked.model.priors[fault] ?? 1;
    const prior = upTo - before;
    before = upTo;
    const ways = waysOf(walked, fault, left);
    if (ways === undefined) return { ok: false, why: "too-many-states" };
    left -= ways.length - 1;
    const order = inOrder(ways);
    if (order === undefined) return { ok: false, why: "endless" };
    const values = valuesOf(ways, order);
    perFault.push({ ...(values[0] ?? NOTHING), prior });
    addRows(perRow, ways, order, values, prior);
  }
  return { ok: true, ...mixed(perFault), perFault, perRow };
}

const NOTHING: Expected = { endings: [0, 0, 0], minutes: 0, cost: 0 };

function readingsDecide({ bulk, model, arms }: Walked): boolean {
  const read = new Set([...bulk.branches.keys()].flatMap((branch) => arms.readingsOf(branch)));
  return model.reads.some((bySteps) => bySteps.some((how, step) => how !== undefined && read.has(step)));
}

/** The states, each before those it leads to; undefined where some lead back to themselves. */
function inOrder(ways: readonly (readonly Way[])[]): readonly number[] | undefined {
  const waitsFor = new Int32Array(ways.length);
  for (const out of ways) for (const { to } of out) if (to >= 0) waitsFor[to] = (waitsFor[to] ?? 0) + 1;
  const order = [0];
  for (const state of order)
    for (const { to } of ways[state] ?? []) {
      if (to < 0) continue;
      waitsFor[to] = (waitsFor[to] ?? 0) - 1;
      if (waitsFor[to] === 0) order.push(to);
    }
  return order.length === ways.length ? order : undefined;
}

/** What is still to be expected at each state. */
function valuesOf(ways: readonly (readonly Way[])[], order: readonly number[]): readonly Expected[] {
  const values: Expected[] = ways.map(() => NOTHING);
  for (const state of [...order].reverse())
    values[state] = mixed((ways[state] ?? []).map((way) => ({ ...after(way, values), prior: way.chance })));
  return values;
}

function after(way: Way, values: readonly Expected[]): Expected {
  if (way.to < 0)
    return {
      endings: [0, 1, 2].map((ending) => (ending === way.ending ? 1 : 0)),
      minutes: way.minutes,
      cost: way.cost,
    };
  const { endings, minutes, cost } = values[way.to] ?? NOTHING;
  return { endings, minutes: minutes + way.minutes, cost };
}

function mixed(parts: readonly (Expected & { readonly prior: number })[]): Expected {
  const endings = [0, 0, 0];
  let minutes = 0;
  let cost = 0;
  for (const part of parts) {
    for (const ending of endings.keys())
      endings[ending] = (endings[ending] ?? 0) + part.prior * (part.endings[ending] ?? 0);
    minutes += part.prior * part.minutes;
    cost += part.prior * part.cost;
  }
  return { endings, minutes, cost };
}

function addRows(
  rows: { times: number; chance: number; endings: number[]; minutes: number }[],
  ways: readonly (readonly Way[])[],
  order: readonly number[],
  values: readonly Expected[],
  prior: number,
): void {
  const chances = new Float64Array(ways.length);
  /** Minutes spent before each state, times its chance. */
  const spent = new Float64Array(ways.length);
  chances[0] = prior;
  for (const state of order)
    for (const way of ways[state] ?? []) {
      const chance = (chances[state] ?? 0) * way.chance;
      const minutes = (spent[state] ?? 0) * way.chance;
      const rest = after(way, values);
      for (const row of way.rows) {
        const known = rows[row];
        if (known !== undefined) known.times += chance;
      }
      for (const row of way.first) {
        const known = rows[row];
        if (known === undefined) continue;
        known.chance += chance;
        known.minutes += minutes + chance * rest.minutes;
        for (const ending of known.endings.keys())
          known.endings[ending] = (known.endings[ending] ?? 0) + chance * (rest.endings[ending] ?? 0);
      }
      if (way.to < 0) continue;
      chances[way.to] = (chances[way.to] ?? 0) + chance;
      spent[way.to] = (spent[way.to] ?? 0) + minutes + chance * way.minutes;
    }
}
