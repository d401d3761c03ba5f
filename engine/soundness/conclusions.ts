import { neededProof } from "../procedure/called-rules.ts";
import type { Finding } from "../procedure/finding.ts";
import type { ConcludeStep, FaultId, Step } from "../procedure/model.ts";
import type { Analysis } from "./analysis.ts";
import { componentsOf, membersOf } from "./components.ts";
import { concludedAgain } from "./concluded-again.ts";
import { type EvidenceTable, evidenceTable } from "./evidence-table.ts";
import type { Flow } from "./flow.ts";
import { MOST_RELAXATIONS, type Ways, worstWay } from "./odds-bound.ts";
import { isBefore, type OpenConclusions, openConclusions } from "./open-conclusions.ts";
import {
  faultLogs,
  hasOpenResult,
  otherWaysTo,
  type RunStates,
  runStates,
  wayToState,
} from "./run-states.ts";
import { type ShortWay, WaysShown } from "./way-shown.ts";

/**
 * `unsupported-conclusion`: conclusions that some way comes to with less than the procedure's `certainty` for
 * the concluded faults; inside a call the called one's, where that is stricter.
 *
 * Three looks, each at what the one before left open. A bound over all ways at once proves a conclusion, or
 * says nothing. Then every state a run can be in is looked at, one by one, while there are at most some 20,000:
 * a verdict is then exact. Then the worst way against each rival: a way found short is exact, and where the
 * rivals' worst odds together still leave the certainty, that is a proof. What is left is a note that says it
 * was not proven; so silence is always a proof, an error always a way that a run can walk: where conditions and
 * readings contradict each other on the worst way, the next ones that fall short are tried, and where none of them
 * is walked by a run, the note says so.
 *
 * What only shows after an earlier conclusion is a warning: the odds then hold answers from before and after a
 * repair (what was answered to verify one only where it failed), and the technician knows that one did not help. A
 * fault concluded again after its own failed verification is one of these ({@link concludedAgain}). Verdicts count as
 * clear: a reading too close to call that is decided all the same shows its lower probability in the run. Ways that
 * the evidence calls impossible under every fault are left to the run. Where a repair that did not help makes them
 * so, or where a density is held against limits that only a run knows, the note says that nothing was proven.
 */
export function checkConclusions(analysis: Analysis): readonly Finding[] {
  const { flow, procedure } = analysis;
  const table = evidenceTable(flow);
  const again = concludedAgain(analysis);
  const toldAgain = new Set(again.findings.map(({ step }) => step));
  const open = openConclusions(analysis, table);
  const asked = new Set([...open.first, ...open.later]);
  const notLooked = again.open.filter((index) => !asked.has(index));
  const before = [
    ...again.findings,
    ...notLooked.flatMap((index) => {
      const step = flow.steps[index];
      return step?.kind === "conclude" ? notProven(analysis, step) : [];
    }),
  ];
  if (asked.size === 0) return before;
  const faultNumber = new Map(table.faults.map((id, number) => [id, number]));
  const found = runStates(analysis, table, asked);
  const { states, complete } = found;
  const certaintyOf = (step: Step) => neededProof(procedure, step) - TOLERANCE;
  const short = new Map<number, Verdict[]>();
  const unsure = new Map<number, Unsure>();
  /** Open where no conclusion came before. */
  const openAtFirst = new Set<number>();
  for (const [number, state] of states.entries()) {
    const step = flow.steps[state.step];
    if (step?.kind !== "conclude" || !asked.has(state.step)) continue;
    const group = groupOf(step, faultNumber);
    if (toldAgain.has(step.id) && group.every((fault) => state.struck.includes(fault))) continue;
    if (hasOpenResult(table, state)) {
      unsure.set(state.step, "limits-open");
      if (!state.concluded) openAtFirst.add(state.step);
      continue;
    }
    const verdict = judge(table, faultLogs(table, state), group);
    // No slip: the last fault that the answers left possible was struck, and the run goes by older odds.
    if (verdict === undefined && state.struck.length > 0) unsure.set(state.step, "all-struck");
    if (verdict === undefined || verdict.probability >= certaintyOf(step)) continue;
    const verdicts = short.get(state.step) ?? [];
    verdicts.push({ ...verdict, state: number, again: state.concluded });
    short.set(state.step, verdicts);
  }
  const shown = new WaysShown(analysis);
  const findings: Finding[] = [...before];
  const undecided: number[] = [];
  for (const [index, step] of flow.steps.entries()) {
    if (step.kind !== "conclude" || !asked.has(index)) continue;
    const verdicts = short.get(index);
    if (verdicts !== undefined) {
      findings.push(...unsupported(analysis, step, shown, found, verdicts));
      // What falls short after another conclusion says nothing of a first one.
      if (openAtFirst.has(index) && verdicts.every((each) => each.again))
        findings.push(notProven(analysis, step, "limits-open"));
    } else if (unsure.has(index)) findings.push(notProven(analysis, step, unsure.get(index)));
    else if (!complete && flow.steps.some((_, each) => table.isOpen(each)))
      findings.push(notProven(analysis, step, "limits-open"));
    else if (!complete) undecided.push(index);
  }
  return [...findings, ...byRivals(analysis, table, open, undecided, shown)];
}

