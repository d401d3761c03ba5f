import { neededProof } from "../procedure/called-rules.ts";
import { type Beside, besideOf } from "../procedure/keep-unchanged.ts";
import { type Analysis, isReached } from "./analysis.ts";
import type { Counted } from "./counted.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import { perhapsStruck } from "./perhaps-struck.ts";
import { type Bound, leastProbabilities } from "./proven.ts";
import { isConclusion } from "./step-lists.ts";
import { type WaysToConclusions, waysToConclusions } from "./ways-to-conclusions.ts";

export interface OpenConclusions {
  /** Not proven for a run's first conclusion. */
  readonly first: ReadonlySet<number>;
  /** Not proven where another conclusion came before. */
  readonly later: ReadonlySet<number>;
}

/** The conclusions that the bound over all ways leaves open. */
export function openConclusions(analysis: Analysis, table: EvidenceTable): OpenConclusions {
  const { flow, procedure } = analysis;
  const parts = partsOf(analysis);
  const beside = besideOf(procedure);
  const last = LAST.get(beside) ?? {};
  LAST.set(beside, last);
  const notProven = (part: "first" | "later") => {
    const { asked } = parts[part];
    if (asked.size === 0) return [];
    const bound = leastProbabilities(analysis, table, parts[part], last[part]);
    last[part] = bound;
    const isOpen = (index: number) => {
      const step = flow.steps[index];
      return step === undefined || !((bound.least.get(index) ?? 0) >= neededProof(procedure, step));
    };
    return [...asked].filter(isOpen);
  };
  return { first: new Set(notProven("first")), later: new Set([...notProven("later"), ...parts.perhaps]) };
}

/** The bounds of the last text with the same beside its steps. */
const LAST = new WeakMap<Beside, { first?: Bound; later?: Bound }>();

interface Parts {
  /** The ways to every conclusion of faults up to a run's first one. */
  readonly first: WaysToConclusions;
  /** All ways to those that can come after another one. */
  readonly later: WaysToConclusions;
  /** Those of {@link perhapsStruck}. */
  readonly perhaps: ReadonlySet<number>;
}

/** The same for analyses that go the same ways, which share what is counted. */
function partsOf(analysis: Analysis): Parts {
  const { counted, flow, walked, procedure, steps } = analysis;
  const known = PARTS.get(counted);
  if (known !== undefined) return known;
  const all = new Set<number>();
  for (const { index, step } of steps.where(isConclusion))
    if (step.kind === "conclude" && step.faults.some((id) => procedure.faults.has(id)))
      if (isReached(analysis, index)) all.add(index);
  const after = afterConclusion(analysis);
  const later = new Set([...all].filter((index) => after[index] === 1));
  const isWalked = (_: FlowEdge, id: number) => walked[id] === 1;
  const parts = {
    first: waysToConclusions(analysis, all, (edge, id) => isWalked(edge, id) && isBefore(flow, edge)),
    later: waysToConclusions(analysis, later, isWalked),
    perhaps: perhapsStruck(flow, walked, later),
  };
  PARTS.set(counted, parts);
  return parts;
}

const PARTS = new WeakMap<Counted, Parts>();

/** Whether an edge is walked before any conclusion is acted on. */
export function isBefore(flow: Flow, edge: FlowEdge): boolean {
  return flow.steps[edge.from]?.kind !== "conclude";
}

/** 1 for each step that can come after a conclusion. */
function afterConclusion({ flow, walked, steps }: Analysis): Uint8Array {
  const after = new Uint8Array(flow.steps.length);
  const waiting = steps.where(isConclusion).map(({ index }) => index);
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop())
    for (const id of flow.out[at] ?? []) {
      const to = flow.edges[id]?.to ?? -1;
      if (walked[id] === 0 || after[to] !== 0) continue;
      after[to] = 1;
      waiting.push(to);
    }
  return after;
}
