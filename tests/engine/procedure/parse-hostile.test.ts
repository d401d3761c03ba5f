import { describe, expect, it } from "vitest";
import { decodeText, MAX_BYTES, tooLarge } from "../../../engine/procedure/decode-text.ts";
import { parseText } from "../../../engine/procedure/parse.ts";
import { findingsOf, STEP, withSteps } from "./parse-findings.ts";

const SIZE = MAX_BYTES - 100;
const bytes = (text: string) => new TextEncoder().encode(text);

/** Nine levels of nine aliases each: 387 million values from 400 letters. */
const BOMB = `a: &a [x,x,x,x,x,x,x,x,x]\n${[..."bcdefghi"]
  .map(
    (name, at) =>
      `${name}: &${name} [${Array(9)
        .fill(`*${"abcdefgh".charAt(at)}`)
        .join(",")}]\n`,
  )
  .join("")}`;

describe("a text that is no procedure", () => {
  it.each<[string, string, string]>([
    ["empty", "", "empty"],
    ["of blanks", " \n\t\n ", "empty"],
    ["of remarks", "# nothing here\n", "empty"],
    ["a list", "- a\n- b\n", "not-a-map"],
    ["one word", "hello", "not-a-map"],
    ["with a NUL", "procedure: a\0b", "binary"],
    ["of two documents", `${withSteps(STEP)}---\na: 1\n`, "two-documents"],
    ["nested 10,000 deep in brackets", `a: ${"[".repeat(10_000)}${"]".repeat(10_000)}`, "too-deep"],
    ["nested 10,000 deep with brackets in quotes between", `a: ${'[ "]", '.repeat(10_000)}`, "too-deep"],
    [
      "nested deep in lines",
      Array.from({ length: 1000 }, (_, at) => `${" ".repeat(at)}a:\n`).join(""),
      "too-deep",
    ],
    ["nested deep in dashes", `${"- ".repeat(100_000)}\nb: 1\n`, "too-deep"],
    ["nested deep by aliases", deepAliases(), "too-deep"],
    ["a bomb of aliases", BOMB, "too-many-aliases"],
    ["an alias of itself", "a: &a { b: *a }\n", "alias-circle"],
    ["full of aliases", `a: &a x\nb: [${"*a,".repeat(200_000)}]\n`, "too-many-aliases"],
    [
      "with a large value copied often",
      `a: &a [${"1,".repeat(5000)}]\nb: [${"*a,".repeat(5000)}]\n`,
      "too-many-aliases",
    ],
    [
      "of 20,001 steps",
      withSteps(Array.from({ length: 20_001 }, (_, at) => `  s${at}: {}\n`).join("")),
      "too-many-steps",
    ],
    ["larger than the limit", "a".repeat(MAX_BYTES + 1), "too-large"],
    ["of open brackets", "[".repeat(SIZE), "too-deep"],
    ["of quotes", '"'.repeat(SIZE), "too-many-parts"],
    ["of commas", `{${",".repeat(SIZE)}`, "too-many-parts"],
    ["of anchors", "&a ".repeat(SIZE / 3), "too-many-parts"],
    ["of blank lines", `${"\n".repeat(SIZE)}a: 1`, "too-many-parts"],
    ["of remark lines", `${"#\n".repeat(SIZE / 2)}a: 1`, "too-many-parts"],
    ["of document marks", "---\n".repeat(SIZE / 4), "two-documents"],
    ["of mistakes", "a: @x\n".repeat(5000), "too-many-mistakes"],
  ])("%s gives one finding within two seconds of work", (_what, text, why) => {
    const start = process.cpuUsage();
    const { findings, raw } = parseText(text, "a.yaml", "procedure");
    const { user, system } = process.cpuUsage(start);
    expect((user + system) / 1000).toBeLessThan(2000);
    expect(findings.map(({ code, params }) => [code, params.why])).toEqual([["not-procedure", why]]);
    expect(raw).toBeUndefined();
  });

  it("is told in words, whatever it is", () => {
    for (const text of ["", "hello", BOMB, "a: &a [*a]"]) {
      const [finding] = findingsOf(text);
      expect(finding?.message).toMatch(/^[A-Z].*\.$/);
      expect(finding?.mend).toMatch(/^[A-Z].*\.$/);
    }
  });
});

