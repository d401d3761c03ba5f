import type { Variable } from "../procedure/expression-names.ts";
import type { Procedure } from "../procedure/model.ts";
import { addedSums, all, compared, constantSum, type Formula, type Linear, variableSum } from "./formula.ts";
import { ONE, rational, ZERO } from "./rational.ts";

/** A code that some condition asks for, and the list it asks. */
interface CodeAsked {
  readonly fact: string;
  readonly code: string;
}

/**
 * What conditions ask of facts that are lists, as variables: a list's length, and a number for each code, 1 where it
 * is in the list. One of these serves all conditions that are looked at together.
 */
export class ListsAsked {
  readonly #procedure: Procedure;
  /** By variable. */
  readonly codes = new Map<string, CodeAsked>();
  /** The fact by the variable of its length. */
  readonly sizes = new Map<string, string>();

  constructor(procedure: Procedure) {
    this.#procedure = procedure;
  }

  /** A list's length; undefined where the variable is none. */
  size(variable: Variable): Linear | undefined {
    const fact = this.#listOf(variable);
    if (fact === undefined) return undefined;
    if (typeof fact.given === "object" && !("unknown" in fact.given))
      return constantSum(rational(fact.given.length));
    const name = sizeName(variable.id);
    this.sizes.set(name, variable.id);
    return variableSum(name);
  }

  /** Whether a list has a code; undefined where the variable is no list. */
  listed(variable: Variable, code: string): Formula | undefined {
    const fact = this.#listOf(variable);
    if (fact === undefined) return undefined;
    if (typeof fact.given === "object" && !("unknown" in fact.given))
      return { kind: "known", holds: fact.given.includes(code) };
    this.size(variable);
    const name = `code ${variable.id} ${code}`;
    this.codes.set(name, { fact: variable.id, code });
    return compared(constantSum(ONE), variableSum(name), "<=");
  }

  /** What holds of the lists asked so far, whatever is in them: there are as many entries as codes at least. */
  known(): Formula {
    const parts: Formula[] = [];
    const codes = new Map<string, Linear>();
    for (const [name, { fact }] of this.codes) {
      const one = variableSum(name);
      parts.push(compared(constantSum(ZERO), one, "<="), compared(one, constantSum(ONE), "<="));
      const before = codes.get(fact);
      codes.set(fact, (before && addedSums(before, one)) ?? one);
    }
    for (const [name, fact] of this.sizes)
      parts.push(compared(codes.get(fact) ?? constantSum(ZERO), variableSum(name), "<="));
    return all(parts);
  }

  #listOf({ kind, id }: Variable) {
    const fact = kind === "fact" ? this.#procedure.facts.get(id) : undefined;
    return fact?.list === true ? fact : undefined;
  }
}

/** Named as a condition says it, so that what it says in other words is of the same length. */
function sizeName(fact: string): string {
  return `size(fact ${fact})`;
}
