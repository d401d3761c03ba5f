import { describe, expect, it } from "vitest";
import { readAnswers } from "../../../engine/machine/answers.ts";
import type { RunEvent } from "../../../engine/machine/event.ts";
import { walkAnswers } from "../../../engine/machine/walk.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { CONNECTOR, fanText, load, sound } from "../procedure/fan-text.ts";

const OPENING = { run: "run-1", at: 1_700_000_000_000 };

function walked(procedure: Procedure, text: string) {
  const read = readAnswers(text, "answers.yaml", procedure);
  if (!read.ok) throw new Error(JSON.stringify(read.findings));
  const events: RunEvent[] = [];
  const result = walkAnswers(procedure, OPENING, read.answers, (event) => events.push(event));
  return { ...result, events, path: result.run.path.map((row) => `${row.step} ${row.outcome}`) };
}

/** Findings as code and parameters. */
function wrong(procedure: Procedure, text: string): readonly string[] {
  const read = readAnswers(text, "answers.yaml", procedure);
  return read.ok
    ? []
    : read.findings.map(({ code, params }) => [code, ...Object.values(params)].map(String).join(" "));
}

const WINDING = 'hot: "yes"\nfeed: 12.6\n';

describe("an answers file", () => {
  it("walks to the end: readings with what goes with them, done unwritten, everything put back", () => {
    const { run, path } = walked(
      sound(fanText()),
      `${WINDING}winding: { reading: 0.90, temperature: 20 degC, wait: 5 min }\n`,
    );
    expect(path).toEqual([
      "hot yes",
      "feed live",
      "winding within",
      "other-found concluded",
      "referred referred",
    ]);
    expect(run.path[2]?.reading).toBe("0.90 Ohm");
    expect(run.made).toEqual([]);
    // hot 1, set-ups 12, feed 2, winding 2 + 1.5 nominal, put back 7.
    expect(run.minutes).toBe(25.5);
  });

  it("tells the time really waited by the clock, not in the nominal minutes", () => {
    const fan = sound(fanText());
    const at = (wait: string) => {
      const { events } = walked(fan, `${WINDING}winding: { reading: OL${wait} }\nagain: runs`);
      return (
        (events.find((event) => event.type === "reading" && event.step === "winding")?.at ?? 0) - OPENING.at
      );
    };
    expect(at("")).toBe((1 + 12 + 2 + 3.5) * 60_000);
    expect(at(", wait: 5 min")).toBe((1 + 12 + 2 + 2 + 5) * 60_000);
  });

  it("tells it at an ask, too", () => {
    const steps = `
  first: { ask: Well?, wait: 10 min, answers: { "yes": { goto: good } } }
  good: { end: no-fault-found }`;
    const procedure = sound(fanText({ start: "first", steps }));
    expect(walked(procedure, "first: { answer: yes, wait: 30 s }").events[0]?.at).toBe(OPENING.at + 90_000);
    expect(walked(procedure, "first: yes").run.minutes).toBe(11);
  });

  it.each([["OL"], ["-5 min"], ["soon"], ["5 V"]])("refuses to wait %s", (wait) => {
    const found = wrong(sound(fanText()), `winding: { reading: 1, wait: ${wait} }`);
    expect(found).toEqual([`bad-quantity ${wait} a time such as 10 min`]);
  });

  it("stays on the calendar however long a wait is said to be", () => {
    const text = `${WINDING}winding: { reading: OL, wait: 1000000000000 min }\nagain: runs`;
    expect(walked(sound(fanText()), text).run.end).toBe("fixed");
  });

  it("serves a list one by one, and leaves the run incomplete where it runs out", () => {
    const text = 'hot: ["yes", "yes"]\nfeed: [0.0, 0.1]\nagain: [still]\n';
    const { at, run, refusal } = walked(sound(fanText()), text);
    expect(at).toBe("again");
    expect(refusal).toBeUndefined();
    expect(run.end).toBeUndefined();
    expect(run.visits.again).toBe(2);
  });

  it.each([
    ["another answer", "again: run", "unknown-name answer run runs"],
    ["another word for an act", "fuse-bad: repeired", "unknown-name answer repeired repaired"],
    ["another step", "aagain: runs", "unknown-step step aagain again"],
  ])("says what is meant for %s", (_, text, finding) => {
    expect(wrong(sound(fanText()), text)).toEqual([finding]);
  });

  it("names the step that it gives no answer for, and keeps the reading that is none", () => {
    const { at, refusal } = walked(sound(fanText()), 'hot: "yes"\nfeed: twelve');
    expect([at, refusal?.code]).toEqual(["feed", "bad-reading"]);
    expect(walked(sound(fanText()), "{}").at).toBe("hot");
  });

  it("takes facts, unknown ones and codes that nobody read among them", () => {
    const facts = "\n  cells: { measure: voltage, unit: V }";
    const steps = `
  first: { ask: "Codes {facts.codes}, cells {facts.cells}.", answers: { "yes": { then: [ { if: "\\"P0104\\" in facts.codes", goto: bad }, { goto: good } ] } } }
  good: { end: no-fault-found }
  bad: { end: referred }`;
    const procedure = sound(fanText({ facts, start: "first", steps }));
    expect(walked(procedure, "facts: { codes: [P0104], cells: 2100 mV }\nfirst: yes").run).toMatchObject({
      end: "referred",
      facts: { codes: ["P0104"], cells: 2.1 },
    });
    const unknown = walked(procedure, "facts: { codes: unknown, cells: unknown }\nfirst: yes").run;
    expect(unknown).toMatchObject({ end: "no-fault-found", facts: { codes: { unknown: true } } });
    expect(wrong(procedure, "facts: { cells: OL }")).toEqual(["bad-quantity OL a reading in V"]);
    const cold = sound(
      fanText({ facts: "\n  cells: { measure: temperature, unit: degC }", start: "first", steps }),
    );
    expect(wrong(cold, "facts: { cells: -300 degC }")).toEqual(["bad-quantity -300 degC too-cold"]);
  });

  it("tells limits that go before those written, source and all", () => {
    const steps = `
  first: { measure: voltage, unit: V, specification: feed-voltage, outcomes: { below: { goto: bad }, within: { goto: good } } }
  good: { end: no-fault-found }
  bad: { end: referred }`;
    const procedure = sound(fanText({ start: "first", steps }));
    const told = "specifications: { feed-voltage: { from: 12.4 V, source: service sheet 7 } }\n";
    expect(walked(procedure, "first: 12.0").run.end).toBe("no-fault-found");
    const { run, events } = walked(procedure, `${told}first: 12.0`);
    expect(run.end).toBe("referred");
    expect(events[0]).toMatchObject({ type: "specification", source: "service sheet 7" });
    const bad = told.replace("12.4 V", "12.4 A");
    expect(walked(procedure, `${bad}first: 12.0`)).toMatchObject({
      at: "specifications/feed-voltage",
      refusal: { code: "bad-specification" },
    });
  });

  it("names a step inside a call by both names", () => {
    const steps = `
  inspect: { call: connector, give: { which: The plug, heat: 30 }, returns: { no-fault-found: { goto: good } } }
  good: { end: no-fault-found }`;
    const procedure = sound(fanText({ start: "inspect", steps }), { connector: CONNECTOR });
    expect(walked(procedure, "inspect/look: straight").path.at(-1)).toBe("good no-fault-found");
  });
});

describe("a draft that goes round for ever", () => {
  it("made of acts, conclusions and calls, is left after 10,000 events", { timeout: 60_000 }, () => {
    const steps = `
  first: { do: Switch it on., done: { goto: second } }
  second: { conclude: fuse-open, verify: first }`;
    const { procedure } = load(fanText({ start: "first", steps }));
    if (procedure === undefined) throw new Error("the draft does not link");
    const { at, refusal, run } = walked(procedure, "{}");
    expect(refusal).toEqual({ code: "endless", events: 10_000 });
    expect(["first", "second"]).toContain(at);
    expect(run.events.length).toBe(10_000);
  });

  it("of calls that ask nothing ends unresolved", () => {
    const inner = `
procedure: nothing
title: Nothing
revision: 1
complaint: None.
faults: { f: { title: F, prior: 1 } }
start: done
steps: { done: { end: no-fault-found } }`;
    const steps = `
  first: { call: nothing, returns: { no-fault-found: { goto: first } } }`;
    const { procedure } = load(fanText({ start: "first", steps }), { nothing: inner });
    if (procedure === undefined) throw new Error("the draft does not link");
    expect(walked(procedure, "{}").run.end).toBe("unresolved");
  });
});