describe("a large text that is lawful", () => {
  it("of 1,000 steps is read whole", () => {
    const step = (at: number) =>
      `  s${at}:\n    ask: Is it on?\n    answers: { "yes": { goto: s1 }, "no": { goto: hot } }\n`;
    const text = withSteps(`${STEP}${Array.from({ length: 1000 }, (_, at) => step(at)).join("")}`);
    const { findings, raw } = parseText(text, "a.yaml", "procedure");
    expect(findings).toEqual([]);
    expect(Object.keys(raw?.steps ?? {})).toHaveLength(1001);
  });

  it("of 20,000 steps is not refused for its steps", () => {
    const text = withSteps(Array.from({ length: 20_000 }, (_, at) => `  s${at}: {}\n`).join(""));
    const { findings, raw } = parseText(text, "a.yaml", "procedure");
    expect(findings.some(({ code }) => code === "not-procedure")).toBe(false);
    expect(raw).toBeDefined();
  });
});

describe("tags", () => {
  it.each(["!!js/function f", "!thing { a: 1 }", "!!set { a }", "!!binary aGk="])(
    "%s builds nothing",
    (value) => {
      const findings = findingsOf(withSteps(STEP, `tools: ${value}\n`));
      expect(findings.map(({ code, line }) => [code, line])).toContainEqual(["not-procedure", 5]);
    },
  );

  it("of plain values are read", () => {
    const { findings, raw } = parseText(
      withSteps(STEP).replace("title: A", "title: !!str 35"),
      "a.yaml",
      "procedure",
    );
    expect(findings).toEqual([]);
    expect(raw?.title).toBe("35");
  });
});

describe("the bytes of a file", () => {
  const why = (data: Uint8Array) => {
    const result = decodeText(data, "a.yaml");
    return "finding" in result ? result.finding.params.why : result.text;
  };

  it("become the text that the platform would read", () => {
    const text = "a é € 🔧 \u{10ffff} ".repeat(5000);
    expect(why(bytes(text)) === text).toBe(true);
    expect(why(bytes("\ufeffa: 1"))).toBe("a: 1");
  });

  it.each([
    ["a NUL", [0x61, 0, 0x62], "binary"],
    ["UTF-16, little end first", [0xff, 0xfe, 0x61, 0], "utf-16"],
    ["UTF-16, big end first", [0xfe, 0xff, 0, 0x61], "utf-16"],
    ["a lone continuation", [0x80], "not-utf-8"],
    ["an overlong slash", [0xc0, 0xaf], "not-utf-8"],
    ["an overlong three-byte form", [0xe0, 0x80, 0xaf], "not-utf-8"],
    ["a surrogate", [0xed, 0xa0, 0x80], "not-utf-8"],
    ["more than U+10FFFF", [0xf4, 0x90, 0x80, 0x80], "not-utf-8"],
    ["a cut end", [0xe2, 0x82], "not-utf-8"],
    ["0xff", [0x61, 0xff], "not-utf-8"],
  ])("are refused with %s", (_what, data, expected) => {
    expect(why(new Uint8Array(data))).toBe(expected);
  });

  it("beyond the limit are refused by their number alone", () => {
    expect(why(new Uint8Array(MAX_BYTES + 1))).toBe("too-large");
    expect(tooLarge("a.yaml", 50 * 1024 * 1024).params).toEqual({ why: "too-large", size: 50, limit: 2 });
  });
});

/** Aliases inside each other, shallow as written and 1,000 deep when read. */
function deepAliases(): string {
  const lines = Array.from({ length: 1000 }, (_, at) => `k${at + 1}: &k${at + 1} [*k${at}]\n`);
  return `k0: &k0 x\n${lines.join("")}`;
}
