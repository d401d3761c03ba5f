import { describe, expect, it } from "vitest";
import { evaluateExpression } from "../../../engine/procedure/expression.ts";
import { fillText } from "../../../engine/procedure/fill-text.ts";
import { CONNECTOR, fanText, load, sound, stepOf, told, waysOf } from "./fan-text.ts";

/** The fan with a call step `inspect`, and the connector procedure beside it. */
function calling(call: string, connector = CONNECTOR) {
  const steps = `
  hot: { ask: Is it hot?, answers: { "yes": { goto: inspect }, "no": { goto: gone } } }
  inspect: { call: connector${call} }
  gone: { end: no-fault-found }`;
  return load(fanText({ steps }), { connector });
}

describe("a call", () => {
  const { procedure, findings } = calling(
    ", give: { which: Fan plug }, set-ups: { apart: plug-apart }, returns: { no-fault-found: { goto: gone } }",
  );

  it("makes the called steps, faults and the rest the caller's, under the call step's name", () => {
    expect(findings).toEqual([]);
    const ids = [...(procedure?.steps.keys() ?? [])];
    expect(ids.slice(0, 9)).toEqual([
      "hot",
      "inspect",
      "inspect/look",
      "inspect/loose",
      "inspect/again",
      "inspect/mended",
      "inspect/gone",
      "inspect/clean",
      "gone",
    ]);
    expect(ids.slice(9).toSorted()).toEqual([
      "end/fixed",
      "end/stopped",
      "end/unresolved",
      "inspect/end/unresolved",
    ]);
    expect(procedure?.faults.get("inspect/pin-loose")).toMatchObject({ prior: 2, repair: "inspect/fit-pin" });
    expect(procedure?.repairs.get("inspect/fit-pin")?.do[0]?.cautions).toEqual(["inspect/pins"]);
    expect(stepOf(procedure, "inspect/loose", "conclude")).toMatchObject({
      scope: "inspect/",
      faults: ["inspect/pin-loose"],
      verify: "inspect/again",
    });
    expect([...(stepOf(procedure, "inspect/look", "ask").evidence?.rows.keys() ?? [])]).toEqual([
      "inspect/pin-loose",
    ]);
  });

  it("keeps what the called machine does to people at the call, not at each step of it", () => {
    const hot = calling("", `hazards: [hot]\n${CONNECTOR}`).procedure;
    expect(stepOf(hot, "inspect", "call").brings).toEqual(["hot"]);
    expect(hot?.steps.get("inspect/look")?.hazards).not.toContain("hot");
  });

  it("keeps the proof that the called procedure wants, and whether its order is free", () => {
    const loaded = calling("", `certainty: 0.99\nfree-order: false\n${CONNECTOR}`);
    expect(told(loaded)).toEqual([]);
    expect(stepOf(loaded.procedure, "inspect", "call")).toMatchObject({ certainty: 0.99, freeOrder: false });
  });

  it("leads at once into the called procedure, and its ends lead back", () => {
    expect(stepOf(procedure, "inspect", "call")).toMatchObject({
      procedure: "connector",
      entry: "inspect/look",
    });
    expect(stepOf(procedure, "inspect/clean", "end").returnsTo).toBe("inspect");
    expect(stepOf(procedure, "inspect/end/unresolved", "end")).toMatchObject({
      end: "unresolved",
      returnsTo: "inspect",
    });
    expect(stepOf(procedure, "gone", "end").returnsTo).toBeUndefined();
  });

  it("ends the run where a return is not written", () => {
    expect(waysOf(stepOf(procedure, "inspect", "call"))).toEqual({
      "no-fault-found": "gone",
      "fault-found": "end/fixed",
      unresolved: "end/unresolved",
    });
    expect(stepOf(procedure, "inspect", "call").outcomes.get("unresolved")?.implied).toBe(true);
  });

  it("stops the whole run where a called step is stopped", () => {
    expect(waysOf(stepOf(procedure, "inspect/look", "ask"))).toMatchObject({
      cannot: "inspect/end/unresolved",
      stop: "end/stopped",
    });
  });

  it("does not call a run fixed whose fault was only found", () => {
    const found = calling("", CONNECTOR.replace("{ end: fixed }", "{ end: fault-found }"));
    expect(waysOf(stepOf(found.procedure, "inspect", "call"))).toMatchObject({
      "fault-found": "end/fault-found",
    });
    expect(stepOf(found.procedure, "end/fault-found", "end").end).toBe("fault-found");
  });

  it("gives facts, measured ones in their unit", () => {
    expect(procedure?.facts.get("inspect/which")?.given).toBe("Fan plug");
    expect(procedure?.facts.get("inspect/heat")?.given).toBeUndefined();
    const hot = calling(", give: { heat: 212 degF }").procedure;
    expect(hot?.facts.get("inspect/heat")?.given).toBeCloseTo(100, 9);
    expect(told(calling(", give: { heat: 3 V }"))).toEqual([
      "unit-mismatch steps.inspect.give.heat unit=V needs=degC",
    ]);
  });

  it("uses the caller's set-up for the same thing", () => {
    expect(procedure?.setUps.has("inspect/apart")).toBe(false);
    expect(procedure?.steps.get("inspect/look")?.needs).toEqual(["plug-apart"]);
    expect(procedure?.repairs.get("inspect/fit-pin")?.needs).toEqual(["plug-apart"]);
    expect(calling("").procedure?.steps.get("inspect/look")?.needs).toEqual(["inspect/apart"]);
  });

  it("keeps what the called procedure says of the danger of a set-up that is the caller's", () => {
    const danger = "hazards: [electric-energised], cautions: [pins]";
    const text = CONNECTOR.replace(/^( +apart: \{)/m, `$1 ${danger},`);
    expect(text).toContain(danger);
    const mapped = calling(", set-ups: { apart: plug-apart }", text).procedure?.setUps.get("plug-apart");
    expect(mapped).toMatchObject({
      hazards: ["electric-energised"],
      cautions: ["inspect/pins"],
      needs: ["shield-off"],
    });
    const own = calling("", text).procedure?.setUps;
    expect(own?.get("plug-apart")?.cautions).toEqual([]);
    expect(own?.get("inspect/apart")?.cautions).toEqual(["inspect/pins"]);
  });

  it("shares the trouble codes and keeps other facts apart", () => {
    const text = CONNECTOR.replace("facts.heat > 40.0", "facts.heat > 40.0 && 'P1' in facts.codes");
    const look = stepOf(calling("", text).procedure, "inspect/look", "ask");
    const condition = look.outcomes.get("straight")?.arms[0]?.if;
    expect(condition).toMatchObject({ scope: "inspect/", facts: ["inspect/heat", "codes"] });
    const known = new Map<string, number | readonly string[]>([
      ["inspect/heat", 50],
      ["codes", ["P1"]],
    ]);
    const scene = {
      fact: (id: string) => known.get(id),
      reading: () => undefined,
      value: () => undefined,
      elapsed: () => undefined,
    };
    expect(condition && evaluateExpression(condition, scene)).toEqual({ ok: true, value: true });
    expect(look.facts).toEqual(["inspect/which", "inspect/heat", "codes"]);
  });

  it("fills texts with the facts of their own procedure", () => {
    const fault = procedure?.faults.get("inspect/pin-loose");
    const facts = (id: string) => procedure?.facts.get(id)?.given;
    expect(fillText(fault?.title ?? "", "inspect/", facts)).toBe("Pin loose in Fan plug");
    expect(fillText("{facts.which} and {facts.heat}", "inspect/", () => undefined)).toBe("which and heat");
  });

  it("nests, each level under the one before", () => {
    const outer = CONNECTOR.replace("procedure: connector", "procedure: outer").replace(
      "  clean: { end: no-fault-found }",
      "  clean: { call: connector, returns: { no-fault-found: { goto: gone } } }",
    );
    const nested = sound(fanText({ start: "a", steps: "\n  a: { call: outer }\n  b: { end: referred }" }), {
      connector: CONNECTOR,
      outer,
    });
    expect(nested.faults.has("a/clean/pin-loose")).toBe(true);
    expect(stepOf(nested, "a/clean/clean", "end").returnsTo).toBe("a/clean");
    expect(waysOf(stepOf(nested, "a/clean", "call"))).toMatchObject({
      "no-fault-found": "a/gone",
      "fault-found": "a/end/fixed",
    });
    expect(stepOf(nested, "a/end/fixed", "end").returnsTo).toBe("a");
  });
});

describe("a call that can't be made", () => {
  it("names the procedure that is not there, and leads nowhere", () => {
    const loaded = load(fanText({ start: "a", steps: "\n  a: { call: nowhere }" }));
    expect(told(loaded)).toEqual(["unknown-name steps.a.call what=procedure name=nowhere"]);
    expect(stepOf(loaded.procedure, "a", "call").entry).toBe("end/unresolved");
  });

  it("is refused when it calls itself in the end", () => {
    const back = CONNECTOR.replace("  clean: { end: no-fault-found }", "  clean: { call: fan }");
    const loaded = calling("", back);
    expect(told(loaded)).toEqual(["endless-loop steps.clean.call reason=calls name=fan > connector > fan"]);
    expect(loaded.findings[0]?.node.file).toBe("trees/connector.yaml");
  });

  it("leaves no step the names that an answers file has a meaning for", () => {
    const steps =
      "\n  facts: { do: Look., done: { goto: specifications } }\n  specifications: { end: referred }\n  choices: { end: referred }";
    expect(told(load(fanText({ start: "facts", steps })))).toEqual([
      "wrong-shape steps.facts reason=reserved-name name=facts",
      "wrong-shape steps.specifications reason=reserved-name name=specifications",
      "wrong-shape steps.choices reason=reserved-name name=choices",
    ]);
  });

  it("is refused under a name that paths use", () => {
    const steps = "\n  facts: { call: connector }\n  end: { call: connector }";
    expect(told(load(fanText({ start: "facts", steps }), { connector: CONNECTOR }))).toEqual([
      "wrong-shape steps.facts reason=reserved-name name=facts",
      "wrong-shape steps.end reason=reserved-name name=end",
    ]);
  });

  it("tells names that either side does not have", () => {
    expect(told(calling(", give: { wich: x }"))).toEqual([
      "unknown-name steps.inspect.give.wich what=fact name=wich nearest=which",
    ]);
    expect(told(calling(", set-ups: { apar: plug-apart }"))).toEqual([
      "unknown-name steps.inspect.set-ups.apar what=set-up name=apar nearest=apart",
    ]);
    expect(told(calling(", set-ups: { apart: plug-aprt }"))).toEqual([
      "unknown-name steps.inspect.set-ups.apart what=set-up name=plug-aprt nearest=plug-apart",
    ]);
  });

  it("tells a mistake in the called file once, however often it is called", () => {
    const wrong = CONNECTOR.replace("goto: loose", "goto: lose");
    const steps =
      "\n  a: { call: connector, returns: { no-fault-found: { goto: b } } }\n  b: { call: connector }";
    const loaded = load(fanText({ start: "a", steps }), { connector: wrong });
    expect(told(loaded)).toEqual(["unknown-step steps.look.answers.bent.goto name=lose nearest=loose"]);
    expect(loaded.findings[0]?.node.file).toBe("trees/connector.yaml");
    expect([...loaded.sources.keys()]).toEqual(["trees/fan.yaml", "trees/connector.yaml"]);
  });

  it("does not multiply without end", () => {
    const text = (id: string, next: string) => {
      const steps = Array.from({ length: 12 }, (_, index) => `  s${index}: { call: ${next} }`).join("\n");
      return `procedure: ${id}\ntitle: T\nrevision: 1\ncomplaint: C\nstart: s0\nsteps:\n${steps}\n`;
    };
    const loaded = load(fanText({ start: "s0", steps: "\n  s0: { call: one }" }), {
      one: text("one", "two"),
      two: text("two", "three"),
      three: text("three", "connector"),
      connector: CONNECTOR,
    });
    expect(told(loaded)).toContainEqual(expect.stringContaining("reason=too-many-calls"));
  });
});
