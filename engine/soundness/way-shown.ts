import type { Finding } from "../procedure/finding.ts";
import type { Analysis } from "./analysis.ts";
import { shownOn, shownQuick } from "./witness.ts";

/** A way that falls short, with what is to be said of it. */
export interface ShortWay<T> {
  readonly way: readonly number[];
  readonly said: T;
}

/** The way that shows it, the worst that some run walks by clear readings where there is one; else the worst. */
export type ShownWay<T> =
  | { readonly walks: true; readonly said: T; readonly witness: Finding["witness"] & {} }
  | { readonly walks: false; readonly witness: Finding["witness"] & {} };

/** Ways tried for one conclusion, and edges on them for all conclusions of a procedure. */
const MOST_TRIED = 200;
const MOST_EDGES = 300_000;
/**
 * Of those of one conclusion so many are solved as a whole, and walked quicker, where the run left them and nothing
 * else helped.
 */
const MOST_SOLVED = 5;

/** Looks for ways that runs walk; what it looks at for one procedure is bounded. */
export class WaysShown {
  readonly #analysis: Analysis;
  #edges = MOST_EDGES;

  constructor(analysis: Analysis) {
    this.#analysis = analysis;
  }

  /**
   * The first of these ways that some run was found to walk by clear readings, else the first by any, else by a run
   * that is quicker than the minutes of its steps; undefined without ways. At least the first is tried, whatever was
   * tried before.
   */
  first<T>(ways: Iterable<ShortWay<T>>): ShownWay<T> | undefined {
    let best: ShownWay<T> | undefined;
    let tried = 0;
    const solved: ShortWay<T>[] = [];
    for (const { way, said } of ways) {
      if (tried > 0 && (tried >= MOST_TRIED || this.#edges <= 0)) break;
      this.#edges -= way.length;
      const whole = tried < MOST_SOLVED;
      const { rows, walks, clear } = shownOn(this.#analysis, way, whole);
      if (walks && clear) return { walks, said, witness: rows };
      if (walks && best?.walks !== true) best = { walks, said, witness: rows };
      if (!walks) best ??= { walks, witness: rows };
      if (whole) solved.push({ way, said });
      tried += 1;
    }
    if (best?.walks === true) return best;
    for (const { way, said } of solved) {
      const quick = shownQuick(this.#analysis, way);
      if (quick?.walks) return { walks: true, said, witness: quick.rows };
    }
    return best;
  }
}
