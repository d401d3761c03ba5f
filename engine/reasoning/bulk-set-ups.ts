/** Which set-ups are made, as one number, and what a step changes about it. */
import { toMake } from "../machine/set-ups.ts";
import { undoneAt } from "../machine/settings.ts";
import type { Procedure, Step } from "../procedure/model.ts";

/** Sets of set-ups are numbers in the order they were met; 0 is nothing made. Reckoned when first asked for. */
export interface BulkSetUps {
  /** The set when the step is open, everything undone and made that it asks for. */
  after(step: number, made: number, clearing: boolean): number;
  /** Minutes of undoing and making on the way there. */
  minutes(step: number, made: number, clearing: boolean): number;
  /** Minutes of putting back all that is made. */
  putBack(made: number): number;
  /** The set-ups themselves, in the order made. */
  names(made: number): readonly string[];
}

export function bulkSetUps(procedure: Procedure, steps: readonly Step[]): BulkSetUps {
  const sets: (readonly string[])[] = [[]];
  const numbers = new Map<string, number>([["[]", 0]]);
  const putBacks: number[] = [0];
  const afters: number[][] = steps.flatMap(() => [[], []]);
  const costs: number[][] = steps.flatMap(() => [[], []]);
  const putBackOf = (id: string) => procedure.setUps.get(id)?.putBack?.minutes ?? 0;
  const numberOf = (set: readonly string[]): number => {
    const key = JSON.stringify(set);
    const known = numbers.get(key);
    if (known !== undefined) return known;
    numbers.set(key, sets.length);
    sets.push(set);
    putBacks.push(set.reduce((sum, id) => sum + putBackOf(id), 0));
    return sets.length - 1;
  };
  const reckon = (row: number, made: number): void => {
    const step = steps[row >> 1];
    const before = sets[made] ?? [];
    if (step === undefined) return;
    const undone = undoneAt(procedure, step, before, (row & 1) === 1, true);
    const left = before.filter((id) => !undone.includes(id));
    const make = toMake(procedure, step, left);
    let minutes = 0;
    for (const id of undone) minutes += putBackOf(id);
    for (const id of make) minutes += procedure.setUps.get(id)?.minutes ?? 0;
    const after = afters[row];
    const cost = costs[row];
    if (after === undefined || cost === undefined) return;
    after[made] = numberOf([...left, ...make]);
    cost[made] = minutes;
  };
  const lookUp = (table: number[][], step: number, made: number, clearing: boolean): number => {
    const row = step * 2 + (clearing ? 1 : 0);
    const known = table[row]?.[made];
    if (known !== undefined) return known;
    reckon(row, made);
    return table[row]?.[made] ?? 0;
  };
  return {
    after: (step, made, clearing) => lookUp(afters, step, made, clearing),
    minutes: (step, made, clearing) => lookUp(costs, step, made, clearing),
    putBack: (made) => putBacks[made] ?? 0,
    names: (made) => sets[made] ?? [],
  };
}
