import { describe, expect, it } from "vitest";
import { parseDocument } from "yaml";
import { outlineOf, stepAt } from "../../author/edits/outline.ts";
import { starterText } from "../../engine/procedure/starter.ts";

const text = starterText("gate-lift-stays-up");
const outline = outlineOf(parseDocument(text));

describe("outlineOf", () => {
  it("gives the title and every name by its section", () => {
    expect(outline.title).toBe("Gate lift stays up");
    expect(outline.names.faults).toEqual(["feed-open", "ground-open", "part-failed", "other"]);
    expect(outline.names["set-ups"]).toEqual(["plug-apart"]);
    expect(outline.names.steps.slice(0, 3)).toEqual(["present", "feed", "ground"]);
  });

  it("gives each step's range from its key on", () => {
    for (const { step, from, to } of outline.steps) {
      expect(text.slice(from, from + step.length)).toBe(step);
      expect(to).toBeGreaterThan(from);
    }
  });

  it("reads as far as a broken text can be read", () => {
    const broken = outlineOf(parseDocument("title: Half\nsteps:\n  one: { ask: x\n  two:\n    ask: y\n"));
    expect(broken.title).toBe("Half");
    expect(broken.names.steps).toContain("one");
  });

  it("gives nothing for a text that is no map", () => {
    expect(outlineOf(parseDocument("- a\n- b\n")).steps).toEqual([]);
    expect(outlineOf(parseDocument("")).names.faults).toEqual([]);
  });

  it("takes names such as __proto__ as they are", () => {
    const odd = outlineOf(
      parseDocument("steps:\n  __proto__: { end: fixed }\n  constructor: { end: fixed }\n"),
    );
    expect(odd.names.steps).toEqual(["__proto__", "constructor"]);
  });
});

describe("stepAt", () => {
  it("tells the step that an offset stands in", () => {
    expect(stepAt(outline.steps, text.indexOf("good: { from: 11 V,  goto: direct }"))).toBe("ground");
    expect(stepAt(outline.steps, text.indexOf("ask: Is the complaint"))).toBe("present");
  });

  it("tells none before the steps and none behind them", () => {
    expect(stepAt(outline.steps, 0)).toBeUndefined();
    expect(stepAt(outline.steps, text.indexOf("mend-feed:\n"))).toBeUndefined();
  });
});
