import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compileExpression, type ExpressionNames } from "../../../engine/procedure/compile-expression.ts";
import { evaluateExpression, type Scene, unguardedReadings } from "../../../engine/procedure/expression.ts";
import type { FactType } from "../../../engine/procedure/expression-environment.ts";
import { memberForm } from "../../../engine/procedure/expression-names.ts";
import type { Expression, FactValue } from "../../../engine/procedure/model.ts";

const NODE = { file: "fan.yaml", path: ["steps", "feed"] };
const FACTS = new Map<string, FactType>([
  ["battery-type", "string"],
  ["battery-temperature", "double"],
  ["codes", "list<string>"],
  ["constructor", "string"],
]);
const STEPS = ["crank-volts", "rest", "__proto__", "constructor", "in"];

function names(wants: ExpressionNames["wants"], thisReading = false): ExpressionNames {
  return {
    wants,
    thisReading,
    resolve: (root, name) =>
      (root === "facts" ? [...FACTS.keys()] : STEPS).find((id) => memberForm(id) === memberForm(name)),
    candidates: (root) => (root === "facts" ? [...FACTS.keys()] : STEPS),
    factType: (id) => FACTS.get(id) ?? "string",
    choices: (name) => (memberForm(name) === "battery_type" ? ["agm", "flooded"] : undefined),
  };
}

function compile(text: string, wants: ExpressionNames["wants"] = "bool", thisReading = false) {
  return compileExpression(text, "", NODE, names(wants, thisReading));
}

function sound(text: string, wants: ExpressionNames["wants"] = "bool", thisReading = false): Expression {
  const { expression, findings } = compile(text, wants, thisReading);
  if (expression === undefined) throw new Error(JSON.stringify(findings));
  return expression;
}

interface Known {
  facts?: readonly (readonly [string, FactValue])[];
  readings?: readonly (readonly [string, number])[];
  values?: readonly (readonly [string, number])[];
  elapsed?: readonly (readonly [string, number])[];
  thisReading?: number;
}

function scene({ facts, readings, values, elapsed, thisReading }: Known): Scene {
  const [f, r, v, e] = [new Map(facts), new Map(readings), new Map(values), new Map(elapsed)];
  return {
    fact: (id) => f.get(id),
    reading: (step) => r.get(step),
    value: (step) => v.get(step),
    elapsed: (step) => e.get(step),
    ...(thisReading === undefined ? {} : { thisReading }),
  };
}

function give(text: string, known: Known, wants: ExpressionNames["wants"] = "bool") {
  return evaluateExpression(sound(text, wants, known.thisReading !== undefined), scene(known));
}

const yes = { ok: true, value: true };
const no = { ok: true, value: false };
const failed = { ok: false, why: "failed" };

