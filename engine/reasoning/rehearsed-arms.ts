/**
 * Which arm a branch with conditions takes in a rehearsed run. Facts with choices are drawn, lists are empty and
 * measured facts not known; a condition on minutes gone by, or on a reading of which only the band is known, takes
 * any arm alike. A reading that was not taken is missing, as in a run.
 */
import { evaluateExpression, expressionTree, type Scene } from "../procedure/expression.ts";
import type { Expression, Fact, FactValue, StepId } from "../procedure/model.ts";
import type { BulkProcedure } from "./bulk-procedure.ts";

export interface RehearsedArms {
  /** The facts that can be drawn, each with its choices; one choice where it was given. */
  readonly facts: readonly { readonly id: string; readonly values: readonly FactValue[] }[];
  /** The arm by the number of each fact's value and the readings; `"open"` where what was read is not known. */
  arm(branch: number, chosen: (fact: number) => number, scene: ReadScene): number | "open";
  /** Facts, by number, that the branch hangs on. */
  factsOf(branch: number): readonly number[];
  /** Steps, by number, on whose readings the branch hangs, its own included. */
  readingsOf(branch: number): readonly number[];
}

export interface ReadScene extends Pick<Scene, "reading" | "value"> {
  /** Whether the step was answered; its reading need not be known. */
  taken(step: StepId): boolean;
}

export function rehearsedArms(bulk: BulkProcedure): RehearsedArms {
  const facts = [...bulk.procedure.facts.values()].map((fact) => ({ id: fact.id, values: valuesOf(fact) }));
  const numberOf = new Map(facts.map((fact, number) => [fact.id, number]));
  const hangsOn = bulk.branches.map((branch) => {
    const conditions = branch.arms.flatMap((arm) => arm.if ?? []);
    const lookUps = new Map(conditions.map((one) => [one, lookUpsOf(one, branch.step)]));
    const read = [...lookUps.values()].flat().map(({ step }) => step);
    return {
      facts: [...new Set(conditions.flatMap((one) => one.facts))].flatMap((id) => numberOf.get(id) ?? []),
      readings: [...new Set(read)].flatMap((id) => bulk.indexOf.get(id) ?? []),
      plain: conditions.every((one) => one.elapsed.length === 0) && read.length === 0,
      lookUps,
    };
  });
  const known: Map<number, number>[] = bulk.branches.map(() => new Map());
  return {
    facts,
    factsOf: (branch) => hangsOn[branch]?.facts ?? [],
    readingsOf: (branch) => hangsOn[branch]?.readings ?? [],
    arm(number, chosen, readings) {
      const on = hangsOn[number];
      const branch = bulk.branches[number];
      if (on === undefined || branch === undefined) return -1;
      const fact = (id: string) => {
        const at = numberOf.get(id);
        return at === undefined ? undefined : facts[at]?.values[chosen(at)];
      };
      if (!on.plain) {
        const { reading, value } = readings;
        const thisReading = reading(branch.step);
        const scene = { fact, reading, value, elapsed: nothing };
        return evaluated(
          branch.arms,
          thisReading === undefined ? scene : { ...scene, thisReading },
          (one) =>
            one.elapsed.length > 0 ||
            on.lookUps.get(one)?.some(({ step, of }) => {
              return readings.taken(step) && readings[of](step) === undefined;
            }) === true,
        );
      }
      let key = 0;
      for (const each of on.facts) key = key * (facts[each]?.values.length ?? 1) + chosen(each);
      const memo = known[number]?.get(key);
      if (memo !== undefined) return memo;
      const scene = { fact, reading: nothing, value: nothing, elapsed: nothing };
      const arm = evaluated(branch.arms, scene, () => false);
      if (arm !== "open") known[number]?.set(key, arm);
      return arm;
    },
  };
}

const nothing = () => undefined;

const UNKNOWN = { unknown: true } as const;

function valuesOf(fact: Fact): readonly FactValue[] {
  if (fact.given !== undefined) return [fact.given];
  if (fact.list) return [[]];
  if (fact.measure !== undefined || fact.choices.length === 0) return [UNKNOWN];
  return fact.choices.map((choice) => choice.id);
}

interface LookUp {
  readonly step: StepId;
  readonly of: "reading" | "value";
}

/** What a condition looks up of readings: those that it names, and its own step's where it says `reading`. */
function lookUpsOf(condition: Expression, own: StepId): readonly LookUp[] {
  return (expressionTree(condition)?.variables ?? []).flatMap((variable): LookUp | readonly LookUp[] => {
    switch (variable.kind) {
      case "reading":
      case "has-reading":
        return { step: variable.id, of: "reading" };
      case "value":
      case "has-value":
        return { step: variable.id, of: "value" };
      case "this-reading":
        return { step: own, of: "reading" };
      default:
        return [];
    }
  });
}

/** The first arm that holds, -1 where that can't be evaluated. */
function evaluated(
  arms: BulkProcedure["branches"][number]["arms"],
  scene: Scene,
  isOpen: (condition: Expression) => boolean,
): number | "open" {
  for (const [index, { if: condition }] of arms.entries()) {
    if (condition === undefined) return index;
    if (isOpen(condition)) return "open";
    const holds = evaluateExpression(condition, scene);
    if (!holds.ok) return holds.why === "unknown-fact" ? arms.length - 1 : -1;
    if (holds.value === true) return index;
  }
  return arms.length - 1;
}
