import type { Branch } from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import type { Analysis } from "./analysis.ts";
import { armFacts } from "./arm-facts.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import { type Flow, type FlowEdge, isWayOut } from "./flow.ts";

/** Where a run stands, with all that fault probabilities and later branches depend on. */
export interface RunState {
  readonly step: number;
  /** Latest result of each step that says something, `step * SAID + said`, rising. */
  readonly results: readonly number[];
  /** How often bounded branches of the cycle one is in were taken, `branch * MOST + times`, rising. */
  readonly taken: readonly number[];
  /** Faults struck by failed verifications, rising. */
  readonly struck: readonly number[];
  /** The conclusion being verified, or -1. */
  readonly verifying: number;
  /** Whether a conclusion was acted on before. */
  readonly concluded: boolean;
  /** The state it came from, and the edge; -1 at the start. */
  readonly before: number;
  readonly by: number;
}

export interface RunStates {
  readonly states: readonly RunState[];
  /** False when the limit was met: some state a run can be in is missing. */
  readonly complete: boolean;
}

const SAID = 1024;
const MOST = 65_536;
const MOST_STATES = 20_000;
const MOST_CELLS = 1_500_000;

/**
 * Every state in which a run can stand on its way to a conclusion, states alike in all that matters once. Those
 * before any conclusion come first, so that when the limit is met at least the first ones are complete.
 *
 * Nothing is missing: conditions count as open, and a branch back to its own step counts as taken any number
 * of times (its results replace each other). Other bounded branches are counted as a run counts them.
 */
export function runStates(analysis: Analysis, table: EvidenceTable): RunStates {
  const { flow } = analysis;
  const useful = leadsToConclusion(flow);
  const next = nextStateOf(analysis, table);
  const states: RunState[] = [];
  const seen = new Map<number, number[]>();
  let cells = 0;
  const queues: number[][] = [[]];
  const put = (state: RunState): boolean => {
    const hash = hashOf(state);
    const alike = seen.get(hash) ?? [];
    if (alike.some((number) => isSame(states[number], state))) return true;
    cells += state.results.length + state.taken.length + 4;
    if (states.length >= MOST_STATES || cells > MOST_CELLS) return false;
    alike.push(states.length);
    seen.set(hash, alike);
    const level = state.struck.length + (state.concluded ? 1 : 0);
    const queue = queues[level] ?? [];
    queue.push(states.length);
    queues[level] = queue;
    states.push(state);
    return true;
  };
  if (flow.start < 0 || useful[flow.start] === 0) return { states, complete: true };
  put({
    step: flow.start,
    results: [],
    taken: [],
    struck: [],
    verifying: -1,
    concluded: false,
    before: -1,
    by: -1,
  });
  for (let level = 0; level < queues.length; level += 1) {
    const queue = queues[level] ?? [];
    for (let at = 0; at < queue.length; at += 1) {
      const number = queue[at] ?? 0;
      const state = states[number];
      if (state === undefined) continue;
      for (const id of flow.out[state.step] ?? []) {
        const edge = flow.edges[id];
        if (edge === undefined || useful[edge.to] === 0 || isWayOut(edge)) continue;
        const reached = next(state, edge, id, number);
        if (reached !== undefined && !put(reached)) return { states, complete: false };
      }
    }
  }
  return { states, complete: true };
}

/**
 * The edges walked to a state. A branch back to its own step that was left by its `else` is first taken as often
 * as it may be, which changes nothing but the count.
 */
export function wayToState(flow: Flow, states: readonly RunState[], number: number): readonly number[] {
  const short: number[] = [];
  for (let state = states[number]; state !== undefined && state.by >= 0; state = states[state.before])
    short.push(state.by);
  const times = new Map<Branch, number>();
  return short.reverse().flatMap((id) => {
    const edge = flow.edges[id];
    const { branch } = edge ?? {};
    if (edge === undefined || branch?.atMost === undefined || isCounted(flow, edge)) return [id];
    const before = times.get(branch) ?? 0;
    if (edge.arm !== "else") {
      times.set(branch, before + 1);
      return [id];
    }
    times.set(branch, branch.atMost);
    const again = flow.out[edge.from]?.find((each) => {
      const other = flow.edges[each];
      return other?.branch === branch && other.arm !== "else";
    });
    return [...new Array<number>(branch.atMost - before).fill(again ?? id), id];
  });
}

/** log of prior times likelihoods by fault; -Infinity for struck faults. */
export function faultLogs(table: EvidenceTable, state: RunState): Float64Array {
  const logs = Float64Array.from(table.priors, Math.log);
  for (const result of state.results) {
    const said = table.logs(Math.floor(result / SAID), result % SAID);
    for (let fault = 0; fault < logs.length; fault += 1)
      logs[fault] = (logs[fault] ?? 0) + (said[fault] ?? 0);
  }
  for (const fault of state.struck) logs[fault] = -Infinity;
  return logs;
}