describe("an expression", () => {
  it("reads a fact by index or as a member with underscores", () => {
    const facts = [["battery-type", "agm"]] as const;
    expect(give('facts["battery-type"] == "agm"', { facts })).toEqual(yes);
    expect(give('facts.battery_type == "agm"', { facts })).toEqual(yes);
    expect(sound("facts.battery_type == facts['battery-type']").facts).toEqual(["battery-type"]);
  });

  it("reads readings, values, elapsed minutes and this reading", () => {
    const known = {
      readings: [["crank-volts", 9.4]],
      values: [["crank-volts", 3]],
      elapsed: [["rest", 12.5]],
      thisReading: 0.5,
    } as const;
    const text = 'readings.crank_volts + values["crank-volts"] + elapsed.rest * reading';
    expect(give(text, known, "number")).toEqual({ ok: true, value: 9.4 + 3 + 6.25 });
    expect(sound(text, "number", true)).toMatchObject({ readings: ["crank-volts"], elapsed: ["rest"] });
  });

  it("asks whether a reading was taken before it uses it", () => {
    const text = '"crank-volts" in readings && readings["crank-volts"] < 9.6';
    expect(give(text, {})).toEqual(no);
    expect(give(text, { readings: [["crank-volts", 9]] })).toEqual(yes);
    expect(give("has(readings.crank_volts)", {})).toEqual(no);
  });

  it("looks for a trouble code in the list of codes", () => {
    const facts = [["codes", ["P0562", "P0480"]]] as const;
    expect(give('"P0562" in facts.codes', { facts })).toEqual(yes);
    expect(give('facts.codes.exists(c, c.startsWith("P04")) && size(facts.codes) == 2', { facts })).toEqual(
      yes,
    );
    expect(give('"P0562" in facts.codes', { facts: [["codes", []]] })).toEqual(no);
  });

  it("adds abs, min and max, and the formulas of the trade", () => {
    const known = { readings: [["rest", -3]] } as const;
    expect(give("abs(readings.rest)", known, "number")).toEqual({ ok: true, value: 3 });
    expect(give("max(readings.rest, 1.0, 2.0) + min(readings.rest, 1.0)", known, "number")).toEqual({
      ok: true,
      value: -1,
    });
    expect(give("parallel(4.0, 4.0)", {}, "number")).toEqual({ ok: true, value: 2 });
  });

  it("fails where a formula is asked outside its range, in a condition too", () => {
    const told = { ...failed, problem: { code: "argument-range", name: "battery_charge" } };
    expect(give("battery_charge(400.0, 20.0)", {}, "number")).toMatchObject(told);
    expect(give("battery_charge(400.0, 20.0) > 1.0", {})).toMatchObject(told);
  });

  it("gives a measured fact's number to a function", () => {
    const facts = [["battery-temperature", -18]] as const;
    expect(give("abs(facts.battery_temperature)", { facts }, "number")).toEqual({ ok: true, value: 18 });
  });

  it("says unknown-fact for a fact that is not known", () => {
    const text = 'facts.battery_type == "agm"';
    const unknown = { ok: false, why: "unknown-fact" };
    expect(give(text, {})).toEqual(unknown);
    expect(give(text, { facts: [["battery-type", { unknown: true }]] })).toEqual(unknown);
  });

  it("fails on a reading that was not taken and on what is no number", () => {
    expect(give("readings.rest > 1.0", {})).toEqual(failed);
    expect(give("readings.rest - readings.rest", { readings: [["rest", Infinity]] }, "number")).toEqual(
      failed,
    );
  });

  it("keeps over range as infinity", () => {
    expect(give("readings.rest > 1000000.0", { readings: [["rest", Infinity]] })).toEqual(yes);
    // OL against OL: less than any difference or more, nobody knows. Not "no", which would take the good arm.
    const open = {
      readings: [
        ["rest", Infinity],
        ["crank-volts", Infinity],
      ],
    } as const;
    for (const text of [
      "abs(readings.rest - readings.crank_volts) > 5.0",
      "readings.rest - readings.crank_volts <= 5.0",
      "!(readings.rest - readings.crank_volts > 5.0)",
      "readings.rest / readings.crank_volts != 1.0",
      "0.0 * readings.rest == 0.0",
      "max(readings.rest - readings.crank_volts, 1.0) >= 1.0",
      "(readings.rest > 1.0 ? readings.rest - readings.crank_volts : 0.0) < 5.0",
    ])
      expect(give(text, open)).toEqual(failed);
    expect(give("readings.rest - readings.crank_volts > 5.0 || readings.rest > 1.0", open)).toEqual(yes);
    expect(give("readings.rest == readings.crank_volts", open)).toEqual(yes);
  });

  it("keeps parentheses and long numbers as written", () => {
    expect(give("10.0 - (4.0 - 3.0)", {}, "number")).toEqual({ ok: true, value: 9 });
    expect(give("1.0 / (2.0 / 4.0)", {}, "number")).toEqual({ ok: true, value: 2 });
    expect(give("0.000000000125", {}, "number")).toEqual({ ok: true, value: 1.25e-10 });
  });

  it("takes names of the language's own for ordinary ids", () => {
    const readings = [
      ["__proto__", 1],
      ["constructor", 2],
      ["in", 3],
    ] as const;
    const text = 'readings["__proto__"] + readings["constructor"] + readings["in"]';
    expect(give(text, { readings }, "number")).toEqual({ ok: true, value: 6 });
    expect(give('"constructor" in readings || "__proto__" in readings', {})).toEqual(no);
    expect(give('facts.constructor == "x"', { facts: [["constructor", "x"]] })).toEqual(yes);
  });

  it("evaluates an expression that comes back from storage as plain data", () => {
    const stored = JSON.parse(JSON.stringify(sound('facts.battery_type == "agm"'))) as Expression;
    expect(evaluateExpression(stored, scene({ facts: [["battery-type", "agm"]] }))).toEqual(yes);
  });

  it("evaluates sums and comparisons as JavaScript does", () => {
    const number = fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 });
    fc.assert(
      fc.property(number, number, (a, b) => {
        const known = { readings: [["rest", a]], thisReading: b } as const;
        expect(give("readings.rest - (reading - readings.rest)", known, "number")).toEqual({
          ok: true,
          value: a - (b - a),
        });
        expect(give("readings.rest <= reading", known)).toEqual({ ok: true, value: a <= b });
      }),
    );
  });
});

