import { describe, expect, it } from "vitest";
import { usable } from "../../../engine/procedure/load.ts";
import { placeFinding } from "../../../engine/procedure/wording.ts";
import { CONNECTOR, fanText, load, sound, stepOf, told, waysOf } from "./fan-text.ts";

const procedure = sound(fanText());

/** The fan with one step more, that `hot` leads to. */
function withStep(step: string, more: Readonly<Record<string, string>> = {}) {
  const steps = `
  hot: { ask: Is it hot?, answers: { "yes": { goto: feed }, "no": { goto: referred } } }
  feed: ${step}
  after: { do: Wait., done: { goto: referred } }
  referred: { end: referred }`;
  return load(fanText({ steps, ...more }));
}

describe("a value reckoned at a step", () => {
  const reckoned = (value: string) =>
    withStep(
      `{ measure: voltage, unit: V, goto: lost }
  lost: { measure: voltage, unit: V, value: "${value}", bands: { any: { goto: after } } }`,
    );

  it("is of the reading taken there: one that leaves it out is a warning", () => {
    expect(told(reckoned("readings.feed - reading"))).toEqual([]);
    const loaded = reckoned("readings.feed - 1.0");
    expect(told(loaded)).toEqual([
      "bad-expression steps.lost.value text=readings.feed - 1.0 reason=unused-reading step=lost",
    ]);
    expect(usable(loaded.findings)).toBe(true);
  });
});

describe("a choice that a condition names", () => {
  const facts = "\n  kind: { ask: Which fan?, choices: { belt-fan: Belt, motor-fan: Motor } }";
  const asked = (choice: string) =>
    withStep(
      `{ ask: Dry?, answers: { dry: { then: [ { if: "facts.kind == '${choice}' || facts.kind == 'motor-fan'", goto: after }, { goto: referred } ] } } }`,
      { facts },
    );

  it("is one of its fact, or told as a warning with the one that was meant", () => {
    expect(told(asked("belt-fan"))).toEqual([]);
    const loaded = asked("belt-van");
    expect(told(loaded)).toEqual([
      "unknown-name steps.feed.answers.dry.then.0.if what=choice name=belt-van nearest=belt-fan",
    ]);
    expect(usable(loaded.findings)).toBe(true);
  });

  it("may be any text inside a call, which can give what no choice is", () => {
    const called = CONNECTOR.replace('"facts.heat > 40.0"', "\"facts.which == 'Fan plug'\"");
    const caller = fanText({ start: "a", steps: "\n  a: { call: connector, give: { which: Fan plug } }" });
    expect(told(load(caller, { connector: called }))).toEqual([]);
  });
});

