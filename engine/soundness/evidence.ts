import type { Finding } from "../procedure/finding.ts";
import type { FaultId, NodePath, Outcome, Procedure, Step } from "../procedure/model.ts";
import { tellingOutcomes } from "../reasoning/likelihood.ts";
import type { Analysis } from "./analysis.ts";
import { perStep } from "./per-step.ts";
import type { OfStep } from "./step-lists.ts";

/** Rounding in sums of decimal shares stays far below this. */
const TOLERANCE = 1e-9;

/** `evidence-sum`: rows over 1, or with every outcome named and another sum. Exact. */
export function checkEvidenceSums(analysis: Analysis): readonly Finding[] {
  return eachStep(analysis, hasWrongSum, sumFindings);
}

const hasWrongSum: OfStep = (procedure, step) => sumFindings(procedure, step).length > 0;

const sumFindings = perStep((_, step): readonly Finding[] =>
  rowsOf(step).flatMap(({ row, node, fault }) => {
    const sum = [...row.values()].reduce((total, share) => total + share, 0);
    const allNamed = tellingOutcomes(step).every((outcome) => row.has(outcome));
    if (sum <= 1 + TOLERANCE && !(allNamed && sum < 1 - TOLERANCE)) return [];
    return {
      code: "evidence-sum" as const,
      severity: "error" as const,
      params: { step: step.id, fault, sum: Number(sum.toPrecision(12)) },
      node,
      step: step.id,
    };
  }),
);

/** `certain-evidence`: shares of 0 or 1, which one wrong answer can never be argued out of. */
export function checkCertainEvidence(analysis: Analysis): readonly Finding[] {
  return eachStep(analysis, isCertain, certainFindings);
}

const isCertain: OfStep = (procedure, step) => certainFindings(procedure, step).length > 0;

const certainFindings = perStep((_, step): readonly Finding[] =>
  rowsOf(step).flatMap(({ row, node, fault }) =>
    [...row].flatMap(([outcome, share]) =>
      share > 0 && share < 1
        ? []
        : {
            code: "certain-evidence" as const,
            severity: "note" as const,
            params: { step: step.id, fault, outcome, share },
            node: under(node, outcome),
            step: step.id,
          },
    ),
  ),
);

/**
 * `no-evidence`: steps before a conclusion whose outcomes lead different ways and say nothing of any fault.
 * A verification needs none: it is asked about the repair.
 */
export function checkMissingEvidence(analysis: Analysis): readonly Finding[] {
  const { procedure, steps } = analysis;
  const silent = steps.where(partsSilently);
  if (silent.length === 0 || procedure.faults.size < 2) return [];
  const beforeConclusion = reachedBeforeConclusion(analysis);
  return silent.flatMap(({ index, step }) => {
    if (beforeConclusion[index] === 0) return [];
    return {
      code: "no-evidence" as const,
      severity: "warning" as const,
      params: { step: step.id },
      node: step.node,
      atKey: true,
      step: step.id,
    };
  });
}

/** Whether a step's outcomes lead different ways, and no evidence says what they show. */
const partsSilently: OfStep = (_, step) => {
  const outcomes = tellingOutcomes(step);
  if (step.evidence !== undefined || outcomes.length < 2) return false;
  const arms = outcomes.flatMap((outcome) => step.outcomes.get(outcome)?.arms ?? []);
  return new Set(arms.map(({ goto }) => goto)).size > 1;
};

function reachedBeforeConclusion({ flow, walked }: Analysis): Uint8Array {
  const reached = new Uint8Array(flow.steps.length);
  const waiting = flow.start < 0 ? [] : [flow.start];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (reached[at] === 1) continue;
    reached[at] = 1;
    if (flow.steps[at]?.kind === "conclude") continue;
    for (const id of flow.out[at] ?? []) if (walked[id] === 1) waiting.push(flow.edges[id]?.to ?? at);
  }
  return reached;
}

interface Row {
  readonly fault: FaultId | "otherwise";
  readonly row: ReadonlyMap<Outcome, number>;
  readonly node: NodePath;
}

function eachStep(
  { procedure, steps }: Analysis,
  holds: OfStep,
  findings: (procedure: Procedure, step: Step) => readonly Finding[],
): readonly Finding[] {
  return steps.where(holds).flatMap(({ step }) => findings(procedure, step));
}

function rowsOf({ scope, evidence }: Step): readonly Row[] {
  if (evidence === undefined) return [];
  const local = (fault: FaultId) => (fault.startsWith(scope) ? fault.slice(scope.length) : fault);
  const rows: Row[] = [...evidence.rows].map(([fault, row]) => ({
    fault,
    row,
    node: under(evidence.node, local(fault)),
  }));
  if (evidence.otherwise !== undefined)
    rows.push({ fault: "otherwise", row: evidence.otherwise, node: under(evidence.node, "otherwise") });
  return rows;
}

function under(node: NodePath, key: string): NodePath {
  return { ...node, path: [...node.path, key] };
}
