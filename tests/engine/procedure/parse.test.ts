import { describe, expect, it } from "vitest";
import { parseText } from "../../../engine/procedure/parse.ts";
import { sampleText } from "../../schemas/raw-file.ts";
import { findingsOf, STEP, underlined, withSteps } from "./parse-findings.ts";

const FAN = sampleText("radiator-fan-stays-off.yaml");

/** The sample with one text replaced, and what is found in it. */
function changed(from: string, to: string) {
  expect(FAN).toContain(from);
  const text = FAN.replace(from, () => to);
  return { text, findings: findingsOf(text) };
}

describe("a mistake of shape", () => {
  it.each([
    ["    measure: voltage", "    mesure: voltage", "unknown-name", "mesure", '"measure"'],
    ["measure: voltage", "measure: voltge", "unknown-name", "voltge", '"voltage"'],
    ["cautions: [hot-coolant", "cautoins: [hot-coolant", "unknown-name", "cautoins", '"cautions"'],
    ["metal: copper", "metal: coper", "unknown-name", "coper", '"copper"'],
    ["end: referred, say: Feed", "end: refered, say: Feed", "unknown-name", "refered", '"referred"'],
    ["signal: warning ", "signal: Warnin ", "unknown-name", "Warnin", '"warning"'],
    ["set-ups:\n", "setups:\n", "unknown-name", "setups", '"set-ups"'],
    ["goto: feed }", "gotto: feed }", "unknown-name", "gotto", '"goto"'],
  ])("%s written as %s gives the name meant, at its place, and nothing else", (from, to, code, at, meant) => {
    const { text, findings } = changed(from, to);
    expect(findings.map((finding) => finding.code)).toEqual([code]);
    const [finding] = findings;
    expect(finding && underlined(text, finding)).toBe(at);
    expect(finding?.message).toContain(meant);
  });

  it("tells line and column right", () => {
    const [finding] = findingsOf(withSteps("  hot: { edn: fixed }\n"));
    expect(finding).toMatchObject({ line: 7, column: 10, endLine: 7, endColumn: 13, step: "hot" });
  });

  it("counts columns in UTF-16 units and lines by their line feeds", () => {
    const text = withSteps('  hot: { say: "🔧 é", edn: fixed }\n').replaceAll("\n", "\r\n");
    const [finding] = findingsOf(text);
    expect(finding && underlined(text, finding)).toBe("edn");
    expect(finding).toMatchObject({ line: 7, column: 23 });
  });

  it.each([
    ["    minutes: 6\n", "    minutes: 6\n    bands: {}\n", "unknown-name", "measure step"],
    ["    measure: voltage", "    measure: voltage\n    ask: Is it?", "wrong-shape", "ask and measure"],
    ["weak: { from: 1 V,", "weak: { from: 1 V, over: 1 V,", "wrong-shape", "from and over"],
    ["    do: Unplug the fan motor connector.\n", "", "missing-key", "needs do"],
    ["from: 11.5 V, source", "from: 11.5, source", "bad-quantity", "unit is missing"],
    ["title: Radiator fan stays off", "title: 35", "wrong-shape", "35 is written"],
    ["minutes: 8", "minutes: -8", "wrong-shape", "at least 0"],
    ["minutes: 8", "minutes: .inf", "wrong-shape", "a number"],
    ["title: Radiator fan stays off", "title: ''", "wrong-shape", "nothing is written"],
    ["revision: 1", "revision: 1.5", "wrong-shape", "a whole number"],
    ["start: hot", "start: hot water", "wrong-shape", "a name of letters"],
    ["    do: Unplug", "    dos: Unplug", "unknown-name", "do"],
  ])("%j as %j is one finding", (from, to, code, words) => {
    const { findings } = changed(from, to);
    expect(findings.map((finding) => finding.code)).toEqual([code]);
    expect(findings[0]?.message).toContain(words);
    expect(findings[0]?.mend).not.toBe("");
  });

  it.each(["cannot", "borderline", "stop"])(
    "keeps the word %s from answers and says where it belongs",
    (word) => {
      const text = withSteps(`  hot:\n    ask: Is it?\n    answers: { ${word}: { goto: hot } }\n`);
      const findings = findingsOf(text);
      expect(findings.map(({ code, line, column }) => [code, line, column])).toEqual([
        ["unknown-name", 9, 16],
      ]);
      expect(findings[0]?.mend).toContain(word === "stop" ? "can be stopped" : "key of the step");
    },
  );

  it("keeps the word reads from answers, which evidence has for readings", () => {
    const text = withSteps("  hot:\n    ask: Is it?\n    answers: { reads: { goto: hot } }\n");
    expect(findingsOf(text)).toMatchObject([{ code: "unknown-name", line: 9, column: 16 }]);
  });

  it("leaves the rest of a draft readable and typed", () => {
    const text = withSteps(
      "  hot: { end: fixd, minutes: 3 }\n  hotter: { ask: 5, cautions: [a, 7, b] }\n  coldest: 5\n",
      "facts: 7\n",
    );
    const { raw } = parseText(text, "a.yaml", "procedure");
    expect(raw).toEqual({
      procedure: "a",
      title: "A",
      revision: 1,
      complaint: "It does not run.",
      start: "hot",
      steps: { hot: { minutes: 3 }, hotter: { cautions: ["a"] } },
    });
  });

  it("never reports more than 200 and says that there are more", () => {
    const findings = findingsOf(
      withSteps(Array.from({ length: 300 }, (_, at) => `  s${at}: { edn: fixed }\n`).join("")),
    );
    expect(findings).toHaveLength(201);
    expect(findings.at(-1)).toMatchObject({ severity: "note", code: "plain-hint" });
    expect(findings.at(-1)?.message).toMatch(/at least \d+ more/);
  });
});

