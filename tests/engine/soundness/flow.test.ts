import { describe, expect, it } from "vitest";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { reachesFixed } from "../../../engine/procedure/reaches-fixed.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { act, ask, build, call, conclude, end, fact, measure, type Way } from "./build-procedure.ts";

function found(procedure: Procedure, code: string) {
  return checkProcedure(procedure).filter((finding) => finding.code === code);
}

function rows(witness: readonly { step: string; outcome: string; reading?: string }[] | undefined) {
  return witness?.map((row) => `${row.step} ${row.reading ?? row.outcome}`);
}

const ENDS = [end("refer", "referred"), end("mended", "fixed")];

describe("unreachable-step", () => {
  it("names a step that nothing leads to, and nothing else", () => {
    const procedure = build([
      ask("a", { yes: "refer", no: "refer" }),
      act("lost", "refer"),
      end("refer", "referred"),
    ]);
    expect(found(procedure, "unreachable-step").map((each) => each.step)).toEqual(["lost"]);
  });

  it("knows a step behind a condition that no fact allows", () => {
    const way: Way = {
      arms: [
        [{ text: 'facts.fuel == "steam"', facts: ["fuel"] }, "lost"],
        [undefined, "refer"],
      ],
    };
    const procedure = build(
      [act("a", way, { facts: ["fuel"] }), act("lost", "refer"), end("refer", "referred")],
      {
        facts: [fact("fuel", ["diesel", "petrol"])],
      },
    );
    expect(found(procedure, "unreachable-step").map((each) => each.step)).toEqual(["lost"]);
    expect(found(procedure, "impossible-branch")).toMatchObject([{ params: { goto: "lost" } }]);
  });

  it("does not ask for the ends that nobody wrote", () => {
    expect(found(build([end("refer", "referred")]), "unreachable-step")).toEqual([]);
  });

  it("takes ids such as __proto__ and constructor for ordinary", () => {
    const procedure = build([ask("__proto__", { constructor: "toString" }), end("toString", "referred")]);
    expect(checkProcedure(procedure).filter((each) => each.severity === "error")).toEqual([]);
  });
});

describe("dead-end", () => {
  it("names the step where the way stops, with the way to it", () => {
    const procedure = build([act("a", "b"), ask("b", {}), end("refer", "referred")]);
    expect(found(procedure, "dead-end")).toMatchObject([
      { step: "b", witness: [{ step: "a", outcome: "done" }] },
    ]);
  });

  it("names a circle that no end is reached from", () => {
    const procedure = build([act("a", "b"), act("b", "c"), act("c", "b")]);
    expect(found(procedure, "dead-end")).toHaveLength(1);
  });

  it("names a loop that leads nowhere once it is used up, and goes round until it is", () => {
    const procedure = build([
      ask("a", { again: { goto: "a", atMost: 2 }, good: "refer" }),
      end("refer", "referred"),
    ]);
    const [finding, ...more] = found(procedure, "dead-end");
    expect(more).toEqual([]);
    expect(finding?.params).toMatchObject({ outcome: "again", atMost: 2 });
    expect(rows(finding?.witness)).toEqual(["a again", "a again", "a again"]);
  });

  it("names such a loop among more rounds than can be looked at, and says what it did not look at", () => {
    // Each of ten steps is asked up to five times again: 6^10 ways of having counted.
    const ring = Array.from({ length: 10 }, (_, at) => {
      const next = at === 9 ? "last" : `s${at + 1}`;
      return ask(`s${at}`, { ok: next, again: { goto: `s${at}`, atMost: 5, else: next } });
    });
    const last = (back: Way) =>
      found(build([...ring, ask("last", { good: "refer", back }), end("refer", "referred")]), "dead-end");
    expect(last({ goto: "s0", atMost: 2, else: "refer" })).toEqual([]);
    const [used, ...more] = last({ goto: "s0", atMost: 2 });
    expect(more).toEqual([]);
    expect(used).toMatchObject({ severity: "error", params: { step: "last", outcome: "back", atMost: 2 } });
    expect(rows(used?.witness)?.filter((row) => row === "last back")).toHaveLength(3);
    expect(last({ goto: "s0", atMost: 1_000 })).toMatchObject([{ severity: "error" }]);

    const twice = build([
      ...ring,
      ask("last", { good: "refer", back: { goto: "more", atMost: 3 } }),
      ask("more", { on: { goto: "s0", atMost: 2, else: "refer" } }),
      end("refer", "referred"),
    ]);
    expect(found(twice, "dead-end")).toMatchObject([
      { severity: "note", params: { step: "last", why: "not-proven" } },
    ]);
    expect(found(twice, "unreachable-step")).toMatchObject([
      { severity: "note", params: { why: "not-proven" } },
    ]);
  });

  it("does not mind a used-up borderline, which takes the band that the value picks", () => {
    const procedure = build([
      measure(
        "m",
        { low: ["under 1 V", "refer"], high: ["from 1 V", "refer"] },
        { borderline: { goto: "m", atMost: 2 } },
      ),
      end("refer", "referred"),
    ]);
    expect(found(procedure, "dead-end")).toEqual([]);
  });
});