describe("a linked procedure", () => {
  it("has the defaults of the format", () => {
    expect(procedure).toMatchObject({
      id: "fan",
      revision: 3,
      language: "en",
      certainty: 0.8,
      decideAt: 0.95,
    });
    expect(procedure.steps.get("hot")?.minutes).toBe(1);
    expect(procedure.steps.get("feed")?.minutes).toBe(2);
    expect(procedure.steps.get("feed")?.title).toBe("Feed");
    expect(procedure.setUps.get("plug-apart")?.title).toBe("Plug apart");
    expect(procedure.facts.get("codes")).toMatchObject({ list: true, choices: [] });
  });

  it("ends unresolved or stopped where nobody wrote anything else", () => {
    expect(waysOf(stepOf(procedure, "hot", "ask"))).toEqual({
      yes: "feed",
      no: "not-present",
      cannot: "end/unresolved",
      stop: "end/stopped",
    });
    expect(stepOf(procedure, "hot", "ask").outcomes.get("cannot")?.implied).toBe(true);
    expect(stepOf(procedure, "end/unresolved", "end").end).toBe("unresolved");
    expect(stepOf(procedure, "end/stopped", "end").end).toBe("stopped");
  });

  it("has no implied end that nothing leads to", () => {
    const only = sound(fanText({ start: "gone", steps: "\n  gone: { end: referred }" }));
    expect([...only.steps.keys()]).toEqual(["gone"]);
  });

  it("names outcomes as the format does", () => {
    expect(Object.keys(waysOf(stepOf(procedure, "winding", "measure")))).toEqual([
      "below",
      "within",
      "above",
      "borderline",
      "cannot",
      "stop",
    ]);
    expect(waysOf(stepOf(procedure, "fuse-bad", "conclude"))).toEqual({
      repaired: "again",
      stop: "end/stopped",
    });
    expect(waysOf(stepOf(procedure, "other-found", "conclude"))).toEqual({
      concluded: "referred",
      stop: "end/stopped",
    });
    const { procedure: other } = withStep("{ measure: voltage, unit: V, goto: after }");
    expect(waysOf(stepOf(other, "feed", "measure"))).toMatchObject({ taken: "after" });
    expect(stepOf(other, "feed", "measure").judged).toEqual({ by: "nothing" });
    expect(waysOf(stepOf(other, "after", "do"))).toMatchObject({ done: "referred" });
  });

  it("reads quantities in the units that are used", () => {
    const winding = stepOf(procedure, "winding", "measure");
    expect(winding.waitMinutes).toBe(1.5);
    expect(winding.correct).toMatchObject({ leads: "subtract", to: { value: 20, unit: "degC" } });
    expect(winding.evidence?.reads.get("other")).toEqual({
      mean: { value: 0.6, unit: "Ohm" },
      spread: { value: 0.1, unit: "Ohm" },
    });
    expect(procedure.instruments.get("meter")?.accuracy.get("resistance")).toEqual([
      {
        reading: expect.closeTo(0.009, 12),
        fullScale: 0,
        counts: 2,
        resolution: { value: 0.1, unit: "Ohm" },
        leads: { value: 0.3, unit: "Ohm" },
      },
    ]);
    expect(procedure.setUps.get("shield-off")?.putBack?.torque).toEqual({ value: 9, unit: "N.m" });
    expect(procedure.specifications.get("feed-voltage")?.low).toEqual({
      limit: { kind: "fixed", quantity: { value: 11.5, unit: "V" } },
      included: true,
    });
    expect(procedure.specifications.get("feed-voltage")?.high).toBeUndefined();
  });

  it("concludes one of several faults with every distinct repair once", () => {
    const conclusion = stepOf(procedure, "motor-bad", "conclude");
    expect(conclusion.faults).toEqual(["motor-open", "fuse-open"]);
    expect(conclusion.repairs).toEqual(["fit-motor", "fit-fuse"]);
    expect(conclusion.verify).toBe("again");
  });

  it("keeps how often a branch may be taken and where it leads after that", () => {
    expect(stepOf(procedure, "again", "ask").outcomes.get("still")).toMatchObject({
      atMost: 1,
      else: "referred",
    });
  });

  it("is frozen all the way down", () => {
    const step = stepOf(procedure, "feed", "measure");
    expect(Object.isFrozen(procedure) && Object.isFrozen(step) && Object.isFrozen(step.needs)).toBe(true);
    expect(Object.isFrozen(step.outcomes.get("dead")?.arms[0])).toBe(true);
  });

  it("takes names of the language's own for ordinary ids", () => {
    const text = `
  constructor: { ask: Here?, answers: { __proto__: { goto: toString }, valueOf: { goto: __proto__ } } }
  __proto__: { do: Go on., done: { goto: toString } }
  toString: { end: referred }`;
    const odd = sound(fanText({ start: "constructor", steps: text }));
    expect([...(odd.steps.get("constructor")?.outcomes.keys() ?? [])]).toContain("__proto__");
    expect(waysOf(stepOf(odd, "__proto__", "do"))).toMatchObject({ done: "toString" });
  });
});

