import { type Beside, besideOf } from "../procedure/keep-unchanged.ts";
import type { Procedure, Step } from "../procedure/model.ts";

/**
 * What is reckoned of one step and of what stands beside the steps, kept as long as neither changes: after one
 * edit only the edited step is reckoned again. `reckon` must look at no other step.
 */
export function perStep<T extends object | boolean>(
  reckon: (procedure: Procedure, step: Step) => T,
): (procedure: Procedure, step: Step) => T {
  const slot = slots;
  slots += 1;
  return (procedure, step) => {
    const beside = besideOf(procedure);
    let kept = KEPT.get(step);
    if (kept?.beside !== beside) {
      kept = { beside, values: [] };
      KEPT.set(step, kept);
    }
    // Only this function writes to its slot.
    const known = kept.values[slot] as T | undefined;
    if (known !== undefined) return known;
    const value = reckon(procedure, step);
    kept.values[slot] = value;
    return value;
  };
}

/** All that is kept of a step together: a weak map of its own for each would cost more than it saves. */
const KEPT = new WeakMap<
  Step,
  { readonly beside: Beside; readonly values: (object | boolean | undefined)[] }
>();
let slots = 0;
