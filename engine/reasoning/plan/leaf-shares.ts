/** How often an order can stop where the written one does, other than by a conclusion that is proven. */

import { TINY } from "./plan-rules.ts";
import type { PlanSpace, PlanState } from "./plan-space.ts";
import type { PlanProblem, WrittenLeaf } from "./problem.ts";

export interface LeafShare {
  readonly leaf: WrittenLeaf;
  /** At most so large a share of what comes to the state. */
  readonly share: number;
}

/**
 * Leaves that the state's answers allow. An end counts with the chance that its answers come. So does a conclusion
 * that its answers do not prove. With answers that prove it by a share p, more answers leave it unproven, under c, no
 * oftener than (1 - p) / (1 - c): what speaks against it is 1 - p on average, and more than 1 - c there.
 */
export function leafShares(problem: PlanProblem, state: PlanState): readonly LeafShare[] {
  const found: LeafShare[] = [];
  for (const leaf of problem.written?.leaves ?? []) {
    if (
      leaf.answers.some(({ test, outcome }) => state.answers[test] !== -1 && state.answers[test] !== outcome)
    )
      continue;
    let share = 0;
    let own = 0;
    for (const fault of state.alive) {
      let chance = (state.weights[fault] ?? 0) / state.mass;
      for (const { test, outcome } of leaf.answers)
        if (state.answers[test] === -1) chance *= problem.tests[test]?.outcomes[outcome]?.chances[fault] ?? 0;
      share += chance;
      if (problem.groups[leaf.group]?.includes(fault) === true) own += chance;
    }
    if (share <= 0) continue;
    const against = Math.max(0, 1 - own / share);
    const most = leaf.group < 0 ? 1 : Math.min(1, (against + TINY) / (1 - problem.certainty + TINY));
    found.push({ leaf, share: share * most });
  }
  return found;
}

/** So many leaves are looked at in each state of a search; with more, a bound takes longer than what it saves. */
const MOST_LEAVES = 200;

export function hasFewLeaves({ problem }: PlanSpace): boolean {
  return (problem.written?.leaves.length ?? 0) <= MOST_LEAVES;
}
