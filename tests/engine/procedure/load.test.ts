import { createHash } from "node:crypto";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { layEquipment, loadEquipment } from "../../../engine/procedure/equipment.ts";
import { loadProcedure, usable } from "../../../engine/procedure/load.ts";
import { CONNECTOR, fanText, libraryOf, load, sound, stepOf, told } from "./fan-text.ts";

const sha = (text: string) => createHash("sha256").update(text).digest("hex");

describe("a loaded procedure", () => {
  it("is usable when nothing is wrong with its shape and names", () => {
    const loaded = load(fanText());
    expect(loaded.findings).toEqual([]);
    expect(usable(loaded.findings)).toBe(true);
  });

  it("is known by the SHA-256 of its text", () => {
    expect(sound(fanText()).hash).toBe(sha(fanText()));
  });

  it("is known by its called texts too", () => {
    const text = fanText({ start: "a", steps: "\n  a: { call: connector }" });
    const hash = sound(text, { connector: CONNECTOR }).hash;
    expect(hash).toBe(sha(`${text}\0connector\0${CONNECTOR}`));
    expect(sound(text, { connector: `${CONNECTOR}# changed\n` }).hash).not.toBe(hash);
  });

  it("has the name of its file", () => {
    const loaded = loadProcedure(fanText(), "trees/pump.yaml", libraryOf({}));
    expect(told(loaded)).toEqual(["wrong-shape procedure reason=file-name name=fan file=pump.yaml"]);
    expect(usable(loaded.findings)).toBe(false);
    expect(loadProcedure(fanText(), "pasted text", libraryOf({})).findings).toEqual([]);
  });

  it("is there for drawing with a mistake in it, but not usable", () => {
    const loaded = load(fanText().replace("goto: feed", "goto: fed"));
    expect(loaded.procedure?.steps.size).toBeGreaterThan(8);
    expect(usable(loaded.findings)).toBe(false);
  });

  it("is there with parts of a wrong shape left out", () => {
    const loaded = load(
      fanText().replace("minutes: 8", "minutes: eight").replace("end: fixed", "end: mended"),
    );
    expect(loaded.findings.length).toBeGreaterThan(1);
    expect(loaded.procedure?.setUps.get("shield-off")?.minutes).toBe(0);
    expect(loaded.procedure?.steps.has("fixed")).toBe(true);
    expect(usable(loaded.findings)).toBe(false);
  });

  it("is not there without a step or in a text that is none", () => {
    for (const text of ["", "a: [", "- 1\n- 2", "procedure: fan\ntitle: T", "\0\0\0"]) {
      const loaded = load(text);
      expect(loaded.procedure).toBeUndefined();
      expect(usable(loaded.findings)).toBe(false);
      expect(loaded.sources.get("trees/fan.yaml")?.text).toBe(text);
    }
  });

  it("may be run with errors that only a proof finds", () => {
    const unbound =
      "\n  shield-off: { do: A., minutes: 1 }\n  plug-apart: { do: B., minutes: 1, put-back: none }";
    const { findings } = load(fanText({ "set-ups": unbound }));
    expect(findings).toHaveLength(1);
    expect(usable(findings)).toBe(true);
  });

  it("says that a translation is not acted on yet", () => {
    const loaded = loadProcedure("steps.hot.ask: Chaud ?", "trees/fan.fr.yaml", libraryOf({}));
    expect(told(loaded)).toEqual(["not-acted-on  name=translation"]);
  });

  it("never throws, whatever is cut out of or put into the text", () => {
    const text = fanText({ start: "hot" });
    const cut = fc.tuple(fc.nat(text.length), fc.nat(60), fc.string({ maxLength: 12 }));
    fc.assert(
      fc.property(cut, ([from, length, put]) => {
        const broken = text.slice(0, from) + put + text.slice(from + length);
        const { findings, procedure } = load(broken);
        expect(procedure !== undefined || findings.length > 0).toBe(true);
      }),
      { numRuns: 60 },
    );
  });

  it("may have thousands of steps one behind the other", () => {
    const steps = (count: number) =>
      Array.from(
        { length: count },
        (_, index) => `  s${index}: { do: Go on., needs: [plug-apart], done: { goto: s${index + 1} } }`,
      ).join("\n");
    const of = (count: number) =>
      fanText({ start: "s0", steps: `\n${steps(count)}\n  s${count}: { end: referred }` });
    expect(sound(of(3000)).steps.size).toBe(3003);
  });
});

