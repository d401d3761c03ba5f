import { neededProof } from "../procedure/called-rules.ts";
import { type Analysis, isReached } from "./analysis.ts";
import type { Counted } from "./counted.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import { perhapsStruck } from "./perhaps-struck.ts";
import { leastProbabilities } from "./proven.ts";
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
  const { first, later, perhaps } = partsOf(analysis);
  const notProven = (ways: WaysToConclusions) => {
    const least = leastProbabilities(analysis, table, ways);
    const isOpen = (index: number) => {
      const step = flow.steps[index];
      return step === undefined || !((least.get(index) ?? 0) >= neededProof(procedure, step));
    };
    return [...ways.asked].filter(isOpen);
  };
  return { first: new Set(notProven(first)), later: new Set([...notProven(later), ...perhaps]) };
}

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
  const { counted, flow, walked, procedure } = analysis;
  const known = PARTS.get(counted);
  if (known !== undefined) return known;
  const all = new Set<number>();
  flow.steps.forEach((step, index) => {
    if (step.kind === "conclude" && step.faults.some((id) => procedure.faults.has(id)))
      if (isReached(analysis, index)) all.add(index);
  });
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
function afterConclusion({ flow, walked }: Analysis): Uint8Array {
  const after = new Uint8Array(flow.steps.length);
  const waiting = [...flow.steps.keys()].filter((index) => flow.steps[index]?.kind === "conclude");
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop())
    for (const id of flow.out[at] ?? []) {
      const to = flow.edges[id]?.to ?? -1;
      if (walked[id] === 0 || after[to] !== 0) continue;
      after[to] = 1;
      waiting.push(to);
    }
  return after;
}
