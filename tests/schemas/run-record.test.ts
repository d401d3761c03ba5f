import { describe, expect, it } from "vitest";
import { validateRunRecord } from "../../schemas/generated/validators.js";

const HASH = "0123456789abcdef".repeat(4);

function line(type: string, payload: unknown, more: object = {}): unknown {
  const at = "2031-05-04T10:20:30.000Z";
  return { seq: 1, at, run: "run-1", step: "hot", type, payload, previous: HASH, hash: HASH, ...more };
}

describe("a line of a run record", () => {
  it.each([
    [
      "opened",
      { procedure: "a", revision: 1, hash: HASH, title: "A", technician: "tech-1", app: "probewright 1" },
    ],
    ["fact", { fact: "connector", value: "round" }],
    ["fact", { fact: "codes", value: ["P0480"] }],
    ["fact", { fact: "battery-temperature", value: { unknown: true } }],
    ["specification", { specification: "crank-current", limits: { to: "200 A" }, source: "maker's data" }],
    ["set-up", { setUp: "plug-apart", change: "make" }],
    ["acknowledge", { for: "hot", cautions: ["fan-starts"] }],
    ["answer", { step: "inspect-end/look", answer: "clean" }],
    ["reading", { step: "feed", reading: "26.10", leads: "0.2", temperature: "80 degC", waited: 10 }],
    ["choose", { step: "inspect-end/look" }],
    ["done", { step: "__proto__" }],
    ["cannot", { step: "feed", reason: "The bolt is seized" }],
    ["stop", { reason: "End of shift" }],
    ["amend", { seq: 3, event: { at: 5, type: "answer", step: "hot", answer: "no" } }],
    ["remark", { text: "Rust at the ground point" }],
  ])("may be %s with its payload", (type, payload) => {
    expect(validateRunRecord(line(type, payload))).toBe(true);
  });

  it.each([
    ["an unknown type", line("guess", {})],
    ["a payload of another type", line("answer", { step: "feed", reading: "26.1" })],
    ["a key too many in a payload", line("done", { step: "hot", extra: 1 })],
    [
      "an amended event with a key too many",
      line("amend", { seq: 3, event: { at: 5, type: "done", step: "a", b: 1 } }),
    ],
    ["a local time", line("stop", { reason: "x" }, { at: "2031-05-04T10:20:30+02:00" })],
    ["a short hash", line("stop", { reason: "x" }, { hash: "abc" })],
    ["a key too many", line("stop", { reason: "x" }, { extra: 1 })],
    ["no hash", { seq: 0 }],
  ])("is refused with %s", (_what, value) => {
    expect(validateRunRecord(value)).toBe(false);
  });
});
