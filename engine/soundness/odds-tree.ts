/** What one fault's result rows add to the odds: faults by rising number, and the log of each factor. */
export interface Factors {
  readonly faults: readonly number[];
  /** Highest and lowest factor that may come; the same where only one can. */
  readonly high: readonly number[];
  readonly low: readonly number[];
}

/** More nodes than this are not made: the bound is given up and said to be missing. */
export const MOST_NODES = 6_000_000;

/**
 * Highest and lowest log odds of every fault, as unchanging trees that share what they have in common: a change
 * of k faults next to each other costs about 2k nodes, a merge only what differs. A tree is a number. Inner nodes
 * hold the log of the summed highest odds, priors included.
 */
export class OddsTrees {
  readonly #size: number;
  readonly #left: number[] = [];
  readonly #right: number[] = [];
  /** Log of the sum of prior times highest odds. */
  readonly #sum: number[] = [];
  readonly #high: number[] = [];
  readonly #low: number[] = [];
  readonly #logPriors: Float64Array;
  /** The tree in which nothing has been seen. */
  readonly blank: number;

  constructor(priors: Float64Array) {
    this.#logPriors = Float64Array.from(priors, Math.log);
    this.#size = priors.length;
    this.blank = this.#size === 0 ? -1 : this.#build(0, this.#size);
  }

  /** Nodes made so far. */
  get count(): number {
    return this.#sum.length;
  }

  /** Whether so many nodes were needed that what the trees say is no longer complete. */
  get full(): boolean {
    return this.#sum.length > MOST_NODES;
  }

  /** The tree with factors put on. */
  times(tree: number, factors: Factors): number {
    if (tree === -1 || factors.faults.length === 0 || this.full) return tree;
    return this.#times(tree, 0, this.#size, factors, 0, factors.faults.length);
  }

  /** The tree in which each fault has the higher of both highest odds, the lower of both lowest. */
  either(one: number, other: number): number {
    return this.#either(one, other, 0, this.#size);
  }

  /** The tree with faults struck as rivals. */
  without(tree: number, faults: readonly number[]): number {
    const sorted = faults.toSorted((a, b) => a - b);
    const high = sorted.map(() => -Infinity);
    return this.times(tree, { faults: sorted, high, low: sorted.map(() => 0) });
  }

  /** The least probability that the faults of a group can have together, over all ways that the tree stands for. */
  leastProbability(tree: number, group: readonly number[]): number {
    if (tree === -1 || this.full) return 0;
    const sorted = group.toSorted((a, b) => a - b);
    const rivals = this.#sumWithout(tree, 0, this.#size, sorted, 0, sorted.length);
    let own = -Infinity;
    for (const fault of sorted) own = logAdd(own, (this.#logPriors[fault] ?? 0) + this.#lowOf(tree, fault));
    if (own === -Infinity) return 0;
    return 1 / (1 + Math.exp(rivals - own));
  }

  #either(one: number, other: number, from: number, to: number): number {
    if (one === other || this.full) return one;
    const [a, b] = [this.#left[one] ?? -1, this.#left[other] ?? -1];
    if (a === -1) {
      const high = Math.max(this.#high[one] ?? 0, this.#high[other] ?? 0);
      const low = Math.min(this.#low[one] ?? 0, this.#low[other] ?? 0);
      if (high === this.#high[one] && low === this.#low[one]) return one;
      if (high === this.#high[other] && low === this.#low[other]) return other;
      return this.#leaf((this.#logPriors[from] ?? 0) + high, high, low);
    }
    const middle = (from + to) >> 1;
    const left = this.#either(a, b, from, middle);
    const right = this.#either(this.#right[one] ?? -1, this.#right[other] ?? -1, middle, to);
    if (left === this.#left[one] && right === this.#right[one]) return one;
    if (left === this.#left[other] && right === this.#right[other]) return other;
    return this.#inner(left, right);
  }

  #build(from: number, to: number): number {
    if (to - from === 1) return this.#leaf(this.#logPriors[from] ?? 0, 0, 0);
    const middle = (from + to) >> 1;
    return this.#inner(this.#build(from, middle), this.#build(middle, to));
  }

  #leaf(sum: number, high: number, low: number): number {
    this.#left.push(-1);
    this.#right.push(-1);
    this.#high.push(high);
    this.#low.push(low);
    return this.#sum.push(sum) - 1;
  }

  #inner(left: number, right: number): number {
    this.#left.push(left);
    this.#right.push(right);
    this.#high.push(0);
    this.#low.push(0);
    return this.#sum.push(logAdd(this.#sum[left] ?? 0, this.#sum[right] ?? 0)) - 1;
  }

  #times(node: number, from: number, to: number, factors: Factors, first: number, last: number): number {
    if (first === last) return node;
    if (to - from === 1) {
      const high = (this.#high[node] ?? 0) + (factors.high[first] ?? 0);
      const low = (this.#low[node] ?? 0) + (factors.low[first] ?? 0);
      return this.#leaf((this.#logPriors[from] ?? 0) + high, high, low);
    }
    const middle = (from + to) >> 1;
    const cut = firstAtLeast(factors.faults, middle, first, last);
    const left = this.#times(this.#left[node] ?? -1, from, middle, factors, first, cut);
    const right = this.#times(this.#right[node] ?? -1, middle, to, factors, cut, last);
    return this.#inner(left, right);
  }

  #sumWithout(
    node: number,
    from: number,
    to: number,
    group: readonly number[],
    first: number,
    last: number,
  ): number {
    if (first === last) return this.#sum[node] ?? 0;
    if (to - from === 1) return -Infinity;
    const middle = (from + to) >> 1;
    const cut = firstAtLeast(group, middle, first, last);
    return logAdd(
      this.#sumWithout(this.#left[node] ?? -1, from, middle, group, first, cut),
      this.#sumWithout(this.#right[node] ?? -1, middle, to, group, cut, last),
    );
  }

  #lowOf(tree: number, fault: number): number {
    let [node, from, to] = [tree, 0, this.#size];
    while (to - from > 1) {
      const middle = (from + to) >> 1;
      const goLeft = fault < middle;
      node = (goLeft ? this.#left[node] : this.#right[node]) ?? -1;
      if (goLeft) to = middle;
      else from = middle;
    }
    return this.#low[node] ?? 0;
  }
}

function logAdd(a: number, b: number): number {
  if (a === -Infinity) return b;
  if (b === -Infinity) return a;
  return a > b ? a + Math.log1p(Math.exp(b - a)) : b + Math.log1p(Math.exp(a - b));
}

function firstAtLeast(list: readonly number[], least: number, first: number, last: number): number {
  let [low, high] = [first, last];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((list[middle] ?? 0) < least) low = middle + 1;
    else high = middle;
  }
  return low;
}
