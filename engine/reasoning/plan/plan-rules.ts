/** Where a plan may stop, and which test it may make: what an order keeps of the written one. */
import type { PlanProblem, WrittenPlace } from "./problem.ts";

/** Rounding in sums of a few hundred chances stays under this. */
export const TINY = 1e-12;

export type PlanStop =
  /** By a conclusion of the written order, where there is one: its step. */
  | { readonly kind: "concluded"; readonly group: number; readonly step?: number }
  /** As the written order does: the step that ends it; inside a call what it concludes. */
  | { readonly kind: "ended"; readonly step?: number; readonly faults?: readonly number[] }
  | { readonly kind: "unresolved" };

export interface PlanRules {
  /** Whether a test may be made, in its turn or out of it. */
  allowed(test: number, answers: Int16Array, weights: Float64Array, place: WrittenPlace | undefined): boolean;
  /** Whether a test may come up at a place of the written order, what it waits for left aside. */
  mayCome(test: number, place: WrittenPlace): boolean;
  /** Undefined where the work goes on as far as the answers say. */
  stopOf(
    answers: Int16Array,
    weights: Float64Array,
    mass: number,
    place: WrittenPlace | undefined,
  ): PlanStop | undefined;
}

/** `chances` are the problem's, by test and outcome, fault by fault. */
export function planRules(problem: PlanProblem, chances: readonly (readonly Float64Array[])[]): PlanRules {
  const { tests, written } = problem;

  /** Whether a call's own conclusions would be proven. */
  const proves = (test: number, weights: Float64Array): boolean =>
    (tests[test]?.outcomes ?? []).every(({ concludes }, outcome) => {
      if (concludes === undefined) return true;
      let mass = 0;
      let own = 0;
      for (const [fault, weight] of weights.entries()) {
        const left = weight * (chances[test]?.[outcome]?.[fault] ?? 0);
        mass += left;
        if (concludes.includes(fault)) own += left;
      }
      return own >= mass * (problem.certainty - TINY);
    });

  /** Whether the written order has a test in this part of it, and has not turned away from it. */
  const mayCome = (test: number, place: WrittenPlace): boolean =>
    place.ahead.has(test) && written?.parts[test]?.has(place.part) === true;

  const allowed = (
    test: number,
    answers: Int16Array,
    weights: Float64Array,
    place: WrittenPlace | undefined,
  ): boolean => {
    if (answers[test] !== -1) return false;
    if (place?.kind === "asks" && place.test === test) return true;
    if (place !== undefined && !mayCome(test, place)) return false;
    if (!(tests[test]?.after ?? []).every((before) => answers[before] !== -1)) return false;
    return proves(test, weights);
  };

  const shareOf = (group: number, weights: Float64Array): number => {
    let sum = 0;
    for (const fault of problem.groups[group] ?? []) sum += weights[fault] ?? 0;
    return sum;
  };

  const stopOf = (
    answers: Int16Array,
    weights: Float64Array,
    mass: number,
    place: WrittenPlace | undefined,
  ): PlanStop | undefined => {
    const enough = mass * problem.certainty - mass * TINY;
    if (written === undefined) {
      // Nothing is concluded before something was looked at, however likely it is.
      if (answers.every((answer) => answer === -1)) return undefined;
      for (const group of problem.groups.keys())
        if (shareOf(group, weights) >= enough) return { kind: "concluded", group };
      return undefined;
    }
    for (const [group, signs] of written.signs.entries()) {
      const sign = signs.find(({ test, outcome }) => answers[test] === outcome);
      if (sign === undefined || shareOf(group, weights) < enough) continue;
      if (lookedAt(group, answers, weights)) return { kind: "concluded", group, step: sign.step };
    }
    if (place?.kind === "ends") return { kind: "ended", step: place.step };
    if (place?.kind !== "concludes") return undefined;
    // What the order concludes with just these answers it may conclude here, proven or not.
    let given = 0;
    for (const answer of answers) if (answer !== -1) given += 1;
    const { group, step } = place;
    return given === place.depth || shareOf(group, weights) >= enough
      ? { kind: "concluded", group, step }
      : undefined;
  };

  /** Whether every guarded fault that is still possible was looked at, a group's own left out. */
  const lookedAt = (group: number, answers: Int16Array, weights: Float64Array): boolean => {
    for (const fault of written?.guarded ?? []) {
      if ((weights[fault] ?? 0) <= 0 || problem.groups[group]?.includes(fault) === true) continue;
      const looks = problem.groups.some(
        (faults, other) =>
          faults.includes(fault) && written?.signs[other]?.some(({ test }) => answers[test] !== -1) === true,
      );
      if (!looks) return false;
    }
    return true;
  };

  return { allowed, mayCome, stopOf };
}

/** The end of a call that concludes. */
export function endedWith(faults: readonly number[] | undefined): PlanStop {
  return faults === undefined ? { kind: "ended" } : { kind: "ended", faults };
}

/** How far the written order comes from a place with these answers. */
export function reachedFrom(from: WrittenPlace | undefined, answers: Int16Array): WrittenPlace | undefined {
  let place = from;
  while (place?.kind === "asks") {
    const given = answers[place.test] ?? -1;
    if (given === -1) return place;
    // An answer that the written order never meets leads nowhere in it.
    place = place.next[given] ?? { kind: "ends", part: place.part, ahead: place.ahead, step: -1 };
  }
  return place;
}
