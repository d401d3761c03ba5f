import { describe, expect, it } from "vitest";
import { FINDING_CODES, type Finding, type FindingCode } from "../../../engine/procedure/finding.ts";
import { nearest } from "../../../engine/procedure/nearest.ts";
import { visible } from "../../../engine/procedure/visible.ts";
import { findingTitle, placeFinding } from "../../../engine/procedure/wording.ts";
import { SHAPES } from "../../../schemas/generated/shapes.ts";
import { findingsOf, withSteps } from "./parse-findings.ts";

describe("the catalogue", () => {
  it.each([...FINDING_CODES])("has a title, a message and a way to mend for %s, params or none", (code) => {
    expect(findingTitle(code)).toMatch(/^[A-Z]/);
    expect(findingTitle(code, "xx")).toBe(findingTitle(code));
    const node = { file: "a.yaml", path: [] };
    const bare = placeFinding({ code, severity: "error", params: {}, node }, new Map());
    expect(bare.message).toMatch(/\S.*\.$/);
    expect(bare.mend).toMatch(/\S.*[.\]]$/);
    expect(`${bare.message}${bare.mend}`).not.toMatch(/undefined|NaN|\[object/);
    expect(bare).toMatchObject({ file: "a.yaml", line: 1, column: 1, from: 0, to: 0 });
  });

  it.each<[FindingCode, Finding["params"], string]>([
    [
      "bad-quantity",
      { text: "2 V", why: "a reading in °C" },
      '"2 V" is no quantity: a reading in °C is wanted here.',
    ],
    [
      "bad-quantity",
      { text: "-300 degC", why: "too-cold" },
      '"-300 degC" is no quantity: it is colder than absolute zero.',
    ],
    ["unknown-step", { name: "fuze", nearest: "fuse" }, 'There is no step "fuze". Did you mean "fuse"?'],
    ["unknown-name", { what: "set-up", name: "plug" }, 'There is no set-up "plug".'],
    [
      "missing-key",
      { key: "goto then", where: "steps.hot.answers.yes" },
      'Answer "yes" of step "hot" needs goto or then.',
    ],
    [
      "wrong-shape",
      { reason: "file-name", name: "a", file: "b.yaml" },
      'The file is called b.yaml, but "a" is written in it.',
    ],
    [
      "bad-quantity",
      { text: "0,5 V", reason: "decimal-comma" },
      '"0,5 V" is no quantity: the decimal sign is a point.',
    ],
    [
      "bad-expression",
      { text: "reading > 2", reason: "whole-number", write: "2.0" },
      '"reading > 2" puts a whole number beside a reading, which has decimals.',
    ],
    [
      "dead-end",
      { step: "hot", outcome: "no", atMost: 2, why: "used-up" },
      'Outcome "no" of step "hot" leads nowhere once it was taken twice.',
    ],
    [
      "evidence-sum",
      { step: "feed", fault: "fuse-open", sum: 1.2 },
      'The shares for "fuse-open" add up to 1.2.',
    ],
    [
      "missing-caution",
      { hazard: "hot", what: "hot", step: "hot" },
      'The hazard "hot" is met at step "hot", and no caution there covers it.',
    ],
  ])("tells %s of %j as people would", (code, params, message) => {
    const node = { file: "a.yaml", path: [] };
    expect(placeFinding({ code, severity: "error", params, node }, new Map()).message).toBe(message);
  });

  it("says what to write for every part of the format that holds something else, never to mend a number", () => {
    for (const document of Object.values(SHAPES))
      for (const kind of Object.keys(document.kinds)) {
        const params = { where: "repairs.fit.do.0", expected: kind, found: "number", text: "7" };
        const { message, mend } = placeFinding(
          { code: "wrong-shape", severity: "error", params, node: { file: "a.yaml", path: [] } },
          new Map(),
        );
        expect(message).not.toContain(`should be ${kind},`);
        expect(mend).not.toContain("number, or take");
      }
  });

  it.each([
    ["steps.hot.needs", "array", "plug-apart", "Write a list, as [plug-apart]."],
    ["repairs.fit.do", "array", "Fit it", "Write a list of acts, as [{ say: … }]."],
    [
      "steps.hot.answers",
      "object",
      "yes",
      'Write answers by name, as { "yes": { goto: step }, "no": { goto: step } }.',
    ],
    ["set-ups", "object", "none", "Write set-ups by name, as { plug-apart: { do: …, minutes: 2 } }."],
    [
      "steps.in.set-ups",
      "object",
      "x",
      "Write set-ups of the called procedure with the names they have here, as { apart: plug-apart }.",
    ],
    ["steps.hot.other", "object", "x", "Write keys and values."],
  ])("says for %s, which is to be an %s, how its entries are written", (where, expected, text, mend) => {
    const params = { where, expected, found: "text", text };
    const finding = {
      code: "wrong-shape",
      severity: "error",
      params,
      node: { file: "a.yaml", path: [] },
    } as const;
    expect(placeFinding(finding, new Map()).mend).toBe(mend);
  });

  it("shows terminal escapes and direction marks, and obeys none", () => {
    const text = withSteps('  hot: { "\\e[31mend": "\\u202Efixed" , end: "\\e]0;x\\a" }\n');
    const findings = findingsOf(text);
    expect(findings).toHaveLength(2);
    for (const { message, mend } of findings) expect(`${message}${mend}`).not.toMatch(/[\p{Cc}\p{Cf}]/u);
    expect(findings.map(({ message }) => message).join()).toContain("\\x1b[31mend");
  });
});

describe("visible", () => {
  it("leaves readable text alone and escapes the rest", () => {
    expect(visible("20 °C, 4.7 kΩ, 🔧, é")).toBe("20 °C, 4.7 kΩ, 🔧, é");
    expect(visible("a\x1b[31m\n\x07\x9b\u202e\u200b\ufeff\ud800")).toBe(
      "a\\x1b[31m\\x0a\\x07\\x9b\\u202e\\u200b\\ufeff\\ud800",
    );
  });
});

describe("nearest", () => {
  it("finds the name meant and no far one", () => {
    expect(nearest("fuze", ["feed", "fuse", "ground"])).toBe("fuse");
    expect(nearest("Set_Ups", ["steps", "set-ups"])).toBe("set-ups");
    expect(nearest("fuse", ["ground", "winding"])).toBeUndefined();
    expect(nearest("a", [])).toBeUndefined();
    expect(nearest("x".repeat(100_000), ["fuse"])).toBeUndefined();
  });
});
