import { describe, expect, it } from "vitest";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Fact, Procedure, Step } from "../../../engine/procedure/model.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import {
  act,
  ask,
  build,
  call,
  caution,
  conclude,
  end,
  fact,
  measure,
  repair,
  setUp,
} from "./build-procedure.ts";

function found(procedure: Procedure, code: string) {
  return checkProcedure(procedure).filter((finding) => finding.code === code);
}

const REFER = end("refer", "referred");
const CAUTIONS = [caution("scald", ["hot"]), caution("fingers", ["rotating"])];

const covered = [caution("licensed", ["electric-high", "airbag"])];

describe("missing-caution", () => {
  it("names a step's hazard that no caution of its covers", () => {
    const steps = (cautions: string[]) => [
      act("first", "a"),
      act("a", "refer", { hazards: ["hot"], cautions }),
      REFER,
    ];
    expect(found(build(steps(["fingers"]), { cautions: CAUTIONS }), "missing-caution")).toMatchObject([
      { step: "a", params: { hazard: "hot" }, witness: [{ step: "first" }] },
    ]);
    expect(found(build(steps(["scald"]), { cautions: CAUTIONS }), "missing-caution")).toEqual([]);
  });

  it("takes the cautions of the set-ups that a step works in", () => {
    const steps = [act("a", "refer", { hazards: ["hot"], needs: ["cap-off"] }), REFER];
    const withCaution = [setUp("cap-off", { cautions: ["scald"], hazards: ["hot"] })];
    expect(found(build(steps, { cautions: CAUTIONS, setUps: withCaution }), "missing-caution")).toEqual([]);
    const without = [setUp("cap-off", { hazards: ["hot"] })];
    expect(
      found(build(steps, { cautions: CAUTIONS, setUps: without }), "missing-caution").map(
        (each) => each.params.what,
      ),
    ).toEqual(["a", "cap-off"]);
  });

  it("looks at the putting back of a set-up", () => {
    const steps = [act("a", "refer", { needs: ["cap-off"] }), REFER];
    const back = (cautions: string[]) =>
      build(steps, {
        cautions: CAUTIONS,
        setUps: [setUp("cap-off", { putBack: { do: "On.", minutes: 1, cautions, hazards: ["hot"] } })],
      });
    expect(found(back([]), "missing-caution")).toMatchObject([
      { node: { path: ["set-ups", "cap-off", "put-back"] }, params: { hazard: "hot" } },
    ]);
    expect(found(back(["scald"]), "missing-caution")).toEqual([]);
  });

  it("looks at the acts of a repair", () => {
    const acts = [{ say: "Turn it.", cautions: [], hazards: ["rotating" as const] }];
    const steps = [
      conclude("bad", "f", { verify: "again", repairs: ["fit"] }),
      ask("again", { yes: "refer" }),
      REFER,
    ];
    const one = build(steps, {
      cautions: CAUTIONS,
      repairs: [repair("fit", { do: acts })],
      faults: { f: 1 },
    });
    expect(found(one, "missing-caution")).toMatchObject([
      { params: { what: "fit", hazard: "rotating" }, node: { path: ["repairs", "fit", "do", 0] } },
    ]);
    const covered = repair("fit", { do: acts, cautions: ["fingers"] });
    expect(
      found(build(steps, { cautions: CAUTIONS, repairs: [covered], faults: { f: 1 } }), "missing-caution"),
    ).toEqual([]);
  });

  it("wants a hazard of the equipment covered before the first work on every way", () => {
    const steps = (where: "ask" | "one" | "none") => [
      ask("a", { yes: "b", no: "c" }, { cautions: where === "ask" ? ["scald"] : [] }),
      act("b", "refer", { cautions: where === "one" ? ["scald"] : [] }),
      act("c", "refer"),
      REFER,
    ];
    const of = (where: "ask" | "one" | "none") =>
      found(build(steps(where), { cautions: CAUTIONS, hazards: ["hot"] }), "missing-caution").map(
        (each) => each.step,
      );
    expect(of("ask")).toEqual([]);
    expect(of("one")).toEqual(["c"]);
    expect(of("none")).toEqual(["b"]);
  });

  it("counts a set-up of a question as work, before which the step's own cautions do not come", () => {
    const of = (step: string[], own: string[]) =>
      found(
        build([ask("a", { yes: "refer" }, { needs: ["b-off"], cautions: step }), REFER], {
          cautions: CAUTIONS,
          hazards: ["rotating"],
          setUps: [setUp("a-off", { cautions: own }), setUp("b-off", { needs: ["a-off"] })],
        }),
        "missing-caution",
      ).map((each) => [each.step, each.params.setUp]);
    expect(of([], [])).toEqual([["a", "a-off"]]);
    expect(of(["fingers"], [])).toEqual([["a", "a-off"]]);
    expect(of([], ["fingers"])).toEqual([]);
  });

  it("counts no caution of a step that could not be done: that can be said before it was acknowledged", () => {
    const of = (after: string[]) =>
      found(
        build(
          [
            ask("a", { yes: "b" }, { cautions: ["scald"], cannot: "c" }),
            act("b", "refer"),
            act("c", "refer", { cautions: after }),
            REFER,
          ],
          { cautions: CAUTIONS, hazards: ["hot"] },
        ),
        "missing-caution",
      ).map((each) => [each.step, each.witness?.map(({ outcome }) => outcome)]);
    expect(of([])).toEqual([["c", ["cannot"]]]);
    expect(of(["scald"])).toEqual([]);
  });

  it("counts a fact that is measured as work, behind the cautions of its step but before those of its set-ups", () => {
    const of = (
      own: string[],
      more: Partial<Fact> = { measure: { quantity: "temperature", unit: "degC" } },
    ) =>
      found(
        build([ask("a", { yes: "refer" }, { needs: ["lid-off"], cautions: own, facts: ["heat"] }), REFER], {
          cautions: CAUTIONS,
          hazards: ["hot"],
          facts: [fact("heat", [], more)],
          setUps: [setUp("lid-off", { cautions: ["scald"] })],
        }),
        "missing-caution",
      ).map(({ params }) => params.fact);
    expect(of([])).toEqual(["heat"]);
    expect(of(["scald"])).toEqual([]);
    expect(of([], { measure: { quantity: "temperature", unit: "degC" }, given: 20 })).toEqual([]);
    expect(of([], { choices: [{ id: "high", label: "High" }] })).toEqual([]);
  });

  it("asks for what a called procedure's machine does only before the work inside the call", () => {
    const of = (cautions: string[]) =>
      found(
        build(
          [
            act("before", "sub"),
            { ...call("sub", "sub/see", {}), brings: ["hot"] } as Step,
            ask("sub/see", { ok: "sub/work" }, { scope: "sub/", cautions }),
            act("sub/work", "sub/again", { scope: "sub/" }),
            act("sub/again", "refer", { scope: "sub/" }),
            REFER,
          ],
          { cautions: CAUTIONS },
        ),
        "missing-caution",
      ).map((each) => each.step);
    expect(of([])).toEqual(["sub/work"]);
    expect(of(["scald"])).toEqual([]);
  });

  it("does not take a caution of putting back for one before the work", () => {
    const setUps = [setUp("guard-off", { putBack: { do: "On.", minutes: 1, cautions: ["fingers"] } })];
    const steps = [act("a", "refer", { needs: ["guard-off"] }), REFER];
    const one = build(steps, { cautions: CAUTIONS, hazards: ["rotating"], setUps });
    expect(found(one, "missing-caution").map((each) => each.step)).toEqual(["a"]);
  });

  it("shows a way on which the caution is missing, though a shorter one has it", () => {
    const steps = [
      ask("a", { one: "warned", two: "b" }),
      ask("warned", { ok: "work" }, { cautions: ["fingers"] }),
      ask("b", { ok: "c" }),
      ask("c", { ok: "work" }),
      act("work", "refer"),
      REFER,
    ];
    const one = build(steps, { cautions: CAUTIONS, hazards: ["rotating"] });
    expect(found(one, "missing-caution").map((each) => each.witness?.map(({ step }) => step))).toEqual([
      ["a", "b", "c"],
    ]);
  });
});