describe("names", () => {
  it.each(["__proto__", "constructor", "toString", "hasOwnProperty", "1", "a_b", "true"])(
    "%s is an ordinary id",
    (id) => {
      const text = withSteps(
        `  ${id}: { ask: Is it?, answers: { ${id}: { goto: "${id}" } } }\n  hot: { end: fixed }\n`,
      );
      const { raw, findings } = parseText(text, "a.yaml", "procedure");
      expect(findings).toEqual([]);
      expect(Object.keys(raw?.steps ?? {}).sort()).toEqual([id, "hot"].sort());
      const step = raw?.steps?.[id];
      expect(step?.ask).toBe("Is it?");
      expect(step?.answers?.[id]?.goto).toBe(id);
    },
  );

  it("of the format are not taken from an object's ancestors", () => {
    expect(
      findingsOf(withSteps("  hot: { end: fixed, constructor: 1, __proto__: { end: fixed } }\n")).map(
        (f) => f.code,
      ),
    ).toEqual(["unknown-name", "unknown-name"]);
  });

  it("written twice are told at the second", () => {
    const findings = findingsOf(withSteps(`${STEP}${STEP}`));
    expect(findings.map(({ code, line, column }) => [code, line, column])).toEqual([["plain-hint", 8, 3]]);
  });
});

describe("anchors and aliases", () => {
  it("stand for what was anchored", () => {
    const text = withSteps(
      '  hot: { ask: Is it?, answers: { "yes": &end { goto: done }, "no": *end } }\n  done: { end: fixed }\n',
    );
    const { raw, findings } = parseText(text, "a.yaml", "procedure");
    expect(findings).toEqual([]);
    expect(raw?.steps?.hot?.answers).toEqual({ yes: { goto: "done" }, no: { goto: "done" } });
  });

  it("with a mistake behind them are told where it is written", () => {
    const text = withSteps('  hot: { ask: Is it?, answers: { "yes": &end { gotto: done }, "no": *end } }\n');
    const findings = findingsOf(text);
    expect(findings.every((finding) => underlined(text, finding) === "gotto")).toBe(true);
    expect(findings.length).toBeGreaterThan(0);
  });
});

describe("answers", () => {
  it("keep what was written: zeros, signs and capitals", () => {
    const text =
      'feed: 26.10\ncoil: [-0.30, OL, 1e3, 0x10, "7.50"]\nhot: yes\nlamp: true\ncold: { reading: 3.0 }\n';
    const { raw, findings } = parseText(text, "a.yaml", "answers");
    expect(findings).toEqual([]);
    expect(raw).toEqual({
      feed: "26.10",
      coil: ["-0.30", "OL", "1e3", "0x10", "7.50"],
      hot: "yes",
      lamp: "true",
      cold: { reading: "3.0" },
    });
  });

  it("without a value are a finding at their name", () => {
    const [finding, ...more] = findingsOf("feed:\n", "answers");
    expect(more).toEqual([]);
    expect(finding).toMatchObject({ code: "wrong-shape", line: 1, column: 1 });
  });

  it("of calls are named by call and step", () => {
    expect(findingsOf("inspect-end/look: clean\n", "answers")).toEqual([]);
    expect(findingsOf("inspect end: clean\n", "answers").map((finding) => finding.code)).toEqual([
      "wrong-shape",
    ]);
  });
});
