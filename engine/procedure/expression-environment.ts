import { Environment } from "@marcbachmann/cel-js";
import { FUNCTIONS } from "../quantity/functions.ts";
import { CHECKED, type Variable } from "./expression-names.ts";
import { sourcedCall } from "./sourced-call.ts";

export type FactType = "string" | "double" | "list<string>";

/** An environment in which the variables stand as `v0`, `v1`… */
export function environmentFor(
  base: Environment,
  variables: readonly Variable[],
  factType: (id: string) => FactType | "dyn",
): Environment {
  const environment = base.clone();
  for (const [index, variable] of variables.entries()) {
    environment.registerVariable(`v${index}`, typeOf(variable, factType));
  }
  return environment;
}

const LIMITS = { maxAstNodes: 1_000, maxDepth: 60 };

function baseEnvironment(limits: typeof LIMITS): Environment {
  const base = new Environment({ limits });
  base.registerFunction("abs(double): double", (x: number) => Math.abs(x));
  base.registerFunction("abs(int): int", (x: bigint) => (x < 0n ? -x : x));
  for (const [name, pick] of [
    ["min", Math.min],
    ["max", Math.max],
  ] as const) {
    for (const count of [2, 3, 4]) {
      const doubles = Array.from({ length: count }, () => "double").join(", ");
      base.registerFunction(`${name}(${doubles}): double`, (...numbers: number[]) => pick(...numbers));
    }
  }
  for (const { name, parameters } of FUNCTIONS.values()) {
    const doubles = parameters.map(() => "double").join(", ");
    base.registerFunction(`${name}(${doubles}): double`, (...numbers: number[]) =>
      sourcedCall(name, numbers),
    );
  }
  return base;
}

/** For what an author writes: parsing and types. */
export const BASE = baseEnvironment(LIMITS);
/** With what is put in for a run, which also makes an expression longer than its author may write it. */
export const RUNNING = runningEnvironment();

function runningEnvironment(): Environment {
  const running = baseEnvironment({
    maxAstNodes: 3 * LIMITS.maxAstNodes,
    maxDepth: 2 * LIMITS.maxDepth,
  });
  running.registerFunction(`${CHECKED}(dyn): dyn`, (value: unknown) => {
    if (typeof value === "number" && Number.isNaN(value)) throw new TypeError("No number.");
    return value;
  });
  return running;
}

function typeOf(variable: Variable, factType: (id: string) => FactType | "dyn"): string {
  if (variable.kind === "fact") return factType(variable.id);
  return variable.kind === "has-reading" || variable.kind === "has-value" ? "bool" : "double";
}