describe("the hazards of a called machine", () => {
  const inner = `procedure: inner
title: Inner
revision: 1
complaint: It rattles.
hazards: [rotating]
cautions:
  spins: { signal: warning, hazard: It spins., consequence: It cuts., avoid: Keep away., covers: [rotating] }
set-ups:
  shield: { do: Take the shield off., minutes: 3, put-back: { do: Refit the shield., minutes: 2 } }
faults:
  worn: { title: Worn, prior: 3 }
  other: { title: Something else, prior: 1 }
start: first
steps:
  first:
    ask: With the shield on, does it rattle?
    without: [shield]
    answers: { "yes": { goto: worn-bad }, "no": { goto: ok } }
    evidence: { worn: { "yes": 0.99 }, otherwise: { "no": 0.99 } }
  worn-bad: { conclude: worn, goto: refer, cautions: [spins] }
  ok: { end: no-fault-found }
  refer: { end: referred }
`;
  const outer = (needs: string) => `procedure: outer
title: Outer
revision: 1
complaint: It rattles.
set-ups:
  shield-off: { do: Take the shield off., minutes: 3, put-back: { do: Refit the shield., minutes: 2 } }
faults:
  other: { title: Something else, prior: 1 }
start: look
steps:
  look:
    ask: Is it dry?${needs}
    answers: { "yes": { goto: sub }, "no": { goto: refer } }
  sub:
    call: inner
    set-ups: { shield: shield-off }
    returns: { fault-found: { goto: refer }, no-fault-found: { goto: refer } }
  refer: { end: referred }
`;
  const unwarned = (needs: string) => {
    const texts = { procedure: () => inner, equipment: () => undefined };
    const { procedure } = loadProcedure(outer(needs), "outer.yaml", texts);
    if (procedure === undefined) throw new Error("the procedure has errors");
    return found(procedure, "missing-caution").map(({ step }) => step);
  };

  it("need a caution before a set-up from outside the call is put back there", () => {
    expect(unwarned("\n    needs: [shield-off]")).toEqual(["sub/first"]);
  });

  it("need none where nobody has made that set-up", () => {
    expect(unwarned("")).toEqual([]);
  });
});

