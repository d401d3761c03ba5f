import { callFunction, type FunctionProblem } from "../quantity/functions.ts";

/** A formula of the trade was called outside its range; carries what was wrong through the evaluation. */
export class OutOfRange extends RangeError {
  readonly problem: FunctionProblem;

  constructor(problem: FunctionProblem) {
    super(problem.code);
    this.problem = problem;
  }
}

/** What a formula of the trade gives. Outside its range it gives nothing and the whole evaluation fails. */
export function sourcedCall(name: string, numbers: readonly number[]): number {
  const called = callFunction(name, numbers);
  if (!called.ok) throw new OutOfRange(called.problem);
  return called.value;
}
