import type { Finding } from "../procedure/finding.ts";
import type { Step, StepId } from "../procedure/model.ts";
import { type Analysis, walkable } from "./analysis.ts";
import { isWithinBounds } from "./counted.ts";
import type { OfStep } from "./step-lists.ts";
import { type CameBy, wayBack } from "./way-back.ts";
import { witnessOf } from "./witness.ts";

/** Nodes that may be looked at for all `after` together; past that a note says that the rest was not. */
const MOST_LOOKED = 2_000_000;

/**
 * `wrong-shape`: a step that is to come `after` another one, and to which some way of the written order comes
 * before that one, though it leads on to it. A way that never comes to the other one is let be, and nothing is
 * looked for behind a conclusion. Exact but for conditions, where the counted flow is complete.
 */
export function checkAfter(analysis: Analysis): readonly Finding[] {
  const { flow } = analysis;
  const wanting = new Map<StepId, Step[]>();
  for (const { step } of analysis.steps.where(comesAfter))
    for (const id of step.after)
      if (id !== step.id && flow.indexOf.has(id)) wanting.set(id, [...(wanting.get(id) ?? []), step]);
  if (wanting.size === 0) return [];
  const graph = walkable(analysis);
  const findings: Finding[] = [];
  let left = MOST_LOOKED;
  for (const [first, steps] of wanting) {
    if (left < 0) {
      findings.push(...steps.map((step) => finding(step, first, "after-not-looked")));
      continue;
    }
    const target = flow.indexOf.get(first) ?? -1;
    const before = waysFrom(analysis, graph, [0], (index) => index === target);
    left -= before.queue.length;
    for (const step of steps) {
      const index = flow.indexOf.get(step.id) ?? -1;
      const met = before.queue.filter((node) => graph.steps[node] === index);
      if (met.length === 0) continue;
      if (left < 0) {
        findings.push(finding(step, first, "after-not-looked"));
        continue;
      }
      const behind = waysFrom(
        analysis,
        graph,
        met,
        (each) => each === target || flow.steps[each]?.kind === "conclude",
      );
      left -= behind.queue.length;
      const there = behind.queue.find((node) => graph.steps[node] === target);
      if (there === undefined) continue;
      const onward = wayBack(behind.by, there);
      const from = startOf(behind.by, there);
      const way = [...wayBack(before.by, from), ...onward];
      // Without counts a way can be one that no run walks.
      if (analysis.counted.complete || isWithinBounds(flow, way))
        findings.push({ ...finding(step, first, "comes-before"), witness: witnessOf(analysis, way) });
      else findings.push(finding(step, first, "after-not-looked"));
    }
  }
  return findings;
}

const comesAfter: OfStep = (_, { after }) => after.length > 0;

interface Ways {
  /** Every node come to, the nearest first. */
  readonly queue: readonly number[];
  readonly by: ReadonlyMap<number, CameBy>;
}

/** The ways on from some nodes, none of them further than a step at which they stop. */
function waysFrom(
  { flow }: Analysis,
  { steps, out }: ReturnType<typeof walkable>,
  from: readonly number[],
  stops: (index: number) => boolean,
): Ways {
  const by = new Map<number, CameBy>();
  const seen = new Set(from);
  const queue = flow.steps.length === 0 ? [] : [...from];
  for (const node of queue) {
    if (stops(steps[node] ?? -1)) continue;
    for (const { to, edge } of out[node] ?? []) {
      if (seen.has(to)) continue;
      seen.add(to);
      by.set(to, { from: node, edge });
      queue.push(to);
    }
  }
  return { queue, by };
}

function startOf(by: ReadonlyMap<number, CameBy>, node: number): number {
  let start = node;
  for (let at = by.get(start); at !== undefined; at = by.get(start)) start = at.from;
  return start;
}

function finding(step: Step, first: StepId, why: "comes-before" | "after-not-looked"): Finding {
  return {
    code: "wrong-shape",
    severity: why === "comes-before" ? "error" : "note",
    params: { reason: why, name: step.id, other: first },
    node: { ...step.node, path: [...step.node.path, "after", step.after.indexOf(first)] },
    step: step.id,
  };
}
