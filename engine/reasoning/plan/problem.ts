/**
 * The test-sequencing problem: which test to make next so that the fault is known soonest on average. One fault is
 * present; tests are independent given the fault, and the same test made again shows the same.
 */

export interface PlanOutcome {
  readonly id: string;
  /** Spent when the test shows this, set-ups left out; at least 0. */
  readonly minutes: number;
  /** P(outcome | fault), fault by fault. */
  readonly chances: readonly number[];
  /** The work ends here whatever is known: a conclusion inside a called procedure. */
  readonly ends: boolean;
  /** The faults that it ends with. Out of turn the test is made only where they would be proven. */
  readonly concludes?: readonly number[];
}

export interface PlanTest {
  readonly id: string;
  /** Numbers of the tests that must have been made before this one. */
  readonly after: readonly number[];
  /** The chances of a fault sum to 1 over these. */
  readonly outcomes: readonly PlanOutcome[];
}

/** An outcome that a test has shown: both by number. */
export interface PlanAnswer {
  readonly test: number;
  readonly outcome: number;
}

/**
 * States of the machine, by number, and what a test changes about them. Putting back counts when a set-up is made,
 * for it has to be done once for each making; undoing then costs nothing more. So no cost is higher than from
 * state 0, where nothing is made.
 */
export interface PlanSetUps {
  /** Minutes of making and of the putting back that it brings. */
  cost(test: number, outcome: number, made: number): number;
  next(test: number, outcome: number, made: number): number;
}

/** A place in the written order. */
export type WrittenPlace = PlaceBase &
  (
    | {
        readonly kind: "asks";
        readonly test: number;
        /** By outcome; a place that nobody comes to is not there. */
        readonly next: readonly (WrittenPlace | undefined)[];
      }
    | {
        readonly kind: "concludes";
        readonly step: number;
        readonly group: number;
        /** So many answers were given on the way here. */
        readonly depth: number;
      }
    | { readonly kind: "ends"; readonly step: number }
  );

interface PlaceBase {
  /**
   * A part of the order is what stands between two steps that stay where they are; the tests of a part may change
   * places.
   */
  readonly part: number;
  /** Tests that the order can still come to, its own included; at a conclusion those in place of its last answer. */
  readonly ahead: ReadonlySet<number>;
}

/** An answer that the written order concludes by. */
export interface PlanSign extends PlanAnswer {
  /** The conclusion's step. */
  readonly step: number;
}

/** A place where the written order stops, with all answers on the way there. */
export interface WrittenLeaf {
  readonly answers: readonly PlanAnswer[];
  /** What is concluded; -1 at an end. */
  readonly group: number;
}

/** What any other order keeps of the written one. */
export interface WrittenOrder {
  readonly start: WrittenPlace;
  /** By test: the parts in which it may be made out of turn; none for a step that stays where it is. */
  readonly parts: readonly ReadonlySet<number>[];
  /** By group: one of these must have been shown before it is concluded out of turn; none where it never is. */
  readonly signs: readonly (readonly PlanSign[])[];
  /** Faults that must have been looked at, or be ruled out, before others are concluded out of turn. */
  readonly guarded: ReadonlySet<number>;
  readonly leaves: readonly WrittenLeaf[];
}

export interface PlanProblem {
  /** Prior weights of the faults, at least 0 and not all 0. */
  readonly weights: readonly number[];
  readonly tests: readonly PlanTest[];
  readonly setUps: PlanSetUps;
  /** State of the machine at the start. */
  readonly made: number;
  /** Sets of faults that can be concluded together, single ones included. */
  readonly groups: readonly (readonly number[])[];
  /** The share that a group needs to be concluded. */
  readonly certainty: number;
  /**
   * The order that is there already. It is one of the orders looked at, its test is always one that may be made,
   * and where it stops with the answers at hand any order stops. Without it every order of the tests will do.
   */
  readonly written?: WrittenOrder;
}

/** Set-ups of tests that only need some, each with its minutes of making and putting back together. */
export function sharedSetUps(minutes: readonly number[], needs: readonly (readonly number[])[]): PlanSetUps {
  const sets: (readonly number[])[] = [[]];
  const numbers = new Map<string, number>([["", 0]]);
  const next = (test: number, made: number): number => {
    const all = [...new Set([...(sets[made] ?? []), ...(needs[test] ?? [])])].sort((a, b) => a - b);
    const key = all.join();
    const known = numbers.get(key);
    if (known !== undefined) return known;
    numbers.set(key, sets.length);
    sets.push(all);
    return sets.length - 1;
  };
  return {
    cost: (test, _, made) => {
      const there = sets[made] ?? [];
      let sum = 0;
      for (const need of needs[test] ?? []) if (!there.includes(need)) sum += minutes[need] ?? 0;
      return sum;
    },
    next: (test, _, made) => next(test, made),
  };
}
