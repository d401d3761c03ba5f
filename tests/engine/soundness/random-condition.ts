/** Random conditions, in CEL for the engine and in SMT-LIB for a solver. */
import fc from "fast-check";
import { any, real } from "./smt-solver.ts";

/** Numbers as a meter's may be: finite, over range one way or the other, or what comes of such two. */
type Extended = string | "+" | "-" | "nan";
/** What each of the two readings is: a finite one by its name. */
export type Readings = readonly [Extended, Extended];

export interface Condition {
  readonly cel: string;
  readonly smt: (readings: Readings) => string;
  readonly facts: readonly string[];
  readonly readings: readonly string[];
}

export const FACTS = { plug: ["round", "flat"], engine: ["old", "new", "none"], side: ["left", "right"] };

/** A choice, or with `in` one of a list of two. */
export const onFact = (words: readonly ("==" | "!=" | "in")[]): fc.Arbitrary<Condition> =>
  fc
    .tuple(fc.constantFrom(...Object.entries(FACTS)), fc.nat(2), fc.constantFrom(...words))
    .map(([[id, choices], number, word]) => {
      const at = number % choices.length;
      const last = choices.length - 1;
      const is = `(= ${id} ${at})`;
      const [cel, smt] =
        word === "in"
          ? [`facts.${id} in ["${choices[at]}", "${choices[last]}"]`, any([is, `(= ${id} ${last})`])]
          : [`facts.${id} ${word} "${choices[at]}"`, word === "==" ? is : `(not ${is})`];
      return { cel, smt: () => smt, facts: [id], readings: [] };
    });

const factor = fc.constantFrom(-2, -1, -0.5, 0.5, 1, 2);

/** A sum, or one of the added functions, of one or two readings against a number. */
export const onReadings: fc.Arbitrary<Condition> = fc
  .tuple(
    factor,
    fc.option(factor),
    fc.constantFrom("", "", "", "abs", "min", "max"),
    fc.integer({ min: -16, max: 16 }),
    fc.constantFrom("<", "<=", ">", ">="),
  )
  .map(([a, b, name, quarters, word]) => {
    const [first, second] = [`${decimal(a)} * readings.m0`, b && `${decimal(b)} * readings.m1`];
    const two = name === "min" || name === "max" ? ", " : " + ";
    const inside = second ? `${first}${two}${second}` : first;
    const plain = name === "" || ((name === "min" || name === "max") && b === null);
    return {
      cel: `${plain ? inside : `${name}(${inside})`} ${word} ${decimal(quarters / 4)}`,
      smt: ([m0, m1]) => {
        const one = scaled(a, m0);
        const other = b === null ? undefined : scaled(b, m1);
        return compared(word, applied(name, one, other), real(quarters / 4));
      },
      facts: [],
      readings: b === null ? ["m0"] : ["m0", "m1"],
    };
  });

function decimal(value: number): string {
  return Number.isInteger(value) ? value.toFixed(1) : String(value);
}

function scaled(by: number, value: Extended): Extended {
  if (value === "nan") return value;
  if (value === "+" || value === "-") return by > 0 === (value === "+") ? "+" : "-";
  return `(* ${real(by)} ${value})`;
}

function applied(name: string, one: Extended, other: Extended | undefined): Extended {
  if (name === "min" || name === "max")
    return other === undefined ? one : chosen(name === "min" ? "-" : "+", one, other);
  const sum = other === undefined ? one : added(one, other);
  if (name !== "abs" || sum === "nan") return sum;
  return sum === "+" || sum === "-" ? "+" : `(ite (< ${sum} 0.0) (- ${sum}) ${sum})`;
}

function added(one: Extended, other: Extended): Extended {
  if (one === "nan" || other === "nan") return "nan";
  const [a, b] = [isInfinite(one), isInfinite(other)];
  if (a && b) return one === other ? one : "nan";
  if (a || b) return a ? one : other;
  return `(+ ${one} ${other})`;
}

/** The one that lies further to a side. */
function chosen(side: "+" | "-", one: Extended, other: Extended): Extended {
  if (one === side || other === side) return side;
  if (isInfinite(one)) return other;
  if (isInfinite(other)) return one;
  return `(ite (${side === "+" ? ">" : "<"} ${one} ${other}) ${one} ${other})`;
}

function isInfinite(value: Extended): boolean {
  return value === "+" || value === "-";
}

/** As a double compares: what is no number is neither less nor more. */
function compared(word: string, value: Extended, limit: string): string {
  if (value === "nan") return "false";
  if (value === "+") return String(word.startsWith(">"));
  if (value === "-") return String(word.startsWith("<"));
  return `(${word} ${value} ${limit})`;
}

function joined(leaf: fc.Arbitrary<Condition>, maxDepth: number): fc.Arbitrary<Condition> {
  const { whole } = fc.letrec<{ whole: Condition; two: Condition; not: Condition }>((tie) => ({
    whole: fc.oneof(
      { maxDepth },
      { weight: 2, arbitrary: leaf },
      { weight: 2, arbitrary: tie("two") },
      { weight: 1, arbitrary: tie("not") },
    ),
    two: fc.tuple(tie("whole"), tie("whole"), fc.boolean()).map(([one, other, both]) => ({
      cel: `(${one.cel}) ${both ? "&&" : "||"} (${other.cel})`,
      smt: (readings: Readings) => `(${both ? "and" : "or"} ${one.smt(readings)} ${other.smt(readings)})`,
      facts: [...new Set([...one.facts, ...other.facts])],
      readings: [...new Set([...one.readings, ...other.readings])],
    })),
    not: tie("whole").map((one) => ({
      ...one,
      cel: `!(${one.cel})`,
      smt: (readings: Readings) => `(not ${one.smt(readings)})`,
    })),
  }));
  return whole;
}

/** Conditions to be tried one after the other. */
export function conditionsOn(
  leaf: fc.Arbitrary<Condition>,
  most: { readonly conditions: number; readonly depth: number },
): fc.Arbitrary<readonly Condition[]> {
  return fc.array(joined(leaf, most.depth), { minLength: 1, maxLength: most.conditions });
}
