import { describe, expect, it } from "vitest";
import { CONNECTOR, fanText, sound } from "../procedure/fan-text.ts";
import { Job } from "./job.ts";

const FACTS = `
  plug: { ask: Which plug?, choices: { round: The round one, flat: The flat one } }
  cells: { measure: voltage, unit: V }`;
const STEPS = `
  first: { ask: Does it click?, answers: { "yes": { goto: second }, "no": { goto: second } } }
  second:
    ask: "Look at {facts.plug}."
    answers:
      bright: { then: [ { if: "facts.plug == \\"round\\"", goto: third }, { goto: fourth } ] }
  third:
    measure: voltage
    unit: V
    bands:
      low: { under: 1 V, goto: second, at-most: 1, else: fourth }
      high: { from: 1 V, then: [ { if: "facts.cells > 2.0", goto: fixed }, { goto: fourth } ] }
  fourth: { end: no-fault-found }
  fixed: { end: fixed }`;
const text = () => fanText({ facts: FACTS, start: "first", steps: STEPS });

describe("facts", () => {
  it("are asked once, just before the first step that uses them", () => {
    const job = new Job(sound(text())).say("first", "yes");
    expect(job.prompt).toMatchObject({ kind: "fact", fact: { id: "plug" } });
    job.give({ type: "fact", fact: "plug", value: "round" }).say("second", "bright");
    expect(job.prompt).toMatchObject({ kind: "fact", fact: { id: "cells" } });
    job.give({ type: "fact", fact: "cells", value: 2.1 }).say("third", "0.2").say("second", "bright");
    job.say("third", "12.6");
    expect(job.asked.filter((one) => one.startsWith("fact"))).toEqual(["fact plug", "fact cells"]);
    expect(job.path.at(-1)).toBe("fixed fixed");
  });

  it("are measured behind the cautions of the step that needs them, what is only asked before these", () => {
    const steps = STEPS.replace("third:", "third:\n    cautions: [fan-starts]").replace(
      "facts.cells > 2.0",
      "facts.cells > 2.0 && facts.make == 'old'",
    );
    const facts = `${FACTS}\n  make: { ask: Which make?, choices: { old: Old, new: New } }`;
    const job = new Job(sound(fanText({ facts, start: "third", steps })));
    expect(job.prompt).toMatchObject({ kind: "fact", fact: { id: "make" } });
    job.give({ type: "fact", fact: "make", value: "old" });
    expect(job.prompt).toMatchObject({ kind: "cautions", for: "third" });
    expect(job.tryTo({ type: "fact", fact: "cells", value: 2.1 })).toMatchObject({ code: "not-expected" });
    job.ready().give({ type: "fact", fact: "cells", value: 2.1 });
    expect(job.say("third", "12.6").run.step).toBe("fixed");
    expect(job.asked).toEqual(["fact make", "cautions third", "fact cells", "measure third"]);
  });

  it("stand in texts by the label of their choice", () => {
    const job = new Job(sound(text()))
      .say("first", "yes")
      .give({ type: "fact", fact: "plug", value: "flat" });
    expect(job.prompt).toMatchObject({ text: "Look at The flat one." });
  });

  it("that are not known make a condition take its last arm", () => {
    const job = new Job(sound(text())).say("first", "no");
    job.give({ type: "fact", fact: "plug", value: { unknown: true } }).say("second", "bright");
    expect(job.path).toEqual(["first no", "facts/plug unknown", "second bright", "fourth no-fault-found"]);
  });

  it.each([
    ["a choice that there is not", "plug", "square"],
    ["a number for a choice", "plug", 3],
    ["a name that every object has", "plug", "constructor"],
  ])("refuse %s", (_, fact, value) => {
    const job = new Job(sound(text())).say("first", "no");
    expect(job.tryTo({ type: "fact", fact, value })).toEqual({ code: "bad-fact", fact });
  });

  it("refuse a number that is none, or lies at no end", () => {
    const job = new Job(sound(text()))
      .say("first", "no")
      .give({ type: "fact", fact: "plug", value: "round" });
    job.say("second", "bright");
    for (const value of [Number.NaN, Infinity, "2"])
      expect(job.tryTo({ type: "fact", fact: "cells", value })?.code).toBe("bad-fact");
  });

  it("that only a call's return uses are asked before the first step inside it", () => {
    const steps = `
  inspect:
    call: connector
    give: { which: The gateway plug, heat: 30 }
    returns:
      fault-found: { goto: fixed }
      no-fault-found: { then: [ { if: "facts.plug == \\"round\\"", goto: fourth }, { goto: other } ] }
      unresolved: { goto: other }
  fourth: { end: no-fault-found }
  other: { end: referred }
  fixed: { end: fixed }`;
    const job = new Job(sound(fanText({ facts: FACTS, start: "inspect", steps }), { connector: CONNECTOR }));
    expect(job.prompt).toMatchObject({ kind: "fact", fact: { id: "plug" } });
    job.give({ type: "fact", fact: "plug", value: "round" }).say("inspect/look", "straight");
    expect(job.run.end).toBe("no-fault-found");
  });
});