describe("endless-loop", () => {
  it.each<[string, Way, number]>([
    ["a branch without a bound", "a", 1],
    ["a bounded branch", { goto: "a", atMost: 2, else: "refer" }, 0],
    ["a bounded branch that goes round again when used up", { goto: "a", atMost: 2, else: "a" }, 1],
  ])("looks at a way back by %s", (_, way, count) => {
    const procedure = build([
      act("s", "a"),
      act("a", "b"),
      ask("b", { no: way, yes: "refer" }),
      end("refer", "referred"),
    ]);
    const findings = found(procedure, "endless-loop");
    expect(findings).toHaveLength(count);
    if (count > 0) {
      expect(findings[0]).toMatchObject({ step: "b", params: { outcome: "no", to: "a", steps: 2 } });
      expect(rows(findings[0]?.witness)?.slice(0, 3)).toEqual([
        "s done",
        "a done",
        ...(typeof way === "string" ? ["b no"] : ["b no"]),
      ]);
    }
  });

  it("counts the way back of a failed verification", () => {
    const steps = (way: Way) => [
      ask("look", { bad: "bad", good: "refer" }),
      conclude("bad", "f", { verify: "again" }),
      ask("again", { yes: "mended", no: way }),
      ...ENDS,
    ];
    expect(found(build(steps("look"), { faults: { f: 1 } }), "endless-loop")).toMatchObject([
      { step: "again", witness: [{ step: "look" }, { step: "bad" }, { step: "again", outcome: "no" }] },
    ]);
    expect(
      found(build(steps({ goto: "look", atMost: 1, else: "refer" }), { faults: { f: 1 } }), "endless-loop"),
    ).toEqual([]);
  });

  it("counts a borderline that measures again without a bound", () => {
    const procedure = build([
      measure("m", { low: ["under 1 V", "refer"], high: ["from 1 V", "refer"] }, { borderline: "m" }),
      end("refer", "referred"),
    ]);
    expect(found(procedure, "endless-loop")).toMatchObject([
      { step: "m", witness: [{ step: "m", outcome: "borderline", reading: "1 V" }] },
    ]);
  });

  it("goes through a call and back", () => {
    const procedure = build([
      call("c", "c/look", { "no-fault-found": "c" }),
      { ...ask("c/look", { ok: "c/none" }), scope: "c/" },
      { ...end("c/none", "no-fault-found", "c"), scope: "c/" },
      ...ENDS,
    ]);
    expect(found(procedure, "endless-loop")).toMatchObject([
      {
        step: "c",
        witness: [
          { step: "c/look", outcome: "ok" },
          { step: "c", outcome: "no-fault-found" },
        ],
      },
    ]);
  });
});