describe("what a step needs to know", () => {
  const facts = `
  battery: { ask: Which battery?, choices: [agm, flooded] }
  cold: { measure: temperature, unit: degC }`;

  it("is the facts of its texts, set-ups, conditions and limits, in order of use", () => {
    const loaded = load(
      fanText({
        facts,
        "set-ups": '\n  apart: { do: "Unplug the {facts.battery}.", minutes: 1, put-back: none }',
        specifications:
          "\n  weak: { from: { by: facts.cold, table: [ [0 degF, 8.5 V], [20 degC, 9.6 V] ] } }",
        repairs: "\n  fit-fuse: { minutes: 1, do: [ { say: Fit it. } ] }",
        faults: "\n  fuse-open: { title: Fuse, prior: 1, repair: fit-fuse }",
        steps: `
  hot:
    measure: voltage
    unit: V
    needs: [apart]
    specification: weak
    outcomes: { below: { goto: gone }, within: { then: [ { if: "'P1' in facts.codes", goto: gone }, { goto: gone } ] } }
  gone: { end: referred }`,
      }),
    );
    expect(told(loaded)).toEqual([]);
    const step = stepOf(loaded.procedure, "hot", "measure");
    expect(step.facts).toEqual(["battery", "cold", "codes"]);
    expect(step.specifications).toEqual(["weak"]);
    const limit = loaded.procedure?.specifications.get("weak")?.low?.limit;
    if (limit?.kind !== "table") throw new Error("no table");
    expect(limit.by).toMatchObject({ facts: ["cold"], text: 'facts["cold"]' });
    expect(limit.rows[0]?.[0].value).toBeCloseTo(-17.78, 2);
    expect(limit.rows[0]?.[0].unit).toBe("degC");
  });

  it("is every specification that a limit cites", () => {
    const loaded = withStep(
      "{ measure: voltage, unit: V, bands: { low: { under: base.from, goto: after }, high: { from: base.from, goto: after } } }",
      { specifications: "\n  base: { from: root.to }\n  root: { ask: true, unit: V, limits: [to] }" },
    );
    expect(told(loaded)).toEqual([]);
    expect(loaded.procedure?.steps.get("feed")?.specifications).toEqual(["base", "root"]);
    expect(loaded.procedure?.specifications.get("root")?.open).toEqual({ unit: "V", limits: ["to"] });
  });
});

describe("a name that is not there", () => {
  it("is told with the step that was meant, and the branch ends unresolved", () => {
    const loaded = withStep("{ do: Look., done: { goto: aftr } }");
    expect(told(loaded)).toEqual(["unknown-step steps.feed.done.goto name=aftr nearest=after"]);
    expect(loaded.findings[0]?.step).toBe("feed");
    expect(waysOf(stepOf(loaded.procedure, "feed", "do"))).toMatchObject({ done: "end/unresolved" });
  });

  it.each([
    ["set-up", "needs: [plug-apar]", "steps.feed.needs.0", "plug-apart"],
    ["set-up", "without: [plug-aprt]", "steps.feed.without.0", "plug-apart"],
    ["caution", "cautions: [fan-start]", "steps.feed.cautions.0", "fan-starts"],
  ])("is told for a %s in %s", (what, part, path, nearest) => {
    const name = /\[(.*)\]/.exec(part)?.[1];
    const loaded = withStep(`{ do: Look., ${part}, done: { goto: after } }`);
    expect(told(loaded)).toEqual([`unknown-name ${path} what=${what} name=${name} nearest=${nearest}`]);
  });

  it.each([
    ["{ measure: voltage, unit: V, with: metter, goto: after }", "instrument name=metter nearest=meter"],
    [
      "{ measure: voltage, unit: V, specification: feed-volts, outcomes: { within: { goto: after } } }",
      "specification name=feed-volts",
    ],
    [
      "{ measure: voltage, unit: V, bands: { low: { under: feed-voltage.to, goto: after } } }",
      "limit name=to",
    ],
    ["{ conclude: fuse-opn, goto: after }", "fault name=fuse-opn nearest=fuse-open"],
    ['{ do: "Unplug {facts.code}.", done: { goto: after } }', "fact name=code nearest=codes"],
    ['{ do: "Unplug {facts.}.", done: { goto: after } }', "fact name={facts.}"],
    [
      "{ ask: Dry?, answers: { dry: { goto: after } }, evidence: { fuse-open: { wet: 0.5 } } }",
      "outcome name=wet",
    ],
    ["{ ask: Dry?, answers: { dry: { goto: after } }, evidence: { fuse: { dry: 0.5 } } }", "fault name=fuse"],
    [
      '{ do: Look., done: { then: [ { if: "readings.hot > 1.0", goto: after }, { goto: after } ] } }',
      "reading name=hot",
    ],
  ])("is told in %s", (step, said) => {
    const loaded = withStep(step);
    expect(told(loaded)).toEqual([expect.stringContaining(`what=${said}`)]);
    expect(loaded.procedure).toBeDefined();
  });

  it("is told for a start, an after and a repair", () => {
    expect(told(load(fanText({ start: "hott" })))).toEqual(["unknown-step start name=hott nearest=hot"]);
    expect(told(withStep("{ do: Look., after: [hat], done: { goto: after } }"))).toEqual([
      "unknown-step steps.feed.after.0 name=hat nearest=hot",
    ]);
    expect(told(load(fanText({ faults: "\n  fuse-open: { title: F, prior: 1, repair: fit }" })))).toContain(
      "unknown-name faults.fuse-open.repair what=repair name=fit",
    );
  });
});

