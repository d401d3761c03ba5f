import { describe, expect, it } from "vitest";
import { parseText } from "../../../engine/procedure/parse.ts";
import { sampleText } from "../../schemas/raw-file.ts";
import { findingsOf, underlined } from "./parse-findings.ts";

const FAN = sampleText("radiator-fan-stays-off.yaml");

describe("what YAML does to people", () => {
  it.each([
    [
      "percent",
      "complaint: The fan",
      "complaint: % The fan",
      "% The fan does not start although the coolant is hot.",
    ],
    [
      "reserved-character",
      "complaint: The fan",
      "complaint: @ The fan",
      "@ The fan does not start although the coolant is hot.",
    ],
    [
      "comma",
      "{ say: Fuse out. Unbolt",
      "{ say: Fuse out, unbolt",
      "unbolt the fan frame and change the motor.",
    ],
    [
      "colon",
      "complaint: The fan",
      "complaint: Fan: The fan",
      "Fan: The fan does not start although the coolant is hot.",
    ],
    ["tab", "    minutes: 6\n", "\tminutes: 6\n", "\t"],
    ["dash", "start: hot", "start: - hot", "-"],
    ["indent", "    say: Fan commanded", "     say: Fan commanded", undefined],
    ["unclosed", '"yes": { goto: feed }', '"yes": { goto: feed', undefined],
    ["unclosed", '"yes": { goto: feed }', '"yes: { goto: feed }', undefined],
    ["star", "start: hot", "start: *hot", "*hot"],
    ["hash", "say: Plug apart.", "say: Pin #3 apart.", "Pin"],
    ["repeated", "  feed:\n", "  hot:\n", "hot"],
    ["loose-text", "say: The complaint", "say: {facts.connector} is it. The complaint", undefined],
    ["backslash", "title: Radiator fan stays off", 'title: "A \\q"', "\\q"],
  ])("%s: %j as %j gives one hint at its place", (hint, from, to, at) => {
    expect(FAN).toContain(from);
    const text = FAN.replace(from, () => to);
    const { findings, raw } = parseText(text, "a.yaml", "procedure");
    expect(findings.map(({ code, params }) => [code, params.hint])).toEqual([["plain-hint", hint]]);
    expect(raw).toBeDefined();
    const [finding] = findingsOf(text);
    if (at !== undefined) expect(finding && underlined(text, finding)).toBe(at);
    expect(finding?.message).toMatch(/\.$/);
  });

  it("is no matter where % follows a number, or a colon has no space behind it", () => {
    const text = FAN.replace("complaint: The fan", () => "complaint: 5 % of fans:all");
    expect(findingsOf(text)).toEqual([]);
  });
});