describe("no-verification", () => {
  const faults = { f: 1 };
  it.each([
    ["an end straight after an answer", [ask("a", { yes: "mended", no: "refer" }), ...ENDS], "not-repaired"],
    [
      "a repair that goes straight to the end",
      [ask("a", { yes: "bad", no: "refer" }), conclude("bad", "f", { verify: "mended" }), ...ENDS],
      "not-looked",
    ],
    [
      "a verification that only does something",
      [
        ask("a", { yes: "bad", no: "refer" }),
        conclude("bad", "f", { verify: "clear" }),
        act("clear", "mended"),
        ...ENDS,
      ],
      "not-looked",
    ],
    [
      "a verification with one answer only",
      [
        ask("a", { yes: "bad", no: "refer" }),
        conclude("bad", "f", { verify: "again" }),
        ask("again", { yes: "mended" }),
        ...ENDS,
      ],
      "not-looked",
    ],
    [
      "a verification that can be passed over",
      [
        ask("a", { yes: "bad", no: "refer" }),
        conclude("bad", "f", { verify: "again" }),
        ask("again", { yes: "mended", no: "refer" }, { cannot: "mended" }),
        ...ENDS,
      ],
      "not-looked",
    ],
    [
      "a reading too close to call that counts as one",
      [
        ask("a", { yes: "bad", no: "refer" }),
        conclude("bad", "f", { verify: "again" }),
        measure(
          "again",
          { low: ["under 12 V", "refer"], high: ["from 12 V", "refer"] },
          { borderline: "mended", instrument: "meter" },
        ),
        ...ENDS,
      ],
      "not-looked",
    ],
  ])("catches %s", (_, steps, why) => {
    expect(found(build(steps, { faults }), "no-verification")).toMatchObject([
      { step: "mended", params: { why } },
    ]);
  });

  it("is content with an answer after the repair", () => {
    const procedure = build(
      [
        ask("a", { yes: "bad", no: "refer" }),
        conclude("bad", "f", { verify: "clear" }),
        act("clear", "again"),
        ask("again", { yes: "mended", no: "refer" }),
        ...ENDS,
      ],
      { faults },
    );
    expect(found(procedure, "no-verification")).toEqual([]);
  });
});

describe("a verification that leads to no fixed end", () => {
  const parts = { faults: { f: 1, g: 1 } };
  const steps = (verify: string) => [
    ask("a", { yes: "bad", no: "b" }),
    conclude("bad", "f", { verify }),
    ask("b", { yes: "worse", no: "refer" }),
    conclude("worse", "g", { verify: "again" }),
    ask("again", { yes: "mended", no: "refer" }),
    ask("set", { yes: "refer", no: "refer" }),
    ...ENDS,
  ];

  it("is told where the search goes on whatever is answered, with the way to it", () => {
    expect(found(build(steps("b"), parts), "no-verification")).toMatchObject([
      {
        step: "bad",
        severity: "error",
        params: { verify: "b", why: "never-holds" },
        witness: [{ outcome: "yes" }, { step: "bad", outcome: "repaired" }],
      },
    ]);
  });

  it.each(["again", "set", "refer"])("is let be where it can end the job only: at %s", (verify) => {
    expect(found(build(steps(verify), parts), "no-verification")).toEqual([]);
  });
});

describe("the steps that reach a fixed end", () => {
  it("do not pass another conclusion", () => {
    const procedure = build([
      ask("a", { yes: "bad", no: "refer" }),
      conclude("bad", "f", { verify: "again" }),
      ask("again", { yes: "mended", no: "a" }),
      ...ENDS,
    ]);
    expect([...reachesFixed(procedure)].sort()).toEqual(["again", "mended"]);
  });

  it("lead through calls and their returns", () => {
    const procedure = build([
      call("c", "c/look", { "no-fault-found": "mended", referred: "refer" }),
      { ...ask("c/look", { ok: "c/none", bad: "c/refer" }), scope: "c/" },
      { ...end("c/none", "no-fault-found", "c"), scope: "c/" },
      { ...end("c/refer", "referred", "c"), scope: "c/" },
      ...ENDS,
    ]);
    expect([...reachesFixed(procedure)].sort()).toEqual(["c", "c/look", "c/none", "mended"]);
  });
});