/** Rounding in products of shares stays far below this. */
const TOLERANCE = 1e-9;

interface Verdict {
  readonly probability: number;
  readonly rival: FaultId;
  readonly state: number;
  readonly again: boolean;
}

/** How many of the states that fall short, the worst first, are tried by other ways too. */
const MOST_OTHERWISE = 20;
/** At so many places these ways part from the first one to the state. */
const MOST_PARTINGS = 3;

/** The ways to states that fall short, the worst first; then others to the worst of them. */
function* waysTo(found: RunStates, verdicts: readonly Verdict[]): Generator<ShortWay<Verdict>> {
  const sorted = verdicts.toSorted((a, b) => a.probability - b.probability || a.state - b.state);
  for (const said of sorted) yield { way: wayToState(found.states, said.state), said };
  for (let partings = 1; partings <= MOST_PARTINGS; partings += 1)
    for (const said of sorted.slice(0, MOST_OTHERWISE))
      for (const way of otherWaysTo(found, said.state, partings)) yield { way, said };
}

/** What falls short without an earlier conclusion is the error; only without one what is lower after one is told. */
function unsupported(
  analysis: Analysis,
  step: ConcludeStep,
  shown: WaysShown,
  found: RunStates,
  verdicts: readonly Verdict[],
): readonly Finding[] {
  const findings: Finding[] = [];
  for (const again of [false, true]) {
    const way = shown.first(
      waysTo(
        found,
        verdicts.filter((each) => each.again === again),
      ),
    );
    if (way === undefined) continue;
    if (way.walks) return [...findings, fallsShort(analysis, step, way.said, way.witness)];
    if (findings.length === 0) findings.push(notWalked(analysis, step, way.witness));
  }
  return findings;
}

function groupOf(step: ConcludeStep, faultNumber: ReadonlyMap<FaultId, number>): readonly number[] {
  return step.faults.flatMap((id) => faultNumber.get(id) ?? []);
}

/** The probability of the concluded faults and their strongest rival; undefined where no fault is possible. */
function judge(
  table: EvidenceTable,
  logs: Float64Array,
  group: readonly number[],
): Pick<Verdict, "probability" | "rival"> | undefined {
  const highest = logs.reduce((most, each) => Math.max(most, each), -Infinity);
  if (highest === -Infinity) return undefined;
  let all = 0;
  let concluded = 0;
  let rival = -1;
  for (const [fault, log] of logs.entries()) {
    const weight = Math.exp(log - highest);
    all += weight;
    if (group.includes(fault)) concluded += weight;
    else if (rival === -1 || log > (logs[rival] ?? -Infinity)) rival = fault;
  }
  return { probability: concluded / all, rival: table.faults[rival] ?? "" };
}

function fallsShort(
  { procedure }: Analysis,
  step: ConcludeStep,
  verdict: Pick<Verdict, "probability" | "rival" | "again">,
  witness: Finding["witness"] & {},
): Finding {
  return {
    code: "unsupported-conclusion",
    severity: verdict.again ? "warning" : "error",
    params: {
      step: step.id,
      fault: step.faults.join(", "),
      probability: Number(verdict.probability.toPrecision(4)),
      needed: neededProof(procedure, step),
      rival: verdict.rival,
      why: verdict.again ? "after-conclusion" : "shown",
    },
    node: step.node,
    step: step.id,
    witness,
  };
}

