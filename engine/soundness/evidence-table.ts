import type { FaultId, Outcome, Procedure, Step } from "../procedure/model.ts";
import { faultsKnownInRun, likelihoodRow, tellingOutcomes } from "../reasoning/likelihood.ts";
import type { Flow } from "./flow.ts";
import type { Factors } from "./odds-tree.ts";
import { perStep } from "./per-step.ts";

/** What outcomes say of faults, numbered: the same numbers mean the same. */
export interface EvidenceTable {
  readonly faults: readonly FaultId[];
  readonly priors: Float64Array;
  /** Number of what an outcome of a step says; 0 where it says nothing. */
  say(index: number, outcome: Outcome): number;
  /** log P(outcome | fault) by fault, for a number that `say` gave. */
  logs(index: number, said: number): Float64Array;
  /**
   * What a number that `say` gave says of the faults that the step names, against those it does not name; every
   * probability of 0 counts as {@link LEAST_SHARE}. What only a run can say has all that it can be between highest
   * and lowest.
   */
  factors(index: number, said: number): Factors;
  /** Whether what a step says of some fault is only known in a run, so that `logs` do not hold for it. */
  isOpen(index: number): boolean;
}

/** Stands for a probability of 0, so that the odds stay numbers; smaller than any product that matters. */
const LEAST_SHARE = 1e-300;

/** The table of a flow; rows are reckoned when they are first asked for. */
export function evidenceTable(flow: Flow): EvidenceTable {
  const faults = [...flow.procedure.faults.values()];
  const rows = new Map<number, readonly Float64Array[]>();
  const spoken = (index: number): ReadonlyMap<Outcome, number> => {
    const step = flow.steps[index];
    return step === undefined ? NOTHING_SAID : spokenBy(flow.procedure, step);
  };
  const logsOf = (index: number): readonly Float64Array[] => {
    const known = rows.get(index);
    if (known !== undefined) return known;
    const step = flow.steps[index];
    const found = step === undefined ? [] : logTable(flow.procedure, step, spoken(index), faults);
    rows.set(index, found);
    return found;
  };
  const factorsOf = (index: number): readonly Factors[] => {
    const step = flow.steps[index];
    return step === undefined ? [] : factorTable(flow.procedure, step);
  };
  return {
    faults: faults.map((fault) => fault.id),
    priors: Float64Array.from(faults, (fault) => fault.prior),
    say: (index, outcome) => spoken(index).get(outcome) ?? 0,
    logs: (index, said) => logsOf(index)[said - 1] ?? new Float64Array(faults.length),
    isOpen: (index) => {
      const step = flow.steps[index];
      return step !== undefined && knownInRun(flow.procedure, step).length > 0;
    },
    factors: (index, said) => factorsOf(index)[said - 1] ?? NO_FACTORS,
  };
}

const knownInRun = perStep(faultsKnownInRun);

const NO_FACTORS: Factors = { faults: [], high: [], low: [] };

const NOTHING_SAID: ReadonlyMap<Outcome, number> = new Map();

/** `cannot`, `stop` and `borderline` say nothing; that is number 0. */
const spokenBy = perStep(
  (_, step: Step): ReadonlyMap<Outcome, number> =>
    step.evidence === undefined
      ? NOTHING_SAID
      : new Map(tellingOutcomes(step).map((outcome, at) => [outcome, at + 1])),
);

const NUMBERS = new WeakMap<Procedure["faults"], ReadonlyMap<FaultId, number>>();

function faultNumbers({ faults }: Procedure): ReadonlyMap<FaultId, number> {
  const known = NUMBERS.get(faults);
  if (known !== undefined) return known;
  const numbers = new Map([...faults.keys()].map((id, number) => [id, number]));
  NUMBERS.set(faults, numbers);
  return numbers;
}

const factorTable = perStep((procedure, step): readonly Factors[] => {
  const { evidence } = step;
  const faultNumber = faultNumbers(procedure);
  if (evidence === undefined) return [];
  // No fault can have an empty id, so this is the row of every fault not named.
  const usual = likelihoodRow(procedure, step, "");
  const named = [...new Set([...evidence.rows.keys(), ...evidence.reads.keys()])]
    .flatMap((id) => {
      const number = faultNumber.get(id);
      const open = knownInRun(procedure, step).includes(id);
      return number === undefined ? [] : [{ number, open, row: likelihoodRow(procedure, step, id) }];
    })
    .sort((a, b) => a.number - b.number);
  const faults = named.map(({ number }) => number);
  return [...spokenBy(procedure, step).keys()].map((outcome) => {
    const against = logShare(usual?.get(outcome));
    const logs = (ifOpen: number) =>
      named.map(({ row, open }) => logShare(open ? ifOpen : row?.get(outcome)) - against);
    return { faults, high: logs(1), low: logs(0) };
  });
});

/** Whether two steps of one name show the same of every fault, as far as {@link EvidenceTable.factors} tells. */
export function saysTheSame(procedure: Procedure, one: Step, other: Step): boolean {
  const all = (step: Step) => [
    ...spokenBy(procedure, step).keys(),
    ...factorTable(procedure, step).flatMap(numbersOf),
  ];
  const [these, those] = [all(one), all(other)];
  return these.length === those.length && these.every((each, at) => Object.is(each, those[at]));
}

function numbersOf({ faults, high, low }: Factors): readonly number[] {
  return [faults.length, ...faults, ...high, ...low];
}

function logShare(share = 1): number {
  return Math.log(Math.max(share, LEAST_SHARE));
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
