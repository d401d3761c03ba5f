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

/** A place that asks, while its tree grows. */
interface Growing {
  readonly kind: "asks";
  readonly part: number;
  readonly test: number;
  readonly ahead: Set<number>;
  readonly next: (Growing | WrittenPlace | undefined)[];
}

export interface OrderOfWays {
  readonly order: WrittenOrder;
  /** Sets of faults that are concluded, by number. */
  readonly groups: readonly (readonly number[])[];
  /** By test: those whose answer has to say first that it is come to at all. */
  readonly gates: readonly ReadonlySet<number>[];
  /** Tests that different ones gate on different ways, or that are gated on some ways only. */
  readonly gatedApart: ReadonlySet<number>;
}

/**
 * `stays` tells which tests, by number, keep their place; those of `inTurn`, and what is gated apart, are asked in
 * their turn only, though others may be asked before them.
 */
export function orderOfWays(
  bulk: BulkProcedure,
  written: readonly WrittenWay[],
  answers: readonly (readonly PlanAnswer[])[],
  stays: readonly boolean[],
  inTurn: ReadonlySet<number>,
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

  const leafOf = (
    way: WrittenWay,
    given: readonly PlanAnswer[],
    part: number,
    ahead: ReadonlySet<number>,
  ): WrittenPlace => {
    const step = bulk.steps[way.step];
    if (bulk.kind[way.step] !== CONCLUDES || step?.kind !== "conclude" || step.scope !== "") {
      // A conclusion inside a call ends with the call's own outcome.
      if (step?.kind !== "conclude") leaves.push({ answers: given, group: -1 });
      return { kind: "ends", part, ahead, step: way.step };
    }
    const group = groupOf(way.step);
    leaves.push({ answers: given, group });
    const last = given.at(-1);
    // One that mends several things at once is concluded in its place only: out of it, it would save looking.
    if (last !== undefined && step.repairs.length < 2) {
      const known = signs[group]?.some((one) => one.test === last.test && one.outcome === last.outcome);
      if (known !== true) signs[group]?.push({ ...last, step: way.step });
    }
    return { kind: "concludes", part, ahead, step: way.step, group, depth: given.length };
  };

  let start: Growing | WrittenPlace | undefined;
  for (const [index, way] of written.entries()) {
    const given = answers[index] ?? [];
    let part = 0;
    let ahead = new Set<number>();
    let hang = (place: Growing | WrittenPlace): void => {
      start = place;
    };
    let here = start;
    for (const [depth, { test, outcome }] of given.entries()) {
      const place: Growing = isAsking(here, test)
        ? here
        : { kind: "asks", part, test, ahead: new Set(), next: [] };
      if (place !== here) hang(place);
      for (const later of given.slice(depth)) place.ahead.add(later.test);
      ahead = place.ahead;
      if (stays[test] === true) part = partOf(part, test, outcome);
      else parts[test]?.add(part);
      hang = (next) => {
        place.next[outcome] = next;
      };
      here = place.next[outcome];
    }
    if (here === undefined) hang(leafOf(way, given, part, ahead));
  }
  const first = (start ?? { kind: "ends", part: 0, ahead: new Set(), step: -1 }) as WrittenPlace;
  const { gates, gatedApart } = gatesOf(first, stays.length);
  for (const test of [...inTurn, ...gatedApart]) parts[test]?.clear();
  return {
    groups: [...groups.values()].map(({ faults }) => faults),
    gates,
    gatedApart,
    order: { start: first, parts, signs, guarded: new Set(), leaves },
  };
}

function isAsking(place: Growing | WrittenPlace | undefined, test: number): place is Growing {
  return place?.kind === "asks" && place.test === test;
}

/**
 * A test is gated by another where another answer of that one leads on to tests without it: by that answer it may not
 * apply. An answer that concludes says nothing of the kind. Where the same test does so on every way, it has to be
 * answered first; any other that does so on some way leaves no place but the written one.
 */
function gatesOf(start: WrittenPlace, tests: number): Pick<OrderOfWays, "gates" | "gatedApart"> {
  const always: (ReadonlySet<number> | undefined)[] = Array.from({ length: tests }, () => undefined);
  const sometimes = Array.from({ length: tests }, () => new Set<number>());
  type Passed = { readonly place: Extract<WrittenPlace, { kind: "asks" }>; readonly by: WrittenPlace };
  const on = (place: WrittenPlace, before: readonly Passed[]): void => {
    if (place.kind !== "asks") return;
    const gating = before.flatMap((passed) =>
      passed.place.next.some(
        (other) => other !== passed.by && other?.kind === "asks" && !other.ahead.has(place.test),
      )
        ? [passed.place.test]
        : [],
    );
    const known = always[place.test];
    always[place.test] = new Set(gating.filter((one) => known?.has(one) !== false));
    for (const one of gating) sometimes[place.test]?.add(one);
    for (const by of place.next) if (by !== undefined) on(by, [...before, { place, by }]);
  };
  on(start, []);
  const gates = always.map((each) => each ?? new Set<number>());
  const apart = (test: number) => [...(sometimes[test] ?? [])].some((one) => gates[test]?.has(one) !== true);
  return { gates, gatedApart: new Set([...gates.keys()].filter(apart)) };
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
