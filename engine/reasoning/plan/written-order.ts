/**
 * The written order as a plan keeps it: a tree of places, cut into parts by the steps that stay where they are.
 *
 * A step that stays is made when everything the order has in front of it was answered as the order has it, and what
 * stands behind it, and only that, is made after it. So what makes safe, makes sure, says whether a step applies or
 * ends the job keeps its place, while the tests between two such steps may change theirs.
 */
import type { BulkProcedure } from "../bulk-procedure.ts";
import { CONCLUDES } from "../bulk-procedure.ts";
import type { PlanAnswer, PlanSign, WrittenLeaf, WrittenOrder, WrittenPlace } from "./problem.ts";
import type { WrittenWay } from "./written-ways.ts";

type Asks = Extract<WrittenPlace, { kind: "asks" }>;
/** A place while its tree grows. */
type Growing = Omit<Asks, "next"> & { readonly next: (WrittenPlace | undefined)[] };

export interface OrderOfWays {
  readonly order: WrittenOrder;
  /** Sets of faults that are concluded, by number. */
  readonly groups: readonly (readonly number[])[];
}

/** `stays` tells which tests, by number, keep their place. */
export function orderOfWays(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  answers: readonly (readonly PlanAnswer[])[],
  stays: readonly boolean[],
): OrderOfWays {
  const groups = new Map<string, { readonly number: number; readonly faults: readonly number[] }>();
  const signs: PlanSign[][] = [];
  const leaves: WrittenLeaf[] = [];
  const parts = stays.map(() => new Set<number>());
  const partOf = partNumbers();
  const groupOf = (at: number): number => {
    const faults = [...(bulk.concluded[at] ?? [])].sort((a, b) => a - b);
    const known = groups.get(faults.join());
    if (known !== undefined) return known.number;
    groups.set(faults.join(), { number: groups.size, faults });
    signs.push([]);
    return signs.length - 1;
  };

  const leafOf = (way: WrittenWay, given: readonly PlanAnswer[], part: number): WrittenPlace => {
    const step = bulk.steps[way.step];
    if (bulk.kind[way.step] !== CONCLUDES || step?.kind !== "conclude" || step.scope !== "") {
      // A conclusion inside a call ends with the call's own outcome.
      if (step?.kind !== "conclude") leaves.push({ answers: given, group: -1 });
      return { kind: "ends", part, step: way.step };
    }
    const group = groupOf(way.step);
    leaves.push({ answers: given, group });
    const last = given.at(-1);
    // One that mends several things at once is concluded in its place only: out of it, it would save looking.
    if (last !== undefined && step.repairs.length < 2) {
      const known = signs[group]?.some((one) => one.test === last.test && one.outcome === last.outcome);
      if (known !== true) signs[group]?.push({ ...last, step: way.step });
    }
    return { kind: "concludes", part, step: way.step, group, depth: given.length };
  };

  let start: WrittenPlace | undefined;
  for (const [index, way] of written.entries()) {
    const given = answers[index] ?? [];
    let part = 0;
    let hang = (place: WrittenPlace): void => {
      start = place;
    };
    let here = start;
    for (const { test, outcome } of given) {
      if (here?.kind !== "asks" || here.test !== test) {
        here = { kind: "asks", part, test, next: [] };
        hang(here);
      }
      if (stays[test] === true) part = partOf(part, test, outcome);
      else parts[test]?.add(part);
      const { next } = here as Growing;
      hang = (place) => {
        next[outcome] = place;
      };
      here = next[outcome];
    }
    if (here === undefined) hang(leafOf(way, given, part));
  }
  return {
    groups: [...groups.values()].map(({ faults }) => faults),
    order: {
      start: start ?? { kind: "ends", part: 0, step: -1 },
      parts,
      signs,
      guarded: new Set(),
      leaves,
    },
  };
}

/** Parts are numbers: the same behind the same answers of steps that stay. */
function partNumbers(): (part: number, test: number, outcome: number) => number {
  const known = new Map<string, number>();
  return (part, test, outcome) => {
    const key = `${part} ${test} ${outcome}`;
    const number = known.get(key) ?? known.size + 1;
    known.set(key, number);
    return number;
  };
}
