/** How a state of a search was first come to: from which other, by which edge of the flow. */
export interface CameBy {
  readonly from: number;
  readonly edge: number;
}

/** The edges of the way that a search took to a state, from where it began. */
export function wayBack(by: ReadonlyMap<number, CameBy>, target: number): readonly number[] {
  const way: number[] = [];
  for (let at = by.get(target); at !== undefined; at = by.get(at.from)) way.push(at.edge);
  return way.reverse();
}

/** As {@link wayBack}, of a search that keeps how it came in two lists by number; -1 where it began. */
export function wayBackIn(
  { from, by }: { readonly from: ArrayLike<number>; readonly by: ArrayLike<number> },
  target: number,
): readonly number[] {
  const way: number[] = [];
  for (let at = target; (by[at] ?? -1) >= 0; at = from[at] ?? -1) way.push(by[at] ?? -1);
  return way.reverse();
}