describe("hazard-not-referred", () => {
  it("counts what putting a set-up back meets", () => {
    const setUps = [
      setUp("wheel-off", { putBack: { do: "On.", minutes: 1, cautions: ["licensed"], hazards: ["airbag"] } }),
    ];
    const of = (word: "referred" | "no-fault-found") =>
      found(
        build([act("a", "z", { needs: ["wheel-off"] }), end("z", word)], { cautions: covered, setUps }),
        "hazard-not-referred",
      ).map((each) => [each.step, each.params.hazard]);
    expect(of("no-fault-found")).toEqual([["a", "airbag"]]);
    expect(of("referred")).toEqual([]);
  });

  it("lets a written cannot end as unresolved, and nothing else", () => {
    const of = (steps: Parameters<typeof build>[0]) =>
      found(build(steps, { cautions: covered }), "hazard-not-referred").map((each) => each.params.end);
    const meets = { hazards: ["electric-high" as const], cautions: ["licensed"] };
    const given = end("given-up", "unresolved");
    expect(of([ask("a", { yes: "refer" }, { ...meets, cannot: "given-up" }), REFER, given])).toEqual([]);
    expect(of([ask("a", { yes: "refer", no: "given-up" }, meets), REFER, given])).toEqual(["given-up"]);
    const none = end("none", "no-fault-found");
    expect(of([ask("a", { yes: "refer" }, { ...meets, cannot: "none" }), REFER, none])).toEqual(["none"]);
  });

  it("lets a run that met high voltage only be referred", () => {
    const steps = (to: string) => [
      act("a", to, { hazards: ["electric-high"], cautions: ["licensed"] }),
      REFER,
      end("none", "no-fault-found"),
    ];
    expect(found(build(steps("refer"), { cautions: covered }), "hazard-not-referred")).toEqual([]);
    expect(found(build(steps("none"), { cautions: covered }), "hazard-not-referred")).toMatchObject([
      {
        step: "a",
        params: { hazard: "electric-high", end: "none" },
        witness: [{ step: "a", outcome: "done" }],
      },
    ]);
  });
});