describe("a quantity that does not fit", () => {
  it.each([
    ["{ measure: voltage, unit: Ohm, goto: after }", "unit-mismatch steps.feed.unit unit=Ohm needs=voltage"],
    ["{ measure: voltage, unit: Vlt, goto: after }", "bad-quantity steps.feed.unit"],
    [
      "{ measure: voltage, unit: V, bands: { low: { under: 1 Ohm, goto: after } } }",
      "unit-mismatch steps.feed.bands.low.under unit=Ohm needs=voltage",
    ],
    [
      "{ measure: voltage, unit: V, specification: winding, outcomes: { within: { goto: after } } }",
      "unit-mismatch steps.feed.specification unit=resistance needs=voltage why=cited",
    ],
    [
      "{ measure: voltage, unit: V, bands: { low: { under: winding.from, goto: after } } }",
      "unit-mismatch steps.feed.bands.low.under unit=resistance needs=voltage why=cited",
    ],
    [
      "{ measure: voltage, unit: V, plausible: { from: winding.from }, goto: after }",
      "unit-mismatch steps.feed.plausible.from unit=resistance needs=voltage why=cited",
    ],
    ["{ do: Wait., wait: 5 V, done: { goto: after } }", "unit-mismatch steps.feed.wait unit=V needs=time"],
    [
      '{ measure: voltage, unit: V, plausible: { from: "1,5 V" }, goto: after }',
      "bad-quantity steps.feed.plausible.from text=1,5 V reason=decimal-comma",
    ],
    [
      "{ measure: voltage, unit: V, goto: after, evidence: { fuse-open: { reads: 5 V } } }",
      "bad-quantity steps.feed.evidence.fuse-open.reads text=5 V reason=no-spread",
    ],
  ])("is told in %s", (step, said) => {
    expect(told(withStep(step))).toEqual([expect.stringContaining(said)]);
  });

  it("is none where a value is reckoned from a reading of another kind", () => {
    const loaded = withStep(
      '{ measure: voltage, reading-unit: mV, unit: A, value: "reading / 0.5", bands: { any: { goto: after } } }',
    );
    expect(told(loaded)).toEqual([]);
    expect(stepOf(loaded.procedure, "feed", "measure")).toMatchObject({ unit: "A", readingUnit: "mV" });
  });
});

