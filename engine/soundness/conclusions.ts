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
import { faultLogs, hasOpenResult, runStates, wayToState } from "./run-states.ts";
import { witnessOf } from "./witness.ts";

/**
 * `unsupported-conclusion`: conclusions that some way comes to with less than the procedure's `certainty` for
 * the concluded faults; inside a call the called one's, where that is stricter.
 *
 * Three looks, each at what the one before left open. A bound over all ways at once proves a conclusion, or
 * says nothing. Then every state a run can be in is looked at, one by one, while there are at most some 20,000:
 * a verdict is then exact. Then the worst way against each rival: a way found short is exact, and where the
 * rivals' worst odds together still leave the certainty, that is a proof. What is left is a note that says it
 * was not proven; so silence is always a proof, an error always a way that a run can walk.
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
  const { states, complete } = runStates(analysis, table, asked);
  const certaintyOf = (step: Step) => neededProof(procedure, step) - TOLERANCE;
  const worst = new Map<number, Verdict>();
  const unsure = new Map<number, Unsure>();
  for (const [number, state] of states.entries()) {
    const step = flow.steps[state.step];
    if (step?.kind !== "conclude" || !asked.has(state.step)) continue;
    const group = groupOf(step, faultNumber);
    if (toldAgain.has(step.id) && group.every((fault) => state.struck.includes(fault))) continue;
    if (hasOpenResult(table, state)) {
      unsure.set(state.step, "limits-open");
      continue;
    }
    const verdict = judge(table, faultLogs(table, state), group);
    const known = worst.get(state.step);
    // No slip: the last fault that the answers left possible was struck, and the run goes by older odds.
    if (verdict === undefined && state.struck.length > 0) unsure.set(state.step, "all-struck");
    if (verdict === undefined) continue;
    const found = { ...verdict, state: number, again: state.concluded };
    if (known === undefined || isWorse(found, known, certaintyOf(step))) worst.set(state.step, found);
  }
  const findings: Finding[] = [...before];
  const undecided: number[] = [];
  for (const [index, step] of flow.steps.entries()) {
    if (step.kind !== "conclude" || !asked.has(index)) continue;
    const verdict = worst.get(index);
    if (verdict !== undefined && verdict.probability < certaintyOf(step))
      findings.push(
        unsupported(analysis, step, verdict, witnessOf(analysis, wayToState(states, verdict.state))),
      );
    else if (unsure.has(index)) findings.push(notProven(analysis, step, unsure.get(index)));
    else if (!complete && flow.steps.some((_, each) => table.isOpen(each)))
      findings.push(notProven(analysis, step, "limits-open"));
    else if (!complete) undecided.push(index);
  }
  return [...findings, ...byRivals(analysis, table, open, undecided)];
}

/** Rounding in products of shares stays far below this. */
const TOLERANCE = 1e-9;

interface Verdict {
  readonly probability: number;
  readonly rival: FaultId;
  readonly state: number;
  readonly again: boolean;
}

/** What falls short without an earlier conclusion goes before what is lower after one: it is the error. */
function isWorse(a: Verdict, b: Verdict, certainty: number): boolean {
  const first = (verdict: Verdict) => !verdict.again && verdict.probability < certainty;
  return first(a) === first(b) ? a.probability < b.probability : first(a);
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

function unsupported(
  analysis: Analysis,
  step: ConcludeStep,
  verdict: Pick<Verdict, "probability" | "rival" | "again">,
  witness: Finding["witness"] & {},
): Finding {
  if (!isRead(analysis, witness)) return { ...notProven(analysis, step, "no-reading"), witness };
  return {
    code: "unsupported-conclusion",
    severity: verdict.again ? "warning" : "error",
    params: {
      step: step.id,
      fault: step.faults.join(", "),
      probability: Number(verdict.probability.toPrecision(4)),
      needed: neededProof(analysis.procedure, step),
      rival: verdict.rival,
      why: verdict.again ? "after-conclusion" : "shown",
    },
    node: step.node,
    step: step.id,
    witness,
  };
}

/** Whether a reading was found for each look of a witness: without one no run is known that walks it. */
function isRead({ procedure }: Analysis, witness: Finding["witness"] & {}): boolean {
  return witness.every(
    ({ step, outcome, reading }) =>
      reading !== undefined ||
      procedure.steps.get(step)?.kind !== "measure" ||
      outcome === "cannot" ||
      outcome === "stop",
  );
}

/** What the worst ways against each rival say of conclusions that nothing else decided. */
function byRivals(
  analysis: Analysis,
  table: EvidenceTable,
  open: OpenConclusions,
  undecided: readonly number[],
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
    if (short !== undefined) {
      const { way, ...verdict } = short;
      return unsupported(analysis, step, { ...verdict, again: false }, witnessOf(analysis, way));
    }
    return bound >= needed && !open.later.has(index) ? [] : notProven(analysis, step);
  });
}

interface OverRivals {
  /** The least that the concluded faults can have. */
  readonly bound: number;
  /** The worst way found, where that has too little. */
  readonly short?: Pick<Verdict, "probability" | "rival"> & { readonly way: readonly number[] };
}

function worstOver(
  ways: Ways,
  table: EvidenceTable,
  index: number,
  group: readonly number[],
  certainty: number,
): OverRivals {
  let odds = 0;
  let short: OverRivals["short"];
  for (const rival of table.faults.keys()) {
    if (group.includes(rival)) continue;
    const { bound, way } = worstWay(ways, table, index, rival, group[0] ?? -1);
    odds += Math.exp(bound);
    const verdict = way && judge(table, logsOfWay(ways.flow, table, way), group);
    if (way && verdict && verdict.probability < Math.min(certainty, short?.probability ?? 2))
      short = { ...verdict, way };
  }
  return { bound: 1 / (1 + odds), ...(short === undefined ? {} : { short }) };
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
