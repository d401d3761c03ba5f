import type { Finding } from "../procedure/finding.ts";
import type { ConcludeStep, FaultId } from "../procedure/model.ts";
import { type Analysis, isReached } from "./analysis.ts";
import { type EvidenceTable, evidenceTable } from "./evidence-table.ts";
import { MOST_RELAXATIONS, oddsBound } from "./odds-bound.ts";
import { faultLogs, runStates, wayToState } from "./run-states.ts";
import { witnessOf } from "./witness.ts";

/**
 * `unsupported-conclusion`: conclusions that some way comes to with less than the procedure's `certainty` for
 * the concluded faults.
 *
 * Every state a run can be in is looked at, one by one, while there are at most some 20,000; then a verdict is
 * exact, but for conditions, which count as open. What only shows after an earlier conclusion is a warning: the
 * odds then hold answers from before and after a repair, and the technician knows that one did not help. Beyond that, what was found stays true, and a conclusion
 * without a find is either proven by a bound (for each rival the longest way in log odds, summed over the
 * rivals) or listed as a note that says it was not proven. Verdicts count as clear: a reading too close to call
 * that is decided all the same shows its lower probability in the run. A fault concluded again after its own
 * failed verification is left to the run, and so are ways that the evidence calls impossible under every fault.
 */
export function checkConclusions(analysis: Analysis): readonly Finding[] {
  const table = evidenceTable(analysis.flow);
  const faultNumber = new Map(table.faults.map((id, number) => [id, number]));
  const { states, complete } = runStates(analysis, table);
  const certainty = analysis.procedure.certainty - TOLERANCE;
  const worst = new Map<number, Verdict>();
  for (const [number, state] of states.entries()) {
    const step = analysis.flow.steps[state.step];
    if (step?.kind !== "conclude") continue;
    const group = groupOf(step, faultNumber);
    if (group.length === 0 || group.every((fault) => state.struck.includes(fault))) continue;
    const verdict = judge(table, faultLogs(table, state), group);
    const known = worst.get(state.step);
    if (verdict === undefined || (known?.probability ?? 2) <= verdict.probability) continue;
    // What shows without an earlier conclusion goes before what is worse after one.
    const first = known !== undefined && known.probability < certainty && !known.again;
    const again = state.concluded;
    if (!(first && again)) worst.set(state.step, { ...verdict, state: number, again });
  }
  const findings: Finding[] = [];
  const undecided: number[] = [];
  for (const [index, step] of analysis.flow.steps.entries()) {
    if (step.kind !== "conclude" || !isReached(analysis, index)) continue;
    const verdict = worst.get(index);
    if (verdict !== undefined && verdict.probability < certainty)
      findings.push(
        unsupported(
          analysis,
          step,
          verdict,
          witnessOf(analysis, wayToState(analysis.flow, states, verdict.state)),
        ),
      );
    else if (!complete) undecided.push(index);
  }
  return [...findings, ...notProven(analysis, table, faultNumber, undecided)];
}

/** Rounding in products of shares stays far below this. */
const TOLERANCE = 1e-9;

interface Verdict {
  readonly probability: number;
  readonly rival: FaultId;
  readonly state: number;
  readonly again: boolean;
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
  verdict: Verdict,
  witness: Finding["witness"] & {},
): Finding {
  return {
    code: "unsupported-conclusion",
    severity: verdict.again ? "warning" : "error",
    params: {
      step: step.id,
      fault: step.faults.join(", "),
      probability: Number(verdict.probability.toPrecision(4)),
      needed: analysis.procedure.certainty,
      rival: verdict.rival,
      why: verdict.again ? "after-conclusion" : "shown",
    },
    node: step.node,
    step: step.id,
    witness,
  };
}

function notProven(
  analysis: Analysis,
  table: EvidenceTable,
  faultNumber: ReadonlyMap<FaultId, number>,
  undecided: readonly number[],
): readonly Finding[] {
  const work = undecided.length * table.faults.length * Math.max(1, analysis.flow.edges.length);
  return undecided.flatMap((index) => {
    const step = analysis.flow.steps[index];
    if (step?.kind !== "conclude") return [];
    const group = groupOf(step, faultNumber);
    if (
      work <= MOST_RELAXATIONS &&
      boundedProbability(analysis, table, index, group) >= analysis.procedure.certainty
    )
      return [];
    return {
      code: "unsupported-conclusion" as const,
      severity: "note" as const,
      params: {
        step: step.id,
        fault: step.faults.join(", "),
        needed: analysis.procedure.certainty,
        why: "not-proven",
      },
      node: step.node,
      step: step.id,
    };
  });
}

/** A lower bound of the probability of the concluded faults on any way to their conclusion. */
function boundedProbability(
  analysis: Analysis,
  table: EvidenceTable,
  index: number,
  group: readonly number[],
): number {
  const [anchor] = group;
  if (anchor === undefined) return 0;
  let odds = 0;
  for (const rival of table.faults.keys())
    if (!group.includes(rival)) odds += Math.exp(oddsBound(analysis, table, index, rival, anchor));
  return 1 / (1 + odds);
}
