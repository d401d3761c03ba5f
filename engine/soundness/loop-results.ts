import type { EvidenceTable } from "./evidence-table.ts";
import type { Flow } from "./flow.ts";
import type { Factors } from "./odds-tree.ts";

/** What the steps of a loop can have shown last, when a run stands at one of them. */
export interface LoopResults {
  /** Of the other steps of the loop. */
  besides(index: number): readonly Factors[];
  /** Of the step itself, from an earlier round. */
  own(index: number): Factors | undefined;
}

const MOST_STEPS = 200;
/** A set of results is the bits of one number: bit 0 for none, bit n for what is said by number n. */
const MOST_RESULTS = 30;

/**
 * The latest results by flow analysis: a step's result is replaced whenever it is left again, sets of possible
 * results are joined where ways meet. Where an answer may be held back, the one before may still be the latest
 * that counts. Loops of more steps than {@link MOST_STEPS} can have shown anything.
 */
export function loopResults(
  flow: Flow,
  table: EvidenceTable,
  componentOf: Int32Array,
  steps: readonly number[],
  kept: Uint8Array,
  held: Uint8Array,
): LoopResults {
  const [only, more] = steps;
  if (only !== undefined && more === undefined) return resultsAround(flow, table, only, kept);
  const telling = steps.filter((index) => resultsOf(flow, table, index) > 0);
  if (steps.length > MOST_STEPS || telling.some((index) => resultsOf(flow, table, index) > MOST_RESULTS)) {
    const anything = new Map(
      telling.map((index) => [index, rangeOver(table, index, allOf(flow, table, index))] as const),
    );
    return {
      besides: (index) => [...anything].flatMap(([each, factors]) => (each === index ? [] : [factors])),
      own: (index) => anything.get(index),
    };
  }
  const sets = possibleResults(flow, table, componentOf, steps, telling, kept, held);
  const factorsAt = (at: number, of: number): Factors | undefined => {
    const set = sets.get(at)?.[telling.indexOf(of)] ?? 1;
    return set === 1 ? undefined : rangeOver(table, of, bitsOf(set));
  };
  return {
    besides: (index) => telling.flatMap((each) => (each === index ? [] : (factorsAt(index, each) ?? []))),
    own: (index) => (telling.includes(index) ? factorsAt(index, index) : undefined),
  };
}

/** As above for a step that leads back to itself, which most loops are. */
function resultsAround(flow: Flow, table: EvidenceTable, index: number, kept: Uint8Array): LoopResults {
  const said = new Set<number>();
  for (const id of flow.out[index] ?? []) {
    const edge = flow.edges[id];
    if (kept[id] === 0 || edge?.to !== index || edge.branch === undefined) continue;
    said.add(table.say(index, edge.branch.outcome));
  }
  said.delete(0);
  const own = said.size === 0 ? undefined : rangeOver(table, index, [0, ...said]);
  return { besides: () => [], own: () => own };
}

function possibleResults(
  flow: Flow,
  table: EvidenceTable,
  componentOf: Int32Array,
  steps: readonly number[],
  telling: readonly number[],
  kept: Uint8Array,
  held: Uint8Array,
): ReadonlyMap<number, Int32Array> {
  const place = new Map(telling.map((index, at) => [index, at]));
  const sets = new Map(steps.map((index) => [index, new Int32Array(telling.length)]));
  const component = componentOf[steps[0] ?? -1];
  const isInside = (index: number) => componentOf[index] === component;
  const waiting: number[] = [];
  for (const index of steps) {
    const entered =
      index === flow.start ||
      (flow.into[index] ?? []).some((id) => kept[id] === 1 && !isInside(flow.edges[id]?.from ?? -1));
    if (!entered) continue;
    sets.get(index)?.fill(1);
    waiting.push(index);
  }
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    const here = sets.get(at);
    for (const id of flow.out[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || kept[id] === 0 || !isInside(edge.to)) continue;
      const there = sets.get(edge.to);
      if (here === undefined || there === undefined) continue;
      const own = edge.branch?.step === flow.steps[at]?.id ? place.get(at) : undefined;
      let changed = false;
      for (let of = 0; of < there.length; of += 1) {
        const given = of === own && edge.branch ? 1 << table.say(at, edge.branch.outcome) : 0;
        const stays = given === 0 || held[at] === 1 ? (here[of] ?? 0) : 0;
        const set = given | stays;
        const joined = (there[of] ?? 0) | set;
        if (joined === there[of]) continue;
        there[of] = joined;
        changed = true;
      }
      if (changed) waiting.push(edge.to);
    }
  }
  return sets;
}

function resultsOf(flow: Flow, table: EvidenceTable, index: number): number {
  return allOf(flow, table, index).length - 1;
}

/** Every number that the step's outcomes can say, and none. */
function allOf(flow: Flow, table: EvidenceTable, index: number): readonly number[] {
  const said = [0];
  for (const outcome of flow.steps[index]?.outcomes.keys() ?? []) {
    const number = table.say(index, outcome);
    if (!said.includes(number)) said.push(number);
  }
  return said;
}

function bitsOf(set: number): readonly number[] {
  const bits: number[] = [];
  for (let bit = 0; bit <= MOST_RESULTS; bit += 1) if ((set >> bit) & 1) bits.push(bit);
  return bits;
}

/** The highest and lowest factor of each fault over results of which one holds. */
function rangeOver(table: EvidenceTable, index: number, said: readonly number[]): Factors {
  const spoken = said.filter((each) => each > 0).map((each) => table.factors(index, each));
  const [first] = spoken;
  if (first === undefined) return { faults: [], high: [], low: [] };
  const none = said.includes(0) ? [0] : [];
  return {
    faults: first.faults,
    high: first.faults.map((_, at) => Math.max(...none, ...spoken.map((each) => each.high[at] ?? 0))),
    low: first.faults.map((_, at) => Math.min(...none, ...spoken.map((each) => each.low[at] ?? 0))),
  };
}
