import { describe, expect, it } from "vitest";
import { parseText } from "../../../engine/procedure/parse.ts";
import { sampleText } from "../../schemas/raw-file.ts";

const FAN = sampleText("radiator-fan-stays-off.yaml");
const { source } = parseText(FAN, "fan.yaml", "procedure");

describe("a source", () => {
  it("gives the place of a value, of a key, and of the nearest thing that is there", () => {
    const value = source.place(["steps", "feed", "measure"]);
    expect(FAN.slice(value.from, value.to)).toBe("voltage");
    const key = source.place(["steps", "feed", "bands", "weak"], true);
    expect(FAN.slice(key.from, key.to)).toBe("weak");
    const item = source.place(["steps", "feed", "needs", 1]);
    expect(FAN.slice(item.from, item.to)).toBe("plug-apart");
    const missing = source.place(["steps", "feed", "nothing", "further"]);
    expect(FAN.slice(missing.from, missing.to)).toBe("feed");
    expect(source.place(["nowhere"])).toMatchObject({ line: 1, column: 1 });
  });

  it("gives the path of every key's own place back", () => {
    const walk = (value: unknown, path: (string | number)[]) => {
      if (typeof value !== "object" || value === null) return;
      for (const [name, part] of Object.entries(value)) {
        const next = [...path, Array.isArray(value) ? Number(name) : name];
        const { from } = source.place(next, !Array.isArray(value));
        if (typeof part !== "object" || !Array.isArray(value)) expect(source.pathAt(from)).toEqual(next);
        walk(part, next);
      }
    };
    const { raw } = parseText(FAN, "fan.yaml", "procedure");
    expect(raw).toBeDefined();
    walk(raw, []);
  });

  it("tells the step that an offset stands in", () => {
    expect(source.stepAt(FAN.indexOf("    unit: Ohm"))).toBe("winding");
    expect(source.stepAt(FAN.indexOf("set-ups:"))).toBeUndefined();
    expect(source.stepAt(0)).toBeUndefined();
  });

  it("tells where a step begins and ends", () => {
    const place = source.stepPlace("motor-bad");
    expect(place && FAN.slice(place.from, place.to)).toBe(
      "motor-bad:\n    conclude: motor-open\n    verify: hot-again",
    );
    expect(source.stepPlace("no-such")).toBeUndefined();
  });

  it("reads a scalar as it was written", () => {
    const { source: answers } = parseText("feed: 26.10\nlist: [0.30, 'OL']\n", "a.yaml", "answers");
    expect(answers.sourceText(["feed"])).toBe("26.10");
    expect(answers.sourceText(["list", 0])).toBe("0.30");
    expect(answers.sourceText(["list", 1])).toBe("OL");
    expect(answers.sourceText(["list"])).toBeUndefined();
    expect(answers.sourceText(["none"])).toBeUndefined();
  });
});