describe("a wrong expression", () => {
  const params = (text: string, wants: ExpressionNames["wants"] = "bool") =>
    compile(text, wants).findings.map((finding) => ({ code: finding.code, ...finding.params }));

  it("is told the fact or step that was meant", () => {
    expect(params('facts["batery-type"] == "agm"')).toEqual([
      { code: "unknown-name", what: "fact", name: "batery-type", nearest: "battery-type" },
    ]);
    expect(params("readings.crank_vols > 1.0")).toMatchObject([{ what: "reading", nearest: "crank-volts" }]);
    expect(params('"crank-vols" in readings')).toMatchObject([{ nearest: "crank-volts" }]);
    expect(params("voltage > 1.0")).toMatchObject([{ code: "unknown-name", what: "name", name: "voltage" }]);
    expect(params("mox(1.0, 2.0) > 1.0")).toMatchObject([{ what: "function", nearest: "max" }]);
  });

  it("is told to write 2.0 for a whole number beside a reading", () => {
    expect(params("readings.rest * 2 > 1.0")).toMatchObject([{ reason: "whole-number", write: "2.0" }]);
    expect(params("readings.rest == 12")).toMatchObject([{ reason: "whole-number", write: "12.0" }]);
  });

  it("is told to write underscores for hyphens in a member", () => {
    expect(params("facts.battery-temperature > 20.0")).toMatchObject([
      { reason: "hyphen", write: "facts.battery_temperature" },
    ]);
  });

  it("has a reason for each way it can be wrong", () => {
    expect(params("readings.rest >")).toMatchObject([{ code: "bad-expression", reason: "syntax" }]);
    expect(params("facts.battery_type > 1.0")).toMatchObject([{ reason: "types" }]);
    expect(params("readings.rest")).toMatchObject([{ reason: "not-bool", detail: "double" }]);
    expect(params("facts.battery_type", "number")).toMatchObject([{ reason: "not-number" }]);
    expect(params("reading > 1.0")).toMatchObject([{ reason: "no-reading" }]);
  });

  it.each([
    ["facts.battery_type = 'agm'", { slip: "one-equals" }],
    ["facts.battery_type == “agm”", { slip: "print-quotes" }],
    ["facts.battery_type == 'agm' and readings.rest > 1.0", { slip: "words" }],
    ["readings.rest >", { slip: "cut-short" }],
    ["facts.battery_type == 'agm", { slip: "cut-short" }],
    ["(readings.rest > 1.0", { slip: "cut-short" }],
    [`${"(".repeat(5000)}1.0`, { slip: "too-long" }],
    ["facts.battery_type > 1.0", { slip: "apart", one: "string", operator: ">", other: "double" }],
  ])("of the usual ones is known for what it is: %s", (text, slip) => {
    expect(params(text)).toMatchObject([slip]);
  });

  it.each(["facts.battery_type == 'a = b and c' #", "readings.rest # 1.0"])(
    "is none of them where only a text holds it: %s",
    (text) => {
      expect(params(text)[0]).not.toHaveProperty("slip");
    },
  );

  it.each([
    ["facts.battery_type == 'agn' || readings.rest > 1.0", [["agn", "agm"]]],
    ["!('agn' != facts['battery-type'])", [["agn", "agm"]]],
    [
      "facts.battery_type in ['agm', 'gel'] ? true : facts.battery_type == 'floded'",
      [
        ["gel", undefined],
        ["floded", "flooded"],
      ],
    ],
    ["facts.battery_type == 'flooded' && 'P0' in facts.codes && facts.constructor == 'x'", []],
  ])("is warned of a choice that its fact has not: %s", (text, missed) => {
    const { expression, findings } = compile(text);
    expect(expression).toBeDefined();
    expect(
      findings.map(({ severity, params }) => [severity, params.what, params.name, params.nearest]),
    ).toEqual(missed.map(([name, close]) => ["warning", "choice", name, close]));
  });

  it("can't run a pattern, since one can be made to run for minutes", () => {
    expect(params('facts.battery_type.matches("(a+)+$")')).toMatchObject([
      { what: "function", name: "matches" },
    ]);
  });

  it("never throws, whatever the text", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 40 }), (text) => {
        const { expression, findings } = compile(text);
        expect(expression === undefined).toBe(findings.length > 0);
      }),
    );
  });

  it("never throws on a deep or long text", () => {
    expect(params(`${"(".repeat(5000)}1.0${")".repeat(5000)}`)).toMatchObject([{ reason: "syntax" }]);
    expect(params(Array.from({ length: 5000 }, () => "1.0").join(" + "), "number")).toHaveLength(1);
  });
});