describe("what can't be done", () => {
  it("is a reference temperature that differs or is not there", () => {
    const step = (to: string, specification: string) =>
      withStep(
        `{ measure: resistance, unit: Ohm, correct: { temperature: { ask: T, metal: copper }${to} }, specification: ${specification}, outcomes: { within: { goto: after } } }`,
        { specifications: "\n  winding: { from: 1 Ohm, at: 20 degC }\n  bare: { from: 1 Ohm }" },
      );
    expect(told(step(", to: 25 degC", "winding"))).toEqual([expect.stringContaining("reference-mismatch")]);
    expect(told(step("", "bare"))).toEqual([expect.stringContaining("reason=none")]);
    expect(told(step(", to: 20 degC", "winding"))).toEqual([]);
    expect(told(step(", to: 20 degC", "bare"))).toEqual([]);
  });

  it("is a ± of the reference temperature that is no temperature", () => {
    const at = (text: string) =>
      told(
        load(
          fanText({
            specifications: `\n  feed-voltage: { from: 11.5 V }\n  winding: { from: 1 Ohm, at: ${text} }`,
          }),
        ),
      );
    expect(at("20 degC ± 5 degC")).toEqual([]);
    expect(at("20 degC ± 5 V")).toContainEqual(
      expect.stringContaining("bad-quantity specifications.winding.at"),
    );
    expect(at("20 V ± 5 V")).toContainEqual(
      expect.stringContaining("unit-mismatch specifications.winding.at"),
    );
  });

  it("is subtracting leads that the instrument has no figure for", () => {
    expect(
      told(withStep("{ measure: resistance, unit: Ohm, correct: { leads: subtract }, goto: after }")),
    ).toEqual(["missing-key steps.feed.correct.leads key=leads reason=no-leads-figure"]);
  });

  it("is a share of the full scale without saying what the full scale is", () => {
    const meter = (upTo: string) =>
      `\n  meter: { title: Meter, accuracy: { voltage: { ${upTo}full-scale: 1 % }, resistance: { leads: 0.3 Ohm } } }`;
    expect(told(load(fanText({ instruments: meter("") })))).toEqual([
      "wrong-shape instruments.meter.accuracy.voltage.full-scale reason=no-full-scale",
    ]);
    expect(told(load(fanText({ instruments: meter("up-to: 60 V, ") })))).toEqual([]);
  });

  it("is a set-up needed and forbidden at once, or needing itself", () => {
    expect(
      told(withStep("{ do: Go., needs: [plug-apart], without: [plug-apart], done: { goto: after } }")),
    ).toEqual(["set-up-conflict steps.feed.without.0 setUp=plug-apart"]);
    const circle = load(
      fanText({
        "set-ups": `
  shield-off: { do: A., minutes: 1, needs: [plug-apart], put-back: none }
  plug-apart: { do: B., minutes: 1, needs: [shield-off], put-back: none }`,
      }),
    );
    expect(told(circle)).toEqual(["set-up-conflict set-ups.plug-apart.needs setUp=plug-apart reason=circle"]);
    expect(circle.procedure?.setUps.get("plug-apart")?.needs).toEqual([]);
  });

  it("is a set-up that says nothing of being put back, where none says so", () => {
    const setUps =
      "\n  shield-off: { do: A., minutes: 1 }\n  plug-apart: { do: B., minutes: 1, put-back: none }";
    expect(told(load(fanText({ "set-ups": setUps })))).toEqual([
      "set-up-not-put-back set-ups.shield-off setUp=shield-off",
    ]);
  });

  it("is a circle of specifications that cite each other", () => {
    const specifications = `
  feed-voltage: { from: 11.5 V }
  winding: { from: 0.3 Ohm, to: upper.to, at: 20 degC }
  upper: { to: winding.to }`;
    const loaded = load(fanText({ specifications }));
    expect(told(loaded)).toEqual([expect.stringContaining("reason=specification-circle")]);
  });

  it("is an arm without a condition before the last, or a last one with one", () => {
    const arms = (list: string) => told(withStep(`{ do: Go., done: { then: [ ${list} ] } }`));
    expect(arms("{ goto: after }, { goto: after }")).toEqual([expect.stringContaining("arm-without-if")]);
    expect(arms('{ if: "true", goto: after }')).toEqual([expect.stringContaining("last-arm-if")]);
    expect(arms('{ if: "1.0", goto: after }, { goto: after }')).toEqual([
      expect.stringContaining("not-bool"),
    ]);
  });

  it("is a table that does not rise", () => {
    const facts = "\n  cold: { measure: temperature, unit: degC }";
    const specifications =
      "\n  feed-voltage: { from: { by: facts.cold, table: [ [20 degC, 1 V], [10 degC, 2 V] ] } }\n  winding: { from: 1 Ohm, at: 20 degC }";
    expect(told(load(fanText({ facts, specifications })))).toEqual([
      expect.stringContaining("reason=table-not-rising"),
    ]);
  });

  it("is two facts that are one name in a condition", () => {
    const facts = "\n  a-b: { ask: A?, choices: [x] }\n  a_b: { ask: B?, choices: [x] }";
    expect(told(load(fanText({ facts })))).toEqual([
      "wrong-shape facts.a_b reason=names-meet name=a_b other=a-b",
    ]);
  });

  it("is a part that nothing acts on yet, as a warning", () => {
    const called = `${CONNECTOR}\nfree-order: true\n`;
    const steps = `
  hot: { call: connector, returns: { fault-found: { goto: fine }, no-fault-found: { goto: fine } } }
  fine: { end: fixed }`;
    const loaded = load(fanText({ steps }), { connector: called });
    expect(told(loaded)).toContain("not-acted-on free-order name=free-order");
    expect(load(fanText({ "free-order": "true" })).procedure?.freeOrder).toBe(true);
    expect(loaded.findings[0]?.severity).toBe("warning");
  });
});