describe("set-up-conflict", () => {
  const setUps = [
    setUp("shield-off"),
    setUp("plug-apart", { needs: ["shield-off"] }),
    setUp("key-on", { without: ["plug-apart"] }),
  ];
  it.each([
    // The same name in both is told by the linker, where it stands.
    [{ needs: ["plug-apart"], without: ["plug-apart"] }, 0],
    [{ needs: ["plug-apart"], without: ["shield-off"] }, 1],
    [{ needs: ["plug-apart", "key-on"], without: [] }, 1],
    [{ needs: ["shield-off"], without: ["plug-apart"] }, 0],
    [{ needs: ["key-on"], without: [] }, 0],
  ])("%j has %i", (wants, count) => {
    expect(found(build([act("a", "refer", wants), REFER], { setUps }), "set-up-conflict")).toHaveLength(
      count,
    );
  });

  it("is a set-up that needs what must be without it", () => {
    const against = [
      setUp("x", { needs: ["y"] }),
      setUp("y", { needs: ["z"] }),
      setUp("z", { without: ["x"] }),
    ];
    expect(found(build([REFER], { setUps: against }), "set-up-conflict").map(({ params }) => params)).toEqual(
      [{ setUp: "x", by: "z" }],
    );
  });

  it("is a set-up that needs itself", () => {
    const round = [setUp("x", { needs: ["y"] }), setUp("y", { needs: ["x"] })];
    expect(found(build([REFER], { setUps: round }), "set-up-conflict")).toHaveLength(2);
  });
});

describe("set-up-not-put-back", () => {
  it.each([
    [["drained"], 1],
    [[], 0],
  ])("warns of a step without what nothing says how to undo, where it is made: %j", (needs, count) => {
    const { putBack: _, ...drained } = setUp("drained");
    const steps = [act("s0", "s1", { needs }), act("s1", "refer", { without: ["drained"] }), REFER];
    const told = found(build(steps, { setUps: [drained] }), "set-up-not-put-back");
    expect(told.map(({ severity, step }) => [severity, step])).toEqual(
      Array.from({ length: count }, () => ["warning", "s1"]),
    );
  });
});

describe("set-up-made-again", () => {
  const setUps = [setUp("lifted", { without: ["running"] }), setUp("running")];
  const steps = (...needs: string[]) => [
    ...needs.map((id, index) => act(`s${index}`, `s${index + 1}`, { needs: [id] })),
    act(`s${needs.length}`, "refer"),
    REFER,
  ];

  it.each([
    [["lifted", "running", "lifted"], "lifted"],
    [["running", "lifted", "running"], "running"],
  ])("of two that exclude each other, %j makes %s twice, whichever says so", (needs, twice) => {
    const told = found(build(steps(...needs), { setUps }), "set-up-made-again");
    expect(told.map(({ step, params }) => [step, params.setUp])).toEqual([["s2", twice]]);
  });

  it("counts what the repairs of a conclusion need", () => {
    const all = [
      ...steps("lifted", "running").slice(0, 2),
      conclude("s2", "f", { verify: "again", repairs: ["fit"] }),
      ask("again", { yes: "fixed", no: "refer" }),
      end("fixed", "fixed"),
      REFER,
    ];
    const repairs = [repair("fit", { needs: ["lifted"] })];
    const told = found(build(all, { setUps, repairs, faults: { f: 1 } }), "set-up-made-again");
    expect(told.map(({ step }) => step)).toEqual(["s2"]);
  });
});

describe("instrument-too-coarse", () => {
  const instruments = new Map([
    [
      "meter",
      {
        id: "meter",
        title: "Meter",
        accuracy: new Map([
          [
            "voltage" as const,
            [{ reading: 0, fullScale: 0, counts: 3, resolution: { value: 0.1, unit: "V" } }],
          ],
        ]),
        node: { file: "test.yaml", path: ["instruments", "meter"] },
      },
    ],
  ]);
  // u = 3 counts × 0.1 V / √3 = 0.173 V, twice that 0.346 V.
  it.each([
    ["0.3 V", 1],
    ["0.4 V", 0],
  ])("looks at a band of 0 V to %s", (high, count) => {
    const step = measure(
      "m",
      { low: ["under 0 V", "refer"], mid: [`from 0 V, to ${high}`, "refer"], top: [`over ${high}`, "refer"] },
      { instrument: "meter" },
    );
    expect(found(build([step, REFER], { instruments }), "instrument-too-coarse")).toHaveLength(count);
  });
});
