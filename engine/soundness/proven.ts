import type { Analysis } from "./analysis.ts";
import { CarriedOdds } from "./carried-odds.ts";
import type { EvidenceTable } from "./evidence-table.ts";
import { type Bounded, leftAlone } from "./left-alone.ts";
import { MOST_NODES, OddsTrees } from "./odds-tree.ts";
import type { WaysToConclusions } from "./ways-to-conclusions.ts";

/** A bound, with what another one can take over from it after an edit. */
export interface Bound extends Bounded {
  /** By the step that concludes; without those that no way leads to, and without all where it was given up. */
  readonly least: ReadonlyMap<number, number>;
  readonly odds: CarriedOdds;
  /** Nodes that the trees had when nothing was taken over. */
  readonly nodes: number;
}

/**
 * A lower bound of the concluded faults' probability at each conclusion asked about, over all ways to it.
 *
 * For every fault the highest and the lowest odds are carried along the flow, each against the faults that a
 * step does not name, and met at joins. The highest odds of a rival are exact for that rival, and so are the
 * lowest of the concluded fault; that one way may have them all at once is what makes it a bound. On a tree it is
 * exact. Inside a loop each step has one of the latest results it can have when the loop is left; loops of more
 * than some 200 steps count as having shown anything. Time: steps times the faults a step names, times their log.
 *
 * What an edit does not reach is taken over from the bound of an earlier text with the same beside its steps.
 */
export function leastProbabilities(
  { flow }: Analysis,
  table: EvidenceTable,
  ways: WaysToConclusions,
  earlier?: Bound,
): Bound {
  const last = earlier !== undefined && hasRoom(earlier) ? earlier : undefined;
  const trees = last?.odds.trees ?? new OddsTrees(table.priors);
  const odds = new CarriedOdds(flow, table, ways, trees);
  const alone = last && leftAlone(last, { flow, ways });
  const { components } = ways;
  // A component is numbered after all that it leads to.
  for (let component = components.of[flow.start] ?? -1; component >= 0; component -= 1)
    if (last !== undefined && alone?.[component] === 1 && odds.comeAs(last.odds, component))
      odds.takeOver(last.odds, component);
    else odds.carry(component);
  return { flow, ways, odds, least: trees.full ? new Map() : odds.least, nodes: last?.nodes ?? trees.count };
}

/** Trees keep what earlier texts needed: past this much of it they are made anew. */
function hasRoom({ odds: { trees }, nodes }: Bound): boolean {
  return trees.count <= Math.min(4 * nodes, MOST_NODES / 2);
}
