import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  all,
  any,
  compared,
  constantSum,
  type Formula,
  type Linear,
  not,
  type Relation,
} from "../../../engine/soundness/formula.ts";
import { rational } from "../../../engine/soundness/rational.ts";
import { satisfiable } from "../../../engine/soundness/satisfiable.ts";

const VARIABLES = ["x", "y", "z"];
const NOWHERE = () => ({ down: false, up: false });

/** Sums of up to three variables with small whole factors. */
const sum: fc.Arbitrary<Linear> = fc
  .tuple(
    fc.array(fc.integer({ min: -2, max: 2 }), { minLength: 3, maxLength: 3 }),
    fc.integer({ min: -3, max: 3 }),
  )
  .map(([factors, constant]) => ({
    factors: new Map(
      VARIABLES.flatMap((name, at) => {
        const factor = factors[at] ?? 0;
        return factor === 0 ? [] : [[name, rational(factor)] as const];
      }),
    ),
    constant: rational(constant),
  }));
const relation = fc.constantFrom<Relation>("<", "<=", "==", "!=");
const { formula } = fc.letrec<{ formula: Formula }>((tie) => ({
  formula: fc.oneof(
    { maxDepth: 3, depthIdentifier: "f" },
    fc.tuple(sum, relation).map(([each, word]) => compared(each, constantSum(rational(0)), word)),
    fc.array(tie("formula"), { minLength: 1, maxLength: 3 }).map(all),
    fc.array(tie("formula"), { minLength: 1, maxLength: 3 }).map(any),
    tie("formula").map(not),
  ),
}));

function holds(formula: Formula, at: Readonly<Record<string, number>>): boolean {
  switch (formula.kind) {
    case "known":
      return formula.holds;
    case "free":
      return true;
    case "not":
      return !holds(formula.part, at);
    case "and":
      return formula.parts.every((part) => holds(part, at));
    case "or":
      return formula.parts.some((part) => holds(part, at));
    case "compared": {
      let value = Number(formula.sum.constant.over);
      for (const [name, { over }] of formula.sum.factors) value += Number(over) * (at[name] ?? 0);
      switch (formula.relation) {
        case "<":
          return value < 0;
        case "<=":
          return value <= 0;
        case "==":
          return value === 0;
        case "!=":
          return value !== 0;
      }
    }
  }
}

describe("what can hold", () => {
  it("holds wherever a point of a fine grid makes it hold", () => {
    const grid = Array.from({ length: 17 }, (_, at) => (at - 8) / 2);
    let met = 0;
    let unmet = 0;
    fc.assert(
      fc.property(formula, (written) => {
        const found = satisfiable(written, NOWHERE);
        const onGrid = grid.some((x) => grid.some((y) => grid.some((z) => holds(written, { x, y, z }))));
        if (onGrid) expect(found).toBe(true);
        if (onGrid) met += 1;
        else if (found === false) unmet += 1;
      }),
      { numRuns: 600 },
    );
    expect(met).toBeGreaterThan(100);
    expect(unmet).toBeGreaterThan(0);
  });

  it.each([
    ["x < 1 and x > 1", all([less("x", 1), not(less("x", 1)), differs("x", 1)]), false],
    ["x < 1 and x >= 1", all([less("x", 1), not(less("x", 1))]), false],
    ["x == 0.1 + 0.2 and x == 0.3, as written", all([same("x", 0.1 + 0.2), same("x", 0.3)]), false],
    ["x != 1 and x <= 1 and x >= 1", all([differs("x", 1), not(less("x", 1)), not(more("x", 1))]), false],
  ])("%s", (_, written, expected) => {
    expect(satisfiable(written, NOWHERE)).toBe(expected);
  });

  it("counts a reading over range where it may be", () => {
    // No number is above every number it is compared with; OL is.
    const beyond = all([
      not(less("x", 1e300)),
      compared(variable("y"), variable("x"), "<"),
      same("y", 1e305),
    ]);
    expect(satisfiable(beyond)).toBe(true);
    const sumOver = all([compared(variable("x"), variable("x", 2), "=="), differs("x", 0)]);
    expect(satisfiable(sumOver, NOWHERE)).toBe(false);
  });
});

function variable(name: string, factor = 1): Linear {
  return { factors: new Map([[name, rational(factor)]]), constant: rational(0) };
}

function less(name: string, than: number): Formula {
  return compared(variable(name), constantSum(rational(than)), "<");
}

function more(name: string, than: number): Formula {
  return compared(constantSum(rational(than)), variable(name), "<");
}

function same(name: string, as: number): Formula {
  return compared(variable(name), constantSum(rational(as)), "==");
}

function differs(name: string, from: number): Formula {
  return compared(variable(name), constantSum(rational(from)), "!=");
}
