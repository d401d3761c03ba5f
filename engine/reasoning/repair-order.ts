/** One of the repairs that may be the right one. */
export interface PossibleRepair<Id extends string = string> {
  readonly repair: Id;
  /** That it mends the machine; at least 0, all of them together at most 1. */
  readonly probability: number;
  /** Minutes or money: one unit for all, at least 0. */
  readonly cost: number;
}

export interface RepairOrder<Id extends string = string> {
  readonly order: readonly Id[];
  /** What is spent on average when each repair is tried until one helps, each of them tried seen at once. */
  readonly expectedCost: number;
}

/**
 * The repairs by falling probability over cost, which is the cheapest order on average where one fault is present
 * and repairs do not touch each other (Kadane and Simon 1975). What costs nothing comes first; ties stay as given.
 */
export function repairOrder<Id extends string>(repairs: readonly PossibleRepair<Id>[]): RepairOrder<Id> {
  const ratio = ({ probability, cost }: PossibleRepair) =>
    cost > 0 ? probability / cost : Number.POSITIVE_INFINITY;
  const ordered = repairs.toSorted((a, b) => {
    const [one, other] = [ratio(a), ratio(b)];
    return one === other ? 0 : other - one;
  });
  return { order: ordered.map(({ repair }) => repair), expectedCost: expectedRepairCost(ordered) };
}

/** What repairs cost on average in this order: each one is paid for unless one before it helped. */
export function expectedRepairCost(repairs: readonly PossibleRepair[]): number {
  let left = 1;
  let sum = 0;
  for (const { probability, cost } of repairs) {
    sum += left * cost;
    left -= probability;
  }
  return sum;
}
