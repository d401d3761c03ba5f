import { type Beside, besideOf } from "../procedure/keep-unchanged.ts";
import type { Procedure, Step } from "../procedure/model.ts";

/**
 * What is reckoned of one step and of what stands beside the steps, kept as long as neither changes: after one
 * edit only the edited step is reckoned again. `reckon` must look at no other step.
 */
export function perStep<S extends Step, T>(
  reckon: (procedure: Procedure, step: S) => T,
): (procedure: Procedure, step: S) => T {
  const kept = new WeakMap<S, { readonly beside: Beside; readonly value: T }>();
  return (procedure, step) => {
    const beside = besideOf(procedure);
    const known = kept.get(step);
    if (known?.beside === beside) return known.value;
    const value = reckon(procedure, step);
    kept.set(step, { beside, value });
    return value;
  };
}
