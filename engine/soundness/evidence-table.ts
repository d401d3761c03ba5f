import type { FaultId, Outcome, Procedure, Step } from "../procedure/model.ts";
import { likelihoodRow, tellingOutcomes } from "../reasoning/likelihood.ts";
import type { Flow } from "./flow.ts";

/** What outcomes say of faults, numbered: the same numbers mean the same. */
export interface EvidenceTable {
  readonly faults: readonly FaultId[];
  readonly priors: Float64Array;
  /** Number of what an outcome of a step says; 0 where it says nothing. */
  say(index: number, outcome: Outcome): number;
  /** log P(outcome | fault) by fault, for a number that `say` gave. */
  logs(index: number, said: number): Float64Array;
}

/** The table of a flow; rows are reckoned when they are first asked for. */
export function evidenceTable(flow: Flow): EvidenceTable {
  const faults = [...flow.procedure.faults.values()];
  const rows = new Map<number, readonly Float64Array[]>();
  const outcomes = new Map<number, ReadonlyMap<Outcome, number>>();
  const spoken = (index: number): ReadonlyMap<Outcome, number> => {
    const known = outcomes.get(index);
    if (known !== undefined) return known;
    const step = flow.steps[index];
    // `cannot`, `stop` and `borderline` say nothing; that is number 0.
    const found = new Map<Outcome, number>(
      step?.evidence === undefined ? [] : tellingOutcomes(step).map((outcome, at) => [outcome, at + 1]),
    );
    outcomes.set(index, found);
    return found;
  };
  const logsOf = (index: number): readonly Float64Array[] => {
    const known = rows.get(index);
    if (known !== undefined) return known;
    const step = flow.steps[index];
    const found = step === undefined ? [] : logTable(flow.procedure, step, spoken(index), faults);
    rows.set(index, found);
    return found;
  };
  return {
    faults: faults.map((fault) => fault.id),
    priors: Float64Array.from(faults, (fault) => fault.prior),
    say: (index, outcome) => spoken(index).get(outcome) ?? 0,
    logs: (index, said) => logsOf(index)[said - 1] ?? new Float64Array(faults.length),
  };
}

function logTable(
  procedure: Procedure,
  step: Step,
  spoken: ReadonlyMap<Outcome, number>,
  faults: readonly { readonly id: FaultId }[],
): readonly Float64Array[] {
  const table = [...spoken].map(() => new Float64Array(faults.length));
  for (const [number, fault] of faults.entries()) {
    const row = likelihoodRow(procedure, step, fault.id);
    for (const [outcome, said] of spoken) {
      const logs = table[said - 1];
      if (logs !== undefined) logs[number] = Math.log(row?.get(outcome) ?? 1);
    }
  }
  return table;
}
