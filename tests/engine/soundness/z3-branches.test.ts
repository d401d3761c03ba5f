import fc, { type Arbitrary } from "fast-check";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { ask, build, end, fact, measure } from "./build-procedure.ts";
import {
  type Condition,
  conditionsOn,
  FACTS,
  onFact,
  onReadings,
  type Readings,
} from "./random-condition.ts";
import { type Answer, all, any, openSolver, real, type SmtSolver } from "./smt-solver.ts";

let solver: SmtSolver;
beforeAll(async () => {
  solver = await openSolver();
});
afterAll(() => solver.close());

/** A step's limits, in volts, and which of the bands below, between and above them lead on to the question. */
interface Look {
  readonly from: number;
  readonly to: number;
  readonly on: readonly [below: boolean, between: boolean, above: boolean];
}

const look: fc.Arbitrary<Look> = fc
  .tuple(
    fc.integer({ min: -12, max: 12 }),
    fc.integer({ min: 0, max: 12 }),
    fc.constantFrom<Look["on"]>(
      [false, true, false],
      [false, true, false],
      [false, false, true],
      [true, false, false],
      [true, false, true],
      [false, true, true],
    ),
  )
  .map(([from, width, on]) => ({ from: from / 4, to: (from + width) / 4, on }));

interface Case {
  readonly conditions: readonly Condition[];
  readonly looks: readonly [Look, Look];
}

const caseOf = (conditions: Arbitrary<readonly Condition[]>): Arbitrary<Case> =>
  fc.record({ conditions, looks: fc.tuple(look, look) });

const FACTS_ONLY = conditionsOn(onFact(["==", "!=", "in"]), { conditions: 3, depth: 3 });
/** Up to four comparisons: above some thousand alternatives, which abs, min and max double, arms are left open. */
const READINGS_ONLY = conditionsOn(onReadings, { conditions: 2, depth: 1 });
const MIXED = conditionsOn(fc.oneof(onFact(["==", "!="]), onReadings), { conditions: 3, depth: 1 });
const DEEP = conditionsOn(fc.oneof(onFact(["==", "!=", "in"]), onReadings), { conditions: 3, depth: 3 });

/** Two readings, then a question whose answer leads on by the conditions. */
function procedureOf({ conditions, looks }: Case): Procedure {
  const facts = Object.entries(FACTS).map(([id, choices]) => fact(id, choices));
  const arms = conditions.map(
    ({ cel, facts: names, readings }, at) => [{ text: cel, facts: names, readings }, `to${at}`] as const,
  );
  const measured = looks.map(({ from, to, on }, at) => {
    const way = (leads: boolean) => (leads ? (at === 0 ? "m1" : "q") : "away");
    return measure(`m${at}`, {
      below: [`under ${from} V`, way(on[0])],
      between: [`from ${from} V, to ${to} V`, way(on[1])],
      above: [`over ${to} V`, way(on[2])],
    });
  });
  const targets = [...conditions.map((_, at) => `to${at}`), "last", "away"];
  const question = ask("q", { yes: { arms: [...arms, [undefined, "last"]] } }, { facts: Object.keys(FACTS) });
  return build([...measured, question, ...targets.map((id) => end(id, "referred"))], { facts });
}

/** The arms of the question that are called impossible, by number. */
function impossible(one: Case): ReadonlySet<number> {
  return new Set(
    checkProcedure(procedureOf(one)).flatMap(({ code, step, node }) =>
      code === "impossible-branch" && step === "q" ? [Number(node.path.at(-1))] : [],
    ),
  );
}

/** A fact is a number to the solver: its choice, or one more for `unknown`. */
const DECLARED = [
  ...Object.entries(FACTS).map(
    ([id, { length }]) => `(declare-const ${id} Int) (assert (<= 0 ${id} ${length}))`,
  ),
  "(declare-const m0 Real) (declare-const m1 Real)",
].join(" ");

const isKnown = ({ facts }: Condition) =>
  all(facts.map((id) => `(< ${id} ${FACTS[id as keyof typeof FACTS].length})`));

/**
 * When an arm is taken: the first whose condition holds, the last where none does; and the last at once where a
 * condition speaks of a fact that is not known.
 */
function taken(conditions: readonly Condition[], arm: number, readings: Readings): string {
  const passed = (at: number) =>
    all(conditions.slice(0, at).map((one) => `(and ${isKnown(one)} (not ${one.smt(readings)}))`));
  const own = conditions[arm];
  if (own !== undefined) return all([passed(arm), isKnown(own), own.smt(readings)]);
  const cut = conditions.map((one, at) => `(and ${passed(at)} (not ${isKnown(one)}))`);
  return any([...cut, passed(conditions.length)]);
}

/** Every way for the readings to be finite or over range that leads on to the question. */
function reading({ from, to, on }: Look, name: string): readonly (readonly [Readings[0], string])[] {
  const finite = [
    ...(on[0] ? [`(< ${name} ${real(from)})`] : []),
    ...(on[1] ? [`(<= ${real(from)} ${name} ${real(to)})`] : []),
    ...(on[2] ? [`(> ${name} ${real(to)})`] : []),
  ];
  return [
    [name, any(finite)],
    ...(on[2] ? [["+", "true"] as const] : []),
    ...(on[0] ? [["-", "true"] as const] : []),
  ];
}

function question({ conditions, looks }: Case, arm: number): string {
  const ways = reading(looks[0], "m0").flatMap(([m0, is0]) =>
    reading(looks[1], "m1").map(([m1, is1]) => all([is0, is1, taken(conditions, arm, [m0, m1])])),
  );
  return `${DECLARED} (assert ${any(ways)})`;
}

interface Comparison {
  /** Arms that no reading and fact takes, and that are not told. */
  readonly missed: readonly string[];
  /** Arms told to be impossible that some readings and facts take. */
  readonly wrong: readonly string[];
  readonly both: number;
}

function compare(cases: readonly Case[]): Comparison {
  const arms = cases.flatMap((one) => {
    const told = impossible(one);
    return [...one.conditions.keys(), one.conditions.length].map((arm) => ({
      one,
      arm,
      told: told.has(arm),
    }));
  });
  const answers = solver.answers(arms.map(({ one, arm }) => question(one, arm)));
  const where = (told: boolean, answer: Answer) =>
    arms.filter((one, at) => one.told === told && answers[at] === answer).map(described);
  return { missed: where(false, "unsat"), wrong: where(true, "sat"), both: where(true, "unsat").length };
}

function described({ one, arm }: { readonly one: Case; readonly arm: number }): string {
  return `arm ${arm} of ${one.conditions.map(({ cel }) => cel).join(" | ")} after ${JSON.stringify(one.looks)}`;
}

describe("an SMT solver", () => {
  it.each([
    ["facts", FACTS_ONLY],
    ["two readings, over range included", READINGS_ONLY],
    ["facts and readings", MIXED],
  ])("finds the same arms possible on 800 branches by %s", (_, conditions) => {
    const { missed, wrong, both } = compare(fc.sample(caseOf(conditions), 800));
    expect([...missed, ...wrong]).toEqual([]);
    expect(both).toBeGreaterThan(50);
  });

  it("finds none of the arms possible that are called impossible, by long conditions on both", () => {
    const { wrong, both } = compare(fc.sample(caseOf(DEEP), 250));
    expect(wrong).toEqual([]);
    expect(both).toBeGreaterThan(20);
  });
});
