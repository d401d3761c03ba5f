import { excludedBy, requirementsOf, restingOn, withNeeds } from "../machine/set-ups.ts";
import type { Finding } from "../procedure/finding.ts";
import type { Step } from "../procedure/model.ts";
import { type Analysis, walkable } from "./analysis.ts";
import { perStep } from "./per-step.ts";
import type { OfStep } from "./step-lists.ts";
import { type CameBy, wayBack } from "./way-back.ts";
import { witnessOf } from "./witness.ts";

/** What a way has done with a set-up so far. */
const STATES = 3;
const NOT_MADE = 0;
const MADE = 1;
const UNDONE = 2;

/**
 * `set-up-made-again`: a set-up that some way makes, undoes because a step is `without` it, and makes again for a
 * later step that relies on it. Lawful, and its minutes are spent twice. What is put back before a verification
 * does not count: the repair lies between. Exact but for conditions: every arm counts as open.
 */
export function checkMadeAgain(analysis: Analysis): readonly Finding[] {
  const { procedure, steps } = analysis;
  const undone = new Set<string>();
  for (const { step } of steps.where(undoes))
    for (const id of changesAt(procedure, step).undone) undone.add(id);
  return [...undone].flatMap((setUp) => madeAgain(analysis, setUp));
}

function madeAgain(analysis: Analysis, setUp: string): readonly Finding[] {
  const { procedure, flow } = analysis;
  const { steps, out } = walkable(analysis);
  const by = new Map<number, CameBy>();
  const queue: number[] = steps.length === 0 ? [] : [NOT_MADE];
  const seen = new Set(queue);
  const told = new Set<number>();
  const findings: Finding[] = [];
  for (let at = 0; at < queue.length; at += 1) {
    const state = queue[at] ?? 0;
    const node = Math.floor(state / STATES);
    const index = steps[node] ?? -1;
    const step = flow.steps[index];
    if (step === undefined) continue;
    const { made, undone } = changesAt(procedure, step);
    if (state % STATES === UNDONE && made.has(setUp) && !told.has(index)) {
      told.add(index);
      findings.push(finding(analysis, step, setUp, wayBack(by, state)));
    }
    const before = state % STATES;
    const here = made.has(setUp) ? MADE : undone.has(setUp) && before === MADE ? UNDONE : before;
    for (const { to, edge } of out[node] ?? []) {
      const repaired = flow.edges[edge]?.branch?.outcome === "repaired";
      const next = to * STATES + (repaired ? NOT_MADE : here);
      if (seen.has(next)) continue;
      seen.add(next);
      by.set(next, { from: state, edge });
      queue.push(next);
    }
  }
  return findings;
}

interface Changes {
  readonly made: ReadonlySet<string>;
  readonly undone: ReadonlySet<string>;
}

const changesAt = perStep((procedure, step): Changes => {
  const { needs, without } = requirementsOf(procedure, step);
  const made = new Set(withNeeds(procedure, needs));
  const against = [...without, ...[...made].flatMap((id) => [...excludedBy(procedure, id)])];
  return { made, undone: restingOn(procedure, against) };
});

const undoes: OfStep = (procedure, step) => changesAt(procedure, step).undone.size > 0;

function finding(analysis: Analysis, step: Step, id: string, way: readonly number[]): Finding {
  const setUp = analysis.procedure.setUps.get(id);
  return {
    code: "set-up-made-again",
    severity: "note",
    params: {
      step: step.id,
      setUp: id,
      minutes: (setUp?.minutes ?? 0) + (setUp?.putBack?.minutes ?? 0),
    },
    node: step.node,
    atKey: true,
    step: step.id,
    witness: witnessOf(analysis, way),
  };
}
