import { reachesFixed } from "../procedure/reaches-fixed.ts";
import type { Analysis } from "./analysis.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import type { CameBy } from "./way-back.ts";

/** Where a run stands, with all that fault probabilities and later branches depend on. */
export interface RunState {
  readonly step: number;
  /** Of the counted flow: the step with how often bounded branches were taken, and what conditions hang on. */
  readonly node: number;
  /** Latest result of each step that says something, `step * SAID + said`, rising. */
  readonly results: readonly number[];
  /** Those held back while a repair is being verified, results that say nothing included. */
  readonly held: readonly number[];
  /** Faults struck by failed verifications, rising. */
  readonly struck: readonly number[];
  /** The conclusion being verified, or -1; {@link VERIFIED} where a call has done it. */
  readonly verifying: number;
  /** Whether a conclusion was acted on before. */
  readonly concluded: boolean;
  /** The state it came from, and the edge; -1 at the start. */
  readonly before: number;
  readonly by: number;
}

export interface RunStates {
  readonly states: readonly RunState[];
  /** Some of the other ways by which a state is come to. */
  readonly others: ReadonlyMap<number, readonly CameBy[]>;
  /** False when the limit was met: some state a run can be in is missing. */
  readonly complete: boolean;
}

const SAID = 1024;
const VERIFIED = -2;
const MOST_STATES = 20_000;
const MOST_CELLS = 1_500_000;
/** More ways to one state are not kept. */
const MOST_OTHERS = 4;

/**
 * Every state in which a run can stand on its way to one of the conclusions asked about, states alike in all that
 * matters once. Those before any conclusion come first, so that when the limit is met at least the first ones are
 * complete. Nothing is missing: they are walked over the counted flow.
 */