function nextStateOf(analysis: Analysis, table: EvidenceTable) {
  const { flow, components, procedure } = analysis;
  const fixed = reachesFixed(procedure);
  const faultNumber = new Map(table.faults.map((id, number) => [id, number]));
  const branchNumber = new Map<unknown, number>();
  for (const edge of flow.edges)
    if (edge.branch && !branchNumber.has(edge.branch)) branchNumber.set(edge.branch, branchNumber.size);
  const inside = (edge: FlowEdge) => components.of[edge.from] === components.of[edge.to];

  return (state: RunState, edge: FlowEdge, by: number, before: number): RunState | undefined => {
    const step = flow.steps[edge.from];
    if (step === undefined) return undefined;
    const link = { step: edge.to, before, by };
    const { branch } = edge;
    if (branch === undefined) return { ...state, ...link };
    if (typeof edge.arm === "number" && armFacts(procedure, branch, edge.arm) === "never") return undefined;
    let { taken, struck, verifying } = state;
    if (branch.atMost !== undefined && isCounted(flow, edge)) {
      const key = branchNumber.get(branch) ?? 0;
      const times = (taken.find((each) => Math.floor(each / MOST) === key) ?? 0) % MOST;
      if (edge.arm === "else" ? times < branch.atMost : times >= branch.atMost) return undefined;
      if (edge.arm !== "else") taken = withNumber(taken, key, times + 1, MOST);
    }
    if (!inside(edge)) taken = [];
    const saying = step.kind === "ask" || step.kind === "measure";
    const results = saying
      ? withNumber(state.results, edge.from, table.say(edge.from, branch.outcome), SAID)
      : state.results;
    if (step.kind === "end" && step.end === "fixed") verifying = -1;
    if (branch.outcome === "repaired") verifying = edge.from;
    else if (verifying !== -1 && !fixed.has(flow.steps[edge.to]?.id ?? "")) {
      const conclusion = flow.steps[verifying];
      const failed = branch.outcome !== "cannot" && branch.outcome !== "stop";
      if (failed && conclusion?.kind === "conclude")
        struck = [
          ...new Set([...struck, ...conclusion.faults.flatMap((id) => faultNumber.get(id) ?? [])]),
        ].sort((a, b) => a - b);
      verifying = -1;
    }
    return {
      ...link,
      results,
      taken,
      struck,
      verifying,
      concluded: state.concluded || step.kind === "conclude",
    };
  };
}

/** FNV-1a over the numbers of a state; states that meet in it are compared. */
function hashOf({ step, results, taken, struck, verifying, concluded }: RunState): number {
  const before = mixed(mixed(0x811c9dc5, step * 2 + (concluded ? 1 : 0)), verifying);
  return mixedList(mixedList(mixedList(before, results), taken), struck);
}

function mixed(hash: number, value: number): number {
  return Math.imul(hash ^ value, 0x01000193);
}

function mixedList(hash: number, list: readonly number[]): number {
  let next = mixed(hash, list.length);
  for (let at = 0; at < list.length; at += 1) next = mixed(next, list[at] ?? 0);
  return next;
}

function isSame(a: RunState | undefined, b: RunState): boolean {
  return (
    a !== undefined &&
    a.step === b.step &&
    a.verifying === b.verifying &&
    a.concluded === b.concluded &&
    isSameList(a.results, b.results) &&
    isSameList(a.taken, b.taken) &&
    isSameList(a.struck, b.struck)
  );
}

function isSameList(a: readonly number[], b: readonly number[]): boolean {
  if (a === b) return true;
  if (a.length !== b.length) return false;
  for (let at = 0; at < a.length; at += 1) if (a[at] !== b[at]) return false;
  return true;
}

/** A branch that leads back to its own step is not counted: its result is replaced each time. */
function isCounted(flow: Flow, edge: FlowEdge): boolean {
  return edge.branch?.arms.some((arm) => arm.goto !== flow.steps[edge.from]?.id) === true;
}

/** The list with the entry of a key set to a value, or taken out for 0. */
function withNumber(list: readonly number[], key: number, value: number, base: number): readonly number[] {
  const at = firstAtLeast(list, key * base);
  const there = at !== -1 && Math.floor((list[at] ?? 0) / base) === key;
  if (!there && value === 0) return list;
  const place = at === -1 ? list.length : at;
  return [
    ...list.slice(0, place),
    ...(value === 0 ? [] : [key * base + value]),
    ...list.slice(place + (there ? 1 : 0)),
  ];
}

function firstAtLeast(list: readonly number[], least: number): number {
  for (let at = 0; at < list.length; at += 1) if ((list[at] ?? 0) >= least) return at;
  return -1;
}

function leadsToConclusion(flow: Flow): Uint8Array {
  const useful = new Uint8Array(flow.steps.length);
  const waiting = [...flow.steps.keys()].filter((index) => flow.steps[index]?.kind === "conclude");
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (useful[at] === 1) continue;
    useful[at] = 1;
    for (const id of flow.into[at] ?? []) waiting.push(flow.edges[id]?.from ?? at);
  }
  return useful;
}
