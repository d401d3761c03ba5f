import type { Procedure, Step } from "../procedure/model.ts";

/** What holds of a step or does not, whatever other steps there are. */
export type OfStep = (procedure: Procedure, step: Step) => boolean;

export const isConclusion: OfStep = (_, { kind }) => kind === "conclude";

export interface NumberedStep {
  /** In the flow. */
  readonly index: number;
  readonly step: Step;
}

/** An earlier text's lists, with the numbers of the steps that have been edited since. */
export interface BeforeEdit {
  readonly lists: StepLists;
  readonly edited: readonly number[];
}

/**
 * The steps of which something holds: those few that a rule has to look at. Every step is asked once; after an edit,
 * where nothing beside the steps has changed, only the edited ones are.
 */
export class StepLists {
  readonly #procedure: Procedure;
  readonly #steps: readonly Step[];
  readonly #lists = new Map<OfStep, readonly NumberedStep[]>();

  constructor(procedure: Procedure, steps: readonly Step[], before?: BeforeEdit) {
    this.#procedure = procedure;
    this.#steps = steps;
    if (before === undefined) return;
    for (const [holds, list] of before.lists.#lists)
      this.#lists.set(holds, this.#again(holds, list, before.edited));
  }

  /** In the order written. `holds` stands for its list, so it must be the same function each time. */
  where(holds: OfStep): readonly NumberedStep[] {
    const known = this.#lists.get(holds);
    if (known !== undefined) return known;
    const list = this.#held(holds, this.#steps.keys());
    this.#lists.set(holds, list);
    return list;
  }

  #again(holds: OfStep, list: readonly NumberedStep[], edited: readonly number[]): readonly NumberedStep[] {
    const others = new Set(edited);
    const unchanged = list.filter(({ index }) => !others.has(index));
    const held = this.#held(holds, edited);
    if (held.length === 0) return unchanged;
    return [...unchanged, ...held].sort((one, other) => one.index - other.index);
  }

  #held(holds: OfStep, indexes: Iterable<number>): readonly NumberedStep[] {
    const list: NumberedStep[] = [];
    for (const index of indexes) {
      const step = this.#steps[index];
      if (step !== undefined && holds(this.#procedure, step)) list.push({ index, step });
    }
    return list;
  }
}