describe("reading-not-taken", () => {
  const uses = (text: string, more: { readings?: string[]; elapsed?: string[] }) => [
    ask("a", { yes: "m", no: "b" }),
    measure("m", { low: ["under 1 V", "b"], high: ["from 1 V", "b"] }),
    act("b", {
      arms: [
        [{ text, ...more }, "refer"],
        [undefined, "end2"],
      ],
    }),
    end("refer", "referred"),
    end("end2", "referred"),
  ];

  it("names a reading that some way does not take", () => {
    expect(found(build(uses("readings.m > 1.0", { readings: ["m"] })), "reading-not-taken")).toMatchObject([
      { step: "b", params: { name: "m", what: "reading" } },
    ]);
  });

  it("lets a use pass that asks first", () => {
    expect(
      found(build(uses('"m" in readings && readings.m > 1.0', { readings: ["m"] })), "reading-not-taken"),
    ).toEqual([]);
  });

  it("lets a use pass that every way has taken", () => {
    const procedure = build([
      measure("m", { low: ["under 1 V", "b"], high: ["from 1 V", "b"] }),
      act("b", {
        arms: [
          [{ text: "readings.m > 1.0", readings: ["m"] }, "refer"],
          [undefined, "refer"],
        ],
      }),
      end("refer", "referred"),
    ]);
    expect(found(procedure, "reading-not-taken")).toEqual([]);
  });

  it("knows that cannot takes no reading", () => {
    const procedure = build([
      measure("m", { low: ["under 1 V", "b"], high: ["from 1 V", "b"] }, { cannot: "b" }),
      act("b", {
        arms: [
          [{ text: "readings.m > 1.0", readings: ["m"] }, "refer"],
          [undefined, "refer"],
        ],
      }),
      end("refer", "referred"),
    ]);
    expect(found(procedure, "reading-not-taken")).toHaveLength(1);
  });

  it("asks the same of the time since a step", () => {
    expect(found(build(uses("elapsed.m > 1.0", { elapsed: ["m"] })), "reading-not-taken")).toMatchObject([
      { params: { name: "m", what: "elapsed" } },
    ]);
    expect(found(build(uses("elapsed.a > 1.0", { elapsed: ["a"] })), "reading-not-taken")).toEqual([]);
  });

  it.each([
    ["lamp", '"lit"', "lit"],
    ["plug-reading", '"high"', "high"],
    ["lamp", '"reading"', "reading"],
  ])("follows what is chosen for %s along the way, whatever words its names hold", (id, text, choice) => {
    const asks = { text: `facts["${id}"] == ${text}`, facts: [id] };
    const other = { text: `facts["${id}"] != ${text}`, facts: [id] };
    const procedure = (again: typeof asks) =>
      build(
        [
          ask("a", {
            ok: {
              arms: [
                [asks, "m"],
                [undefined, "b"],
              ],
            },
          }),
          measure("m", { any: ["", "b"] }),
          act("b", {
            arms: [
              [again, "c"],
              [undefined, "refer"],
            ],
          }),
          act("c", {
            arms: [
              [{ text: "readings.m > 1.0", readings: ["m"] }, "refer"],
              [undefined, "refer"],
            ],
          }),
          end("refer", "referred"),
        ],
        { facts: [fact(id, [choice, "else"])] },
      );
    expect(found(procedure(asks), "reading-not-taken")).toEqual([]);
    expect(found(procedure(other), "reading-not-taken")).toMatchObject([{ step: "c" }]);
  });

  it("counts bounded branches on the way", () => {
    const procedure = build([
      ask("a", { ok: { goto: "m", atMost: 1, else: "b" } }),
      measure("m", { any: ["", "a"] }),
      ...uses("readings.m > 1.0", { readings: ["m"] }).slice(2),
    ]);
    expect(found(procedure, "reading-not-taken")).toEqual([]);
  });

  it("lets a use pass where an earlier arm, or the way to it, asked whether it was taken", () => {
    const missing = { text: '!("m" in readings)', readings: ["m"] };
    const use = { text: "readings.m > 1.0", readings: ["m"] };
    const procedure = (first: typeof missing & { facts?: string[] }) =>
      build(
        [
          ask("a", { yes: "m", no: "b" }),
          measure("m", { any: ["", "b"] }),
          act("b", {
            arms: [
              [first, "refer"],
              [use, "refer"],
              [undefined, "c"],
            ],
          }),
          act("c", {
            arms: [
              [use, "refer"],
              [undefined, "refer"],
            ],
          }),
          end("refer", "referred"),
        ],
        { facts: [fact("lamp", ["lit"])] },
      );
    expect(found(procedure(missing), "reading-not-taken")).toEqual([]);
    // With the lamp not known the last arm is taken, and nothing was asked.
    const unsure = { ...missing, text: `${missing.text} || facts.lamp == "lit"`, facts: ["lamp"] };
    expect(found(procedure(unsure), "reading-not-taken")).toMatchObject([{ step: "c" }]);
  });
});