describe("a fault named otherwise", () => {
  const text = fanText({
    faults: "\n  fuse-open: { title: Fuse, prior: 1 }\n  otherwise: { title: Else, prior: 1 }",
  });

  it("is refused where its name stands: in evidence that is the row of all that have none", () => {
    const { findings, sources } = load(text);
    const found = findings.filter(({ params }) => params.reason === "reserved-name");
    expect(found.map(({ code, severity }) => [code, severity])).toEqual([["wrong-shape", "error"]]);
    const placed = found.map((each) => placeFinding(each, sources));
    expect(placed.map(({ from, to }) => text.slice(from, to))).toEqual(["otherwise"]);
    expect(placed[0]).toMatchObject({
      message: '"otherwise" is a word with a meaning of its own.',
      mend: "Choose another name.",
    });
  });
});

describe("faults that nothing can be made of", () => {
  const faults = (first: string, second: string) =>
    `\n  fuse-open: { prior: ${first} }\n  motor-open: { prior: ${second}, repair: fit-motor }`;

  it("are told where the priors have no sum to share", () => {
    const text = (prior: string) =>
      told(load(fanText({ faults: faults(prior, prior) }))).filter((each) => each.includes("priors"));
    expect(text("0")).toEqual(["wrong-shape faults reason=priors-zero"]);
    expect(text("1e308")).toEqual(["wrong-shape faults reason=priors-too-large"]);
    expect(text("1")).toEqual([]);
  });

  it("are told where a conclusion verifies a repair that they do not have", () => {
    const found = load(fanText({ faults: faults("1", "1") })).findings.filter(
      ({ code }) => code === "no-verification",
    );
    expect(found.map(({ severity, params }) => [severity, params.fault])).toEqual([
      ["error", "fuse-open"],
      // Where the other fault concluded with it has a repair.
      ["warning", "fuse-open"],
    ]);
  });
});

describe("a step that is to come after itself", () => {
  it("is told where it says so", () => {
    const steps = `
  hot: { ask: Is it hot?, after: [hot], answers: { "yes": { goto: gone }, "no": { goto: gone } } }
  gone: { end: no-fault-found }`;
    expect(told(load(fanText({ steps })))).toContain(
      "wrong-shape steps.hot.after.0 reason=after-itself name=hot",
    );
  });
});