/** No run was found that walks a way which falls short: it is shown, and nothing is proven. */
function notWalked(analysis: Analysis, step: ConcludeStep, witness: Finding["witness"] & {}): Finding {
  return { ...notProven(analysis, step, "no-reading"), witness };
}

/** What the worst ways against each rival say of conclusions that nothing else decided. */
function byRivals(
  analysis: Analysis,
  table: EvidenceTable,
  open: OpenConclusions,
  undecided: readonly number[],
  shown: WaysShown,
): readonly Finding[] {
  if (undecided.length === 0) return [];
  const { flow, walked, procedure } = analysis;
  const kept = Uint8Array.from(flow.edges, (edge, id) => (walked[id] === 1 && isBefore(flow, edge) ? 1 : 0));
  const components = componentsOf(flow, (_, id) => kept[id] === 1);
  const ways: Ways = { flow, components, members: membersOf(components), kept };
  const faultNumber = new Map(table.faults.map((id, number) => [id, number]));
  let left = MOST_RELAXATIONS;
  return undecided.flatMap((index) => {
    const step = flow.steps[index];
    if (step?.kind !== "conclude") return [];
    const group = groupOf(step, faultNumber);
    left -= table.faults.length * flow.edges.length;
    if (left < 0) return notProven(analysis, step);
    const needed = neededProof(procedure, step);
    const { bound, short } = worstOver(ways, table, index, group, needed - TOLERANCE);
    const way = shown.first(short);
    if (way?.walks) return fallsShort(analysis, step, { ...way.said, again: false }, way.witness);
    if (way !== undefined) return notWalked(analysis, step, way.witness);
    return bound >= needed && !open.later.has(index) ? [] : notProven(analysis, step);
  });
}

interface OverRivals {
  /** The least that the concluded faults can have. */
  readonly bound: number;
  /** The worst way against each rival where that has too little, the worst of them first. */
  readonly short: readonly ShortWay<Pick<Verdict, "probability" | "rival">>[];
}

function worstOver(
  ways: Ways,
  table: EvidenceTable,
  index: number,
  group: readonly number[],
  certainty: number,
): OverRivals {
  let odds = 0;
  const short: ShortWay<Pick<Verdict, "probability" | "rival">>[] = [];
  for (const rival of table.faults.keys()) {
    if (group.includes(rival)) continue;
    const { bound, way } = worstWay(ways, table, index, rival, group[0] ?? -1);
    odds += Math.exp(bound);
    const said = way && judge(table, logsOfWay(ways.flow, table, way), group);
    if (way && said && said.probability < certainty) short.push({ way, said });
  }
  return { bound: 1 / (1 + odds), short: short.sort((a, b) => a.said.probability - b.said.probability) };
}

/** log of prior times likelihoods by fault after a way that passes no step twice. */
function logsOfWay(flow: Flow, table: EvidenceTable, way: readonly number[]): Float64Array {
  const logs = Float64Array.from(table.priors, Math.log);
  for (const id of way) {
    const edge = flow.edges[id];
    if (edge?.branch === undefined || edge.branch.step !== flow.steps[edge.from]?.id) continue;
    const said = table.say(edge.from, edge.branch.outcome);
    if (said === 0) continue;
    const spoken = table.logs(edge.from, said);
    for (let fault = 0; fault < logs.length; fault += 1)
      logs[fault] = (logs[fault] ?? 0) + (spoken[fault] ?? 0);
  }
  return logs;
}

/** Why even a look at every state can leave a conclusion open. */
type Unsure = "limits-open" | "all-struck" | "no-reading";

function notProven({ procedure }: Analysis, step: ConcludeStep, why?: Unsure): Finding {
  return {
    code: "unsupported-conclusion",
    severity: "note",
    params: {
      step: step.id,
      fault: step.faults.join(", "),
      needed: neededProof(procedure, step),
      why: why ?? "not-proven",
    },
    node: step.node,
    step: step.id,
  };
}
