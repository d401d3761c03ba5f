import type { Procedure } from "../procedure/model.ts";
import { reachesFixed } from "../procedure/reaches-fixed.ts";
import type { Analysis } from "./analysis.ts";
import { type Components, componentsOf, membersOf } from "./components.ts";
import type { Flow, FlowEdge } from "./flow.ts";
import { heldBack } from "./held-back.ts";

/** The part of a flow that leads to some conclusions, with what hangs on its ways alone. */
export interface WaysToConclusions {
  /** The conclusions, by step. */
  readonly asked: ReadonlySet<number>;
  /** 1 for each edge of the part. */
  readonly kept: Uint8Array;
  readonly components: Components;
  /** Steps by component. */
  readonly members: readonly (readonly number[])[];
  /** Numbers of the faults struck on the edges by which a verification fails. */
  readonly strikes: ReadonlyMap<number, readonly number[]>;
  /** 1 for each step whose answer may say nothing of the faults afterwards. */
  readonly held: Uint8Array;
}

const NO_WAYS: WaysToConclusions = {
  asked: new Set(),
  kept: new Uint8Array(),
  components: { of: new Int32Array(), cyclic: [] },
  members: [],
  strikes: new Map(),
  held: new Uint8Array(),
};

/** Over the edges that `walks` says can be walked. Looks at no evidence. */
export function waysToConclusions(
  { flow, procedure }: Analysis,
  asked: ReadonlySet<number>,
  walks: (edge: FlowEdge, id: number) => boolean,
): WaysToConclusions {
  if (asked.size === 0) return NO_WAYS;
  const useful = leadingTo(flow, walks, asked);
  const kept = new Uint8Array(flow.edges.length);
  flow.edges.forEach((edge, id) => {
    if (useful[edge.to] === 1 && walks(edge, id)) kept[id] = 1;
  });
  const components = componentsOf(flow, (_, id) => kept[id] === 1);
  const members = membersOf(components);
  const strikes = strikesOf(flow, kept, procedure);
  return { asked, kept, components, members, strikes, held: heldBack(flow, kept) };
}

function leadingTo(
  flow: Flow,
  walks: (edge: FlowEdge, id: number) => boolean,
  asked: ReadonlySet<number>,
): Uint8Array {
  const useful = new Uint8Array(flow.steps.length);
  const waiting = [...asked];
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    if (useful[at] === 1) continue;
    useful[at] = 1;
    for (const id of flow.into[at] ?? []) {
      const edge = flow.edges[id];
      if (edge !== undefined && useful[edge.from] === 0 && walks(edge, id)) waiting.push(edge.from);
    }
  }
  return useful;
}

const NONE = -1;
const SEVERAL = -2;

/** Faults struck on the edges by which a verification fails, where it can only be one conclusion's. */
function strikesOf(
  flow: Flow,
  kept: Uint8Array,
  procedure: Procedure,
): ReadonlyMap<number, readonly number[]> {
  const strikes = new Map<number, readonly number[]>();
  const verifying = new Map<number, number>();
  const waiting: number[] = [];
  const arrive = (to: number, value: number): void => {
    const known = verifying.get(to);
    const next = known === undefined || known === value ? value : SEVERAL;
    if (known === next) return;
    verifying.set(to, next);
    waiting.push(to);
  };
  if (!flow.edges.some(({ branch }, id) => kept[id] === 1 && branch?.outcome === "repaired")) return strikes;
  const fixed = reachesFixed(procedure);
  const fails = (edge: FlowEdge) => !fixed.has(flow.steps[edge.to]?.id ?? "");
  arrive(flow.start, NONE);
  for (let at = waiting.pop(); at !== undefined; at = waiting.pop()) {
    const step = flow.steps[at];
    const here = step?.kind === "end" && step.end === "fixed" ? NONE : (verifying.get(at) ?? NONE);
    for (const id of flow.out[at] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined || kept[id] === 0) continue;
      const begins = edge.branch?.outcome === "repaired";
      arrive(edge.to, begins ? at : here !== NONE && edge.branch && fails(edge) ? NONE : here);
    }
  }
  const faultNumber = new Map([...procedure.faults.keys()].map((id, number) => [id, number]));
  for (const [id, edge] of flow.edges.entries()) {
    const outcome = edge.branch?.outcome;
    if (kept[id] === 0 || outcome === undefined || !fails(edge)) continue;
    if (outcome === "repaired" || outcome === "cannot" || outcome === "stop") continue;
    const step = flow.steps[edge.from];
    if (step?.kind === "end" && step.end === "fixed") continue;
    const conclusion = flow.steps[verifying.get(edge.from) ?? NONE];
    if (conclusion?.kind === "conclude")
      strikes.set(
        id,
        conclusion.faults.flatMap((fault) => faultNumber.get(fault) ?? []),
      );
  }
  return strikes;
}