export function runStates(analysis: Analysis, table: EvidenceTable, asked: ReadonlySet<number>): RunStates {
  const { flow, counted } = analysis;
  const useful = leadsTo(flow, asked);
  const states: RunState[] = [];
  const others = new Map<number, CameBy[]>();
  if (!counted.complete) return { states, others, complete: false };
  if (flow.start < 0 || useful[flow.start] === 0) return { states, others, complete: true };
  const next = nextStateOf(analysis, table);
  const seen = new Map<number, number[]>();
  let cells = 0;
  const queues: number[][] = [[]];
  const put = (state: RunState): boolean => {
    const hash = hashOf(state);
    const alike = seen.get(hash) ?? [];
    const known = alike.find((number) => isSame(states[number], state));
    if (known !== undefined) {
      const more = others.get(known) ?? [];
      if (more.length < MOST_OTHERS) more.push({ from: state.before, edge: state.by });
      others.set(known, more);
      return true;
    }
    cells += state.results.length + state.held.length + 4;
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
  put({
    step: flow.start,
    node: 0,
    results: [],
    held: [],
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
      for (const { to, edge: id } of counted.out[state.node] ?? []) {
        const edge = flow.edges[id];
        if (edge === undefined || useful[edge.to] === 0) continue;
        if (!put(next(state, edge, { step: edge.to, node: to, before: number, by: id })))
          return { states, others, complete: false };
      }
    }
  }
  return { states, others, complete: true };
}

/** The edges walked to a state. */
export function wayToState(states: readonly RunState[], number: number): readonly number[] {
  const way: number[] = [];
  for (let state = states[number]; state !== undefined && state.by >= 0; state = states[state.before])
    way.push(state.by);
  return way.reverse();
}

/**
 * Ways to a state that part from {@link wayToState} at so many places, those first that do so last. Where the ways go
 * round they may pass the state itself.
 */
export function* otherWaysTo(
  found: RunStates,
  number: number,
  partings: number,
): Generator<readonly number[]> {
  let onward: readonly number[] = [];
  for (let at = number; at >= 0; ) {
    for (const { from, edge } of found.others.get(at) ?? []) {
      const heads =
        partings === 1 ? [wayToState(found.states, from)] : otherWaysTo(found, from, partings - 1);
      for (const head of heads) yield [...head, edge, ...onward];
    }
    const state = found.states[at];
    onward = state === undefined || state.by < 0 ? onward : [state.by, ...onward];
    at = state?.before ?? -1;
  }
}

/** Whether some result in a state says what only a run can reckon. */
export function hasOpenResult(table: EvidenceTable, { results }: RunState): boolean {
  return results.some((result) => table.isOpen(Math.floor(result / SAID)));
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

function nextStateOf({ flow, procedure }: Analysis, table: EvidenceTable) {
  const fixed = reachesFixed(procedure);
  const faultNumber = new Map(table.faults.map((id, number) => [id, number]));

  return (
    state: RunState,
    edge: FlowEdge,
    link: Pick<RunState, "step" | "node" | "before" | "by">,
  ): RunState => {
    const step = flow.steps[edge.from];
    const { branch } = edge;
    if (branch === undefined || step === undefined) return { ...state, ...link };
    let { results, held, struck, verifying } = state;
    if (step.evidence !== undefined) {
      const said = table.say(edge.from, branch.outcome);
      if (verifying === -1) results = withResult(results, edge.from, said);
      else held = withHeld(held, edge.from, said);
    }
    if (step.kind === "end" && step.end === "fixed" && verifying !== -1) {
      verifying = VERIFIED;
      held = [];
    }
    if (branch.outcome === "repaired") verifying = edge.from;
    else if (verifying !== -1 && !fixed.has(flow.steps[edge.to]?.id ?? "")) {
      const conclusion = flow.steps[verifying];
      const failed = branch.outcome !== "cannot" && branch.outcome !== "stop";
      if (failed && conclusion?.kind === "conclude")
        struck = [
          ...new Set([...struck, ...conclusion.faults.flatMap((id) => faultNumber.get(id) ?? [])]),
        ].sort((a, b) => a - b);
      if (failed)
        for (const each of held) results = withResult(results, Math.floor(each / SAID), each % SAID);
      held = [];
      verifying = -1;
    }
    const concluded = state.concluded || step.kind === "conclude";
    return { ...link, results, held, struck, verifying, concluded };
  };
}

/** FNV-1a over the numbers of a state; states that meet in it are compared. */
function hashOf({ node, results, held, struck, verifying, concluded }: RunState): number {
  const before = mixed(mixed(0x811c9dc5, node * 2 + (concluded ? 1 : 0)), verifying);
  return mixedList(mixedList(mixedList(before, results), held), struck);
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
    a.node === b.node &&
    a.verifying === b.verifying &&
    a.concluded === b.concluded &&
    isSameList(a.results, b.results) &&
    isSameList(a.held, b.held) &&
    isSameList(a.struck, b.struck)
  );
}

function isSameList(a: readonly number[], b: readonly number[]): boolean {
  if (a === b) return true;
  if (a.length !== b.length) return false;
  for (let at = 0; at < a.length; at += 1) if (a[at] !== b[at]) return false;
  return true;
}

/** The results with a step's own set to what was said, or taken out for 0. */
function withResult(list: readonly number[], step: number, said: number): readonly number[] {
  const at = firstAtLeast(list, step * SAID);
  const there = at !== -1 && Math.floor((list[at] ?? 0) / SAID) === step;
  if (!there && said === 0) return list;
  const place = at === -1 ? list.length : at;
  return [
    ...list.slice(0, place),
    ...(said === 0 ? [] : [step * SAID + said]),
    ...list.slice(place + (there ? 1 : 0)),
  ];
}

/** The results held back with a step's own in place of an earlier one. */
function withHeld(list: readonly number[], step: number, said: number): readonly number[] {
  const others = list.filter((each) => Math.floor(each / SAID) !== step);
  return [...others, step * SAID + said].sort((a, b) => a - b);
}

function firstAtLeast(list: readonly number[], least: number): number {
  for (let at = 0; at < list.length; at += 1) if ((list[at] ?? 0) >= least) return at;
  return -1;
}

function leadsTo(flow: Flow, asked: ReadonlySet<number>): Uint8Array {
  const useful = new Uint8Array(flow.steps.length);
  const waiting = [...asked];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (useful[at] === 1) continue;
    useful[at] = 1;
    for (const id of flow.into[at] ?? []) waiting.push(flow.edges[id]?.from ?? at);
  }
  return useful;
}
