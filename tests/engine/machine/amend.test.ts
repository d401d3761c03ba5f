import { describe, expect, it } from "vitest";
import { runBefore } from "../../../engine/machine/amend.ts";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import { CONNECTOR, fanText, sound } from "../procedure/fan-text.ts";
import { Job, OPENED } from "./job.ts";

/** Amends the last event that counts for a step. */
function amend(job: Job, step: string, change: Record<string, string>): Job {
  const { run } = job;
  const seq = run.path.findLast((row) => row.step === step)?.seq ?? 0;
  const old = run.events[seq - 1];
  const counted = old?.type === "amend" ? old.event : old;
  if (counted === undefined) throw new Error(`${step} was not answered`);
  return job.give({ type: "amend", seq, event: { ...counted, ...change, at: job.now } as never });
}

const repaired = () => new Job(sound(fanText())).say("hot", "yes").say("feed", "0.0").say("fuse-bad", "done");

describe("an amendment", () => {
  it("leaves what is apart apart, and what was spent spent", () => {
    const job = new Job(sound(fanText())).say("hot", "yes").say("feed", "12.6").ready();
    amend(job, "hot", { answer: "no" });
    expect(job.path).toEqual(["hot no", "not-present no-fault-found"]);
    expect(job.run.made).toEqual(["shield-off", "plug-apart"]);
    expect(job.run.minutes).toBe(15);
    expect(job.prompt).toMatchObject({ kind: "end", putBack: [{ done: false }, { done: false }] });
  });

  it("reopens an ended run, and walks the later answers again where they fit", () => {
    const job = new Job(sound(fanText())).say("hot", "no");
    expect(job.run.end).toBe("no-fault-found");
    amend(job, "hot", { answer: "yes" });
    expect(job.run.end).toBeUndefined();
    expect(job.say("feed", "0.0").prompt).toMatchObject({ kind: "repair" });
    amend(job, "hot", { answer: "no" });
    amend(job, "hot", { answer: "yes" });
    expect(job.path).toEqual(["hot yes"]);
  });

  it("can be amended itself, under its own number", () => {
    const job = new Job(sound(fanText())).say("hot", "yes").say("feed", "0.0");
    const first = job.seq;
    amend(job, "feed", { reading: "12.6" });
    expect(job.prompt).toMatchObject({ kind: "measure", step: "winding" });
    expect(
      job.tryTo({ type: "amend", seq: first, event: { at: 0, type: "answer", step: "feed", answer: "x" } }),
    ).toEqual({
      code: "nothing-to-amend",
      seq: first,
    });
    amend(job, "feed", { reading: "0.1" });
    expect(job.path).toEqual(["hot yes", "feed dead"]);
    expect(job.run.events.length).toBe(job.seq);
  });

  it("of nothing, of another question, or by an amendment is refused", () => {
    const job = new Job(sound(fanText())).say("hot", "yes");
    const event = { at: 0, type: "answer", step: "feed", answer: "no" } as const;
    for (const seq of [0, -1, 99, Number.NaN, job.seq])
      expect(job.tryTo({ type: "amend", seq, event })).toMatchObject({ code: "nothing-to-amend" });
    const nested = { type: "amend", at: 0, seq: job.seq, event: { ...event, step: "hot" } } as const;
    expect(job.tryTo({ type: "amend", seq: job.seq, event: nested })?.code).toBe("nothing-to-amend");
    expect(
      job.tryTo({ type: "amend", seq: job.seq, event: { ...event, step: "hot", answer: "maybe" } })?.code,
    ).toBe("unknown-answer");
  });

  it("of a fact changes the condition that it decides", () => {
    const steps = `
  first: { ask: Look., answers: { "yes": { then: [ { if: "facts.plug == \\"round\\"", goto: good }, { goto: bad } ] } } }
  good: { end: no-fault-found }
  bad: { end: referred }`;
    const facts = "\n  plug: { ask: Which plug?, choices: { round: Round, flat: Flat } }";
    const job = new Job(sound(fanText({ facts, start: "first", steps })));
    job.give({ type: "fact", fact: "plug", value: "round" }).say("first", "yes");
    amend(job, "facts/plug", { value: "flat" });
    expect(job.path).toEqual(["facts/plug flat", "first yes", "bad referred"]);
  });

  it("before a failed verification takes the strike back where the way no longer fails", () => {
    const job = repaired().say("again", "still").say("hot", "yes");
    expect(job.run.struck).toEqual(["fuse-open"]);
    amend(job, "again", { answer: "runs" });
    expect(job.run).toMatchObject({ struck: [], end: "fixed" });
    amend(job, "again", { answer: "still" });
    expect(job.run.struck).toEqual(["fuse-open"]);
    expect(job.run.end).toBeUndefined();
  });

  it("counts at-most anew", () => {
    const steps = `
  first: { ask: Again?, answers: { again: { goto: first, at-most: 1, else: bad }, enough: { goto: good } } }
  good: { end: no-fault-found }
  bad: { end: referred }`;
    const job = new Job(sound(fanText({ start: "first", steps })))
      .say("first", "again")
      .say("first", "again");
    expect(job.run.end).toBe("referred");
    amend(job, "first", { answer: "enough" });
    expect(job.run.taken).toEqual({ "first:again": 1 });
    expect(job.run.end).toBe("no-fault-found");
  });

  it("inside a call walks out of it anew", () => {
    const steps = `
  inspect:
    call: connector
    give: { which: The plug, heat: 30 }
    returns: { no-fault-found: { goto: referred }, fault-found: { goto: fixed } }
  referred: { end: referred }
  fixed: { end: fixed }`;
    const job = new Job(sound(fanText({ start: "inspect", steps }), { connector: CONNECTOR }));
    job.say("inspect/look", "straight");
    amend(job, "inspect/look", { answer: "bent" });
    expect(job.ready().prompt).toMatchObject({ kind: "repair", step: "inspect/loose" });
  });

  it("counts at the time of what it amends, so that no step is answered before it is entered", () => {
    const steps = `
  first: { ask: "Well?", answers: { "yes": { goto: second }, "no": { goto: second } } }
  second: { measure: voltage, unit: V, goto: third }
  third:
    measure: voltage
    unit: V
    value: "(readings.second - reading) / elapsed[\\"second\\"]"
    goto: good
  good: { end: no-fault-found }`;
    const job = new Job(sound(fanText({ start: "first", steps })));
    job.say("first", "yes").say("second", "12.0").say("third", "11.0");
    expect(job.run.readings.third?.value).toBeCloseTo(0.5, 12);
    job.now += 3_600_000;
    amend(job, "first", { answer: "no" });
    expect(job.run.readings.third?.value).toBeCloseTo(0.5, 12);
    amend(job, "first", { answer: "yes" });
    expect(job.run.entered.second).toBe(OPENED + 60_000);
  });

  it("leaves a stop behind that was given at another step", () => {
    const job = new Job(sound(fanText())).say("hot", "yes").say("feed", "0.0").ready();
    job.give({ type: "stop", reason: "called away" });
    amend(job, "hot", { answer: "yes" });
    expect(job.run.end).toBe("stopped");
    amend(job, "feed", { reading: "12.6" });
    expect(job.run.end).toBeUndefined();
    expect(job.ready().prompt).toMatchObject({ step: "winding" });
  });

  it("of a cannot given before the cautions begins with the cautions", () => {
    const job = new Job(sound(fanText()));
    job.give({ type: "cannot", step: "hot", reason: "it can't be made safe" });
    expect(job.run.end).toBe("unresolved");
    const seq = job.seq;
    const amending = (event: object) => ({ type: "amend", seq, event: { at: 0, ...event } }) as never;
    const answer = { type: "answer", step: "hot", answer: "yes" };
    expect(job.tryTo(amending(answer))?.code).toBe("not-expected");
    job.give(amending({ type: "acknowledge", for: "hot", cautions: ["fan-starts"] }));
    expect(job.prompt).toMatchObject({ kind: "ask", step: "hot" });
  });

  it("of a cannot given before a set-up shows its cautions once it is really made", () => {
    const setUps = `
  cover-off: { do: Cover off., minutes: 1, cautions: [fan-starts], put-back: none }`;
    const steps = `
  first: { ask: Well?, needs: [cover-off], cautions: [fan-starts], answers: { "yes": { goto: good } } }
  good: { end: no-fault-found }`;
    const parts = {
      "set-ups": setUps,
      start: "first",
      steps,
      repairs:
        "\n  fit-fuse: { minutes: 1, do: [ { say: Fit it. } ] }\n  fit-motor: { minutes: 1, do: [ { say: Fit it. } ] }",
    };
    const job = new Job(sound(fanText(parts))).give({ type: "cannot", step: "first", reason: "stuck" });
    const before = runBefore(job.procedure, job.run, job.seq);
    expect(before && promptOf(job.procedure, before)).toMatchObject({ kind: "cautions", for: "first" });
    const event = { at: 0, type: "acknowledge", for: "first", cautions: ["fan-starts"] } as const;
    job.give({ type: "amend", seq: job.seq, event });
    expect(job.prompt).toMatchObject({ kind: "cautions", for: "set-up cover-off" });
    expect(job.say("first", "yes").asked.slice(-3)).toEqual([
      "cautions set-up cover-off",
      "make cover-off",
      "ask first",
    ]);
  });

  it("gives back the very prompt that an event answered, set-ups of a later way notwithstanding", () => {
    const job = repaired().say("again", "still").say("hot", "yes").say("feed", "12.6");
    amend(job, "hot", { answer: "yes" });
    job.ready();
    for (const row of job.run.path) {
      const before = runBefore(job.procedure, job.run, row.seq);
      expect(before?.step).toBe(row.step);
      expect(before?.phase).toBe("open");
    }
  });
});
