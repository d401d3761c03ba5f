/**
 * Which arm a branch with conditions takes in a rehearsed run. Facts with choices are drawn, lists are empty and
 * measured facts not known; a condition on a reading of which only the band is known takes any arm alike.
 */
import { evaluateExpression, type Scene, usesThisReading } from "../procedure/expression.ts";
import type { Fact, FactValue, Procedure } from "../procedure/model.ts";
import type { BulkProcedure } from "./bulk-procedure.ts";

export interface RehearsedArms {
  /** The facts that can be drawn, each with its choices; one choice where it was given. */
  readonly facts: readonly { readonly id: string; readonly values: readonly FactValue[] }[];
  /** The arm by the number of each fact's value and the readings; `"open"` where a reading is missing. */
  arm(branch: number, chosen: (fact: number) => number, scene: ReadScene): number | "open";
  /** Facts, by number, that the branch hangs on. */
  factsOf(branch: number): readonly number[];
}

type ReadScene = Pick<Scene, "reading" | "value">;

export function rehearsedArms(bulk: BulkProcedure): RehearsedArms {
  const { procedure } = bulk;
  const facts = [...procedure.facts.values()].map((fact) => ({ id: fact.id, values: valuesOf(fact) }));
  const numberOf = new Map(facts.map((fact, number) => [fact.id, number]));
  const hangsOn = bulk.branches.map((branch) => {
    const conditions = branch.arms.flatMap((arm) => arm.if ?? []);
    return {
      facts: [...new Set(conditions.flatMap((one) => one.facts))].flatMap((id) => numberOf.get(id) ?? []),
      plain: conditions.every(
        (one) => one.readings.length + one.elapsed.length === 0 && !usesThisReading(one),
      ),
    };
  });
  const known: Map<number, number>[] = bulk.branches.map(() => new Map());
  return {
    facts,
    factsOf: (branch) => hangsOn[branch]?.facts ?? [],
    arm(number, chosen, readings) {
      const on = hangsOn[number];
      const branch = bulk.branches[number];
      if (on === undefined || branch === undefined) return -1;
      const scene: Scene = {
        ...readings,
        fact: (id) => {
          const fact = numberOf.get(id);
          return fact === undefined ? undefined : facts[fact]?.values[chosen(fact)];
        },
        elapsed: () => undefined,
      };
      if (!on.plain) return evaluated(procedure, branch.arms, scene, true);
      let key = 0;
      for (const fact of on.facts) key = key * (facts[fact]?.values.length ?? 1) + chosen(fact);
      const memo = known[number]?.get(key);
      if (memo !== undefined) return memo;
      const arm = evaluated(procedure, branch.arms, scene, false);
      if (arm !== "open") known[number]?.set(key, arm);
      return arm;
    },
  };
}

const UNKNOWN = { unknown: true } as const;

function valuesOf(fact: Fact): readonly FactValue[] {
  if (fact.given !== undefined) return [fact.given];
  if (fact.list) return [[]];
  if (fact.measure !== undefined || fact.choices.length === 0) return [UNKNOWN];
  return fact.choices.map((choice) => choice.id);
}

function evaluated(
  procedure: Procedure,
  arms: BulkProcedure["branches"][number]["arms"],
  scene: Scene,
  openIfMissing: boolean,
): number | "open" {
  for (const [index, { if: condition }] of arms.entries()) {
    if (condition === undefined) return index;
    if (openIfMissing && isMissing(procedure, condition.readings, condition.elapsed, scene)) return "open";
    const holds = evaluateExpression(condition, scene);
    if (!holds.ok) return holds.why === "unknown-fact" ? arms.length - 1 : openIfMissing ? "open" : -1;
    if (holds.value === true) return index;
  }
  return arms.length - 1;
}

function isMissing(
  procedure: Procedure,
  readings: readonly string[],
  elapsed: readonly string[],
  scene: Scene,
): boolean {
  return (
    elapsed.length > 0 ||
    readings.some(
      (id) => procedure.steps.has(id) && scene.reading(id) === undefined && scene.value(id) === undefined,
    )
  );
}