const HERON = `
equipment: heron-35
title: Heron 35
facts: { battery: agm, cold: 32 degF, unheard-of: x }
specifications:
  winding: { from: 400 mOhm, to: 1.5 Ohm, at: 25 degC, source: sheet 4 }
  unheard-of: { from: 1 V }
instruments:
  meter: { title: Bench meter, accuracy: { voltage: { counts: 1, resolution: 1 mV } } }
hazards: [fuel, rotating]
`;

describe("an equipment sheet", () => {
  const facts = `
  battery: { ask: Which battery?, choices: [agm, flooded] }
  cold: { measure: temperature, unit: degC }`;
  const text = fanText({ equipment: "[heron-35]", facts });
  const loaded = load(text, { "equipment/heron-35": HERON });
  const [sheet] = loaded.sheets;
  const laid = loaded.procedure && sheet && layEquipment(loaded.procedure, sheet);

  it("is read with the procedure that lists it", () => {
    expect(loaded.findings).toEqual([]);
    expect(sheet).toMatchObject({ id: "heron-35", title: "Heron 35", hazards: ["fuel", "rotating"] });
    expect([...loaded.sources.keys()]).toEqual(["trees/fan.yaml", "trees/equipment/heron-35.yaml"]);
  });

  it("is told when it is listed and not there", () => {
    expect(told(load(text))).toEqual(["unknown-name equipment.0 what=equipment name=heron-35"]);
  });

  it("gives facts, specifications, instruments and hazards, and leaves alone what the procedure has not", () => {
    expect(laid?.findings).toEqual([]);
    const procedure = laid?.procedure;
    expect(procedure?.sheet).toEqual({ id: "heron-35", title: "Heron 35" });
    expect(procedure?.facts.get("battery")?.given).toBe("agm");
    expect(procedure?.facts.get("cold")?.given).toBeCloseTo(0, 9);
    expect(procedure?.specifications.get("winding")).toMatchObject({
      given: "equipment",
      source: "sheet 4",
      low: { limit: { quantity: { value: 400, unit: "mOhm" } } },
    });
    expect(procedure?.specifications.has("unheard-of")).toBe(false);
    expect(procedure?.instruments.get("meter")?.title).toBe("Bench meter");
    expect(procedure?.hazards).toEqual(["fuel", "rotating"]);
  });

  it("moves the reference temperature with its specification", () => {
    expect(stepOf(laid?.procedure, "winding", "measure").correct?.to).toEqual({ value: 25, unit: "degC" });
  });

  it("leaves the procedure itself as it was", () => {
    expect(loaded.procedure?.sheet).toBeUndefined();
    expect(loaded.procedure?.specifications.get("winding")?.given).toBe("procedure");
  });

  it("is laid over called procedures too, but gives way to what the call says", () => {
    const calling = fanText({ start: "a", steps: "\n  a: { call: connector, give: { which: Fan plug } }" });
    const { sheet: other } = loadEquipment(
      "equipment: curlew\ntitle: Curlew\nfacts: { which: gateway, heat: 20 degC }\n",
      "equipment/curlew.yaml",
    );
    const over = other && layEquipment(sound(calling, { connector: CONNECTOR }), other).procedure;
    expect(over?.facts.get("a/which")?.given).toBe("Fan plug");
    expect(over?.facts.get("a/heat")?.given).toBe(20);
  });

  it("is told of units that do not fit where it is used", () => {
    const volts = HERON.replace("400 mOhm", "4 V").replace("1.5 Ohm", "15 V");
    const { sheet: wrong, findings } = loadEquipment(volts, "trees/equipment/heron-35.yaml");
    expect(findings).toEqual([]);
    const result = wrong && loaded.procedure && layEquipment(loaded.procedure, wrong);
    expect(result && told(result)).toEqual([
      "unit-mismatch specifications.winding unit=V needs=resistance equipment=heron-35",
    ]);
    expect(result?.findings[0]).toMatchObject({
      step: "winding",
      node: { file: "trees/equipment/heron-35.yaml" },
    });
  });

  describe("whose limits a step cites", () => {
    const citing = sound(
      fanText({
        start: "a",
        steps: `
  a: { measure: voltage, unit: V, bands: { low: { under: feed-voltage.from, goto: b }, high: { from: feed-voltage.from, goto: b } } }
  b: { measure: voltage, unit: V, plausible: { from: feed-voltage.from }, goto: c }
  c: { end: referred }`,
      }),
    );
    const laidOver = (limits: string) => {
      const sheet = `equipment: heron-35\ntitle: Heron 35\nspecifications: { feed-voltage: ${limits} }\n`;
      const { sheet: laid } = loadEquipment(sheet, "heron-35.yaml");
      return laid && told(layEquipment(citing, laid));
    };

    it("is told when it gives them for another quantity", () => {
      expect(laidOver("{ from: 5 A }")).toEqual([
        "unit-mismatch specifications.feed-voltage unit=A needs=voltage equipment=heron-35",
      ]);
      expect(laidOver("{ ask: true, unit: Ohm, limits: [from] }")).toEqual([
        "unit-mismatch specifications.feed-voltage unit=Ohm needs=voltage equipment=heron-35",
      ]);
    });

    it("is told when it leaves them out, since a run would then have no limit there", () => {
      const missing = [
        "unknown-name specifications.feed-voltage what=sheet-limit name=from equipment=heron-35",
      ];
      expect(laidOver("{ to: 9 V }")).toEqual(missing);
      expect(laidOver("{ ask: true, unit: V, limits: [to] }")).toEqual(missing);
    });

    it("may write them as excluded, or in another unit", () => {
      expect(laidOver("{ over: 9 V, to: 12 V }")).toEqual([]);
      expect(laidOver("{ from: 9000 mV }")).toEqual([]);
    });
  });

  it("may have a table over a fact of the procedure, in any unit of it", () => {
    const table = `
equipment: heron-35
title: Heron 35
specifications:
  feed-voltage: { from: { by: facts.cold, table: [ [32 degF, 9 V], [68 degF, 11 V] ] } }
`;
    const { sheet: cold } = loadEquipment(table, "heron-35.yaml");
    const result = cold && loaded.procedure && layEquipment(loaded.procedure, cold);
    expect(result?.findings).toEqual([]);
    const limit = result?.procedure.specifications.get("feed-voltage")?.low?.limit;
    expect(limit?.kind === "table" && limit.rows.map(([key]) => [Math.round(key.value), key.unit])).toEqual([
      [0, "degC"],
      [20, "degC"],
    ]);
    const bare = cold && layEquipment(sound(fanText()), cold);
    expect(bare && told(bare)).toEqual([expect.stringContaining("what=fact name=cold")]);
  });

  it("has findings of its own", () => {
    const { sheet: found, findings } = loadEquipment(
      "equipment: heron\ntitle: Heron\nspecifications: { winding: { from: 4 Om } }\n",
      "trees/equipment/heron-35.yaml",
    );
    expect(found?.id).toBe("heron");
    expect(told({ findings })).toEqual([
      "wrong-shape equipment reason=file-name name=heron file=heron-35.yaml",
      "bad-quantity specifications.winding.from text=4 Om reason=unknown-unit unit=Om",
    ]);
  });
});