describe("readings used without asking whether they were taken", () => {
  const unguarded = (text: string) => unguardedReadings(sound(text));

  it("are those outside any guard", () => {
    expect(unguarded("readings.rest > 1.0")).toEqual(["rest"]);
    expect(unguarded('"rest" in readings || readings.rest > 1.0')).toEqual(["rest"]);
    expect(unguarded('"rest" in readings && readings.crank_volts > 1.0')).toEqual(["crank-volts"]);
  });

  it("are guarded by and, or's other side, a choice and a negation", () => {
    expect(unguarded('"rest" in readings && readings["rest"] > 1.0')).toEqual([]);
    expect(unguarded('readings["rest"] > 1.0 && "rest" in readings')).toEqual([]);
    expect(unguarded('!("rest" in readings) || readings["rest"] > 1.0')).toEqual([]);
    expect(unguarded('"rest" in readings ? readings["rest"] > 1.0 : false')).toEqual([]);
    expect(unguarded('!("rest" in readings) ? readings["rest"] > 1.0 : false')).toEqual(["rest"]);
  });

  it("are matched whether written as member or by index", () => {
    expect(unguarded('"crank-volts" in readings && readings.crank_volts > 1.0')).toEqual([]);
  });

  it("fail when left out of the scene, and the guarded ones never do", () => {
    const texts = [
      '"rest" in readings && readings.rest > 1.0',
      '!("rest" in readings) || readings.rest > 1.0',
      'readings.rest > 1.0 && "rest" in readings',
      "readings.rest > 1.0",
      '"rest" in readings || readings.rest > 1.0',
    ];
    for (const text of texts) expect(give(text, {}).ok, text).toBe(unguarded(text).length === 0);
  });
});
