/**
 * Figures of testability as MIL-STD-2165 and IEEE Std 1522 define them (definitions from memory): how much of all
 * that fails is detected, and how finely what was detected is isolated, weighted by how often each fault comes.
 */

/** What a set of tests shows of one fault. */
export interface FaultShown<Id extends string = string> {
  readonly fault: Id;
  /** How often it comes: failure rate or prior, in any unit, at least 0. */
  readonly rate: number;
  /** What each test shows when this fault is there, test by test; equal words mean the same outcome. */
  readonly shows: readonly string[];
}

export interface Testability<Id extends string = string> {
  /** Rates of the faults that some test shows, over all rates; null where all rates are 0. */
  readonly detected: number | null;
  /** Detected faults that all tests show alike, in the order given; a fault alone is a group of one. */
  readonly groups: readonly (readonly Id[])[];
  /** Rates of the faults in groups of at most so many, over the rates detected; null where those are 0. */
  readonly isolatedTo: (most: number) => number | null;
  /** Mean group size met in the shop: each group counts by its rate. Null where no rate is detected. */
  readonly meanGroupByRate: number | null;
  /** Mean group size with each group counted once. Null where there is no group. */
  readonly meanGroupPlain: number | null;
}

/**
 * The testability of faults by what tests show. `sound` is what each test shows when nothing is wrong; a fault is
 * detected when at least one test shows anything else. Tests are taken as never wrong and all of them made.
 */
export function testability<Id extends string>(
  faults: readonly FaultShown<Id>[],
  sound: readonly string[],
): Testability<Id> {
  const groups = new Map<string, { readonly faults: Id[]; rate: number }>();
  const unseen = JSON.stringify(sound);
  let all = 0;
  let seen = 0;
  for (const { fault, rate, shows } of faults) {
    all += rate;
    const mark = JSON.stringify(shows);
    if (mark === unseen) continue;
    seen += rate;
    const group = groups.get(mark);
    if (group === undefined) groups.set(mark, { faults: [fault], rate });
    else {
      group.faults.push(fault);
      group.rate += rate;
    }
  }
  const each = [...groups.values()];
  const sized = each.reduce((sum, group) => sum + group.rate * group.faults.length, 0);
  const members = each.reduce((sum, group) => sum + group.faults.length, 0);
  return {
    detected: shareOf(seen, all),
    groups: each.map((group) => group.faults),
    isolatedTo: (most) =>
      shareOf(
        each.reduce((sum, group) => sum + (group.faults.length <= most ? group.rate : 0), 0),
        seen,
      ),
    meanGroupByRate: shareOf(sized, seen),
    meanGroupPlain: shareOf(members, each.length),
  };
}

function shareOf(part: number, whole: number): number | null {
  return whole > 0 ? part / whole : null;
}
