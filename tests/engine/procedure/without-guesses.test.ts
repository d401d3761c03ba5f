import { describe, expect, it } from "vitest";
import { usable } from "../../../engine/procedure/load.ts";
import { CONNECTOR, fanText, load, told } from "./fan-text.ts";

const FAN = fanText();

/** The limit that is cited there is no text. */
function wrongLimit(to: string): string {
  return to.includes("feed-voltage") ? "{ from: 11, source" : "{ from: 11.5 V, source";
}

/** The fan's steps with a call, and evidence that names a fault behind it. */
const CALLING = fanText({
  faults: "\n  fuse-open: { title: Fuse open, prior: 5 }",
  repairs: "{}",
  start: "a",
  steps: `
  a: { ask: Dry?, answers: { "yes": { goto: b }, "no": { goto: referred } }, evidence: { b/pin-loose: { "no": 0.9 } } }
  b: { call: connector, returns: { fault-found: { goto: referred } } }
  referred: { end: referred }`,
});

describe("one slip is told once", () => {
  it.each([
    ["a step that is there with nothing in it", "fixed: { end: fixed }", "fixed:", "wrong-shape steps.fixed"],
    [
      "a condition with nothing in it",
      "dead: { under: 1 V, goto: fuse-bad }",
      'dead: { under: 1 V, then: [ { if: "", goto: fuse-bad }, { goto: winding } ] }',
      "wrong-shape steps.feed.bands.dead.then.0.if",
    ],
    [
      "a limit of a wrong shape that a band cites",
      "dead: { under: 1 V, goto: fuse-bad }\n      live: { from: 1 V, goto: winding }",
      "dead: { under: feed-voltage.from, goto: fuse-bad }\n      live: { from: feed-voltage.from, goto: winding }",
      "bad-quantity specifications.feed-voltage.from",
    ],
    [
      "a letter that only looks like another",
      "runs: { goto: fixed }",
      "runs: { goto: fiхed }",
      "unknown-step steps.again.answers.runs.goto name=fiхed nearest=fixed",
    ],
    [
      "bands of a wrong shape that evidence speaks of",
      "dead: { under: 1 V, goto: fuse-bad }",
      "dead: 1",
      "wrong-shape steps.feed.bands.dead",
    ],
    ["a share that no quotes hold", "reading: 0.5 %, counts: 3", "reading: % 0.5, counts: 3", "plain-hint"],
  ])("%s", (_, from, to, finding) => {
    expect(FAN).toContain(from);
    const loaded = load(FAN.replace("{ from: 11.5 V, source", wrongLimit(to)).replace(from, () => to));
    expect(told(loaded)).toEqual([expect.stringContaining(finding)]);
    expect(usable(loaded.findings)).toBe(false);
  });

  it("a call of a procedure that is not there, with what evidence says of its faults", () => {
    expect(told(load(CALLING, { connector: CONNECTOR }))).toEqual([]);
    expect(told(load(CALLING))).toEqual(["unknown-name steps.b.call what=procedure name=connector"]);
  });

  it("a called procedure that is none, at its own place", () => {
    const loaded = load(CALLING, { connector: "" });
    expect(told(loaded)).toEqual([expect.stringContaining("not-procedure  why=empty")]);
    expect(usable(loaded.findings)).toBe(false);
  });

  it("a call of itself", () => {
    expect(told(load(CALLING.replace("call: connector", "call: fan")))).toEqual([
      "endless-loop steps.b.call reason=calls name=fan > fan",
    ]);
  });

  it("lines that tabs begin, and no name twice for them", () => {
    const loaded = load(
      FAN.replace("    unit: V\n", "\tunit: V\n").replace("    with: meter\n", "\tunit: V\n"),
    );
    expect(told(loaded)).toEqual(["plain-hint  hint=tab", "plain-hint  hint=tab"]);
  });

  it("a space that YAML does not know", () => {
    const loaded = load(FAN.replace("unit: V\n", "unit:\u00a0V\n"));
    expect(told(loaded)).toEqual(["plain-hint  hint=odd-space text=unit:\u00a0V"]);
  });
});
