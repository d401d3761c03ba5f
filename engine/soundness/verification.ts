import type { Finding } from "../procedure/finding.ts";
import type { Outcome, Step } from "../procedure/model.ts";
import { type Analysis, walkable } from "./analysis.ts";
import { type FlowEdge, isImpliedEnd } from "./flow.ts";
import { wayBackIn } from "./way-back.ts";
import { witnessOf } from "./witness.ts";

/** What a way has shown of the last repair: none made, made and not looked at, looked at. */
const STATES = 3;
const NOTHING = 0;
const REPAIRED = 1;
const LOOKED = 2;

/**
 * `no-verification`: an `end: fixed` that a run can come to without a repair, or without an answer or reading
 * after the last repair. A reading that took `borderline` was too close to say anything. Exact but for conditions:
 * every arm counts as open.
 */
export function checkVerification(analysis: Analysis): readonly Finding[] {
  const { flow } = analysis;
  const { steps, out } = walkable(analysis);
  const from = new Int32Array(steps.length * STATES).fill(-1);
  const by = new Int32Array(steps.length * STATES).fill(-1);
  const queue = steps.length === 0 ? [] : [0];
  const told = new Set<number>();
  const findings: Finding[] = [];
  for (let at = 0; at < queue.length; at += 1) {
    const state = queue[at] ?? 0;
    const node = Math.floor(state / STATES);
    const index = steps[node] ?? -1;
    const step = flow.steps[index];
    if (step === undefined) continue;
    if (
      step.kind === "end" &&
      step.end === "fixed" &&
      !isImpliedEnd(step) &&
      state % STATES !== LOOKED &&
      !told.has(index)
    ) {
      told.add(index);
      const repaired = state % STATES === REPAIRED;
      findings.push(unverified(analysis, step, repaired, wayBackIn({ from, by }, state)));
    }
    for (const { to, edge: id } of out[node] ?? []) {
      const edge = flow.edges[id];
      if (edge === undefined) continue;
      const next = to * STATES + stateAfter(step, edge, state % STATES);
      if (next === 0 || (by[next] ?? -1) >= 0) continue;
      from[next] = state;
      by[next] = id;
      queue.push(next);
    }
  }
  return findings;
}

/** Outcomes that show nothing of the repair. */
const SILENT: ReadonlySet<Outcome> = new Set(["cannot", "stop", "borderline"]);

function stateAfter(step: Step, edge: FlowEdge, state: number): number {
  if (step.kind === "conclude") return edge.branch?.outcome === "repaired" ? REPAIRED : NOTHING;
  // A question with one answer is answered alike whether the repair holds or not.
  const looks = step.kind === "measure" || (step.kind === "ask" && answersOf(step) > 1);
  const answered = edge.branch !== undefined && !SILENT.has(edge.branch.outcome);
  return looks && answered && state === REPAIRED ? LOOKED : state;
}

function answersOf({ outcomes }: Step): number {
  let count = 0;
  for (const outcome of outcomes.keys()) if (!SILENT.has(outcome)) count += 1;
  return count;
}

function unverified(analysis: Analysis, step: Step, repaired: boolean, way: readonly number[]): Finding {
  return {
    code: "no-verification",
    severity: "error",
    params: { step: step.id, why: repaired ? "not-looked" : "not-repaired" },
    node: step.node,
    step: step.id,
    witness: witnessOf(analysis, way),
  };
}
