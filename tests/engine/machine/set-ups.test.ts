import { describe, expect, it } from "vitest";
import { fanText, sound } from "../procedure/fan-text.ts";
import { Job } from "./job.ts";

const SET_UPS = `
  shield-off: { do: Shield off., minutes: 8, put-back: { do: Shield on., minutes: 6, torque: 9 N.m } }
  plug-apart: { do: Plug apart., minutes: 4, needs: [shield-off], put-back: { do: Plug in., minutes: 1 } }
  probe-in: { do: Probe in., minutes: 2, needs: [plug-apart], put-back: { do: Probe out., minutes: 1 } }
  key-out: { do: Key out., minutes: 1, put-back: none }
  tag-on: { do: Tag on., minutes: 1, needs: [key-out], put-back: { do: Tag off., minutes: 1 } }
  lamp-in: { do: Lamp in., minutes: 1, without: [plug-apart], put-back: { do: Lamp out., minutes: 1, cautions: [fan-starts] } }`;
const ENDS = `
  good: { end: no-fault-found }`;
const job = (steps: string) =>
  new Job(sound(fanText({ "set-ups": SET_UPS, repairs: REPAIRS, start: "first", steps: steps + ENDS })));
const REPAIRS = `
  fit-fuse: { minutes: 3, do: [ { say: Fit a fuse. } ] }
  fit-motor: { minutes: 45, do: [ { say: Fit a motor. } ] }`;
const ask = (id: string, next: string, more: string) => `
  ${id}: { ask: "Well?", minutes: 0, ${more}, answers: { "yes": { goto: ${next} } } }`;

describe("set-ups", () => {
  it("are made by what they need first, then as written", () => {
    const run = job(ask("first", "good", "needs: [key-out, probe-in]")).say("first", "yes");
    expect(run.asked.slice(0, 4)).toEqual([
      "make key-out",
      "make shield-off",
      "make plug-apart",
      "make probe-in",
    ]);
    expect(run.run.minutes).toBe(1 + 8 + 4 + 2);
  });

  it("are undone in reverse by without, with all that need them", () => {
    const run = job(
      ask("first", "second", "needs: [probe-in, key-out]") + ask("second", "good", "without: [shield-off]"),
    );
    run.say("first", "yes").say("second", "yes");
    expect(run.asked.slice(5, 8)).toEqual([
      "put-back probe-in",
      "put-back plug-apart",
      "put-back shield-off",
    ]);
    expect(run.run.made).toEqual(["key-out"]);
    expect(run.run.minutes).toBe(15 + 1 + 1 + 6);
  });

  it("done again cost again", () => {
    const steps =
      ask("first", "second", "needs: [plug-apart]") +
      ask("second", "third", "without: [plug-apart]") +
      ask("third", "good", "needs: [plug-apart]");
    const run = job(steps).say("first", "yes").say("second", "yes").say("third", "yes");
    expect(run.run.minutes).toBe(8 + 4 + 1 + 4);
    expect(run.run.everMade).toEqual(["shield-off", "plug-apart"]);
  });

  it("with nothing to put back are gone when they must be, at no cost, after what rests on them", () => {
    const run = job(ask("first", "second", "needs: [tag-on]") + ask("second", "good", "without: [key-out]"));
    run.say("first", "yes");
    expect(run.prompt).toMatchObject({ kind: "set-up", change: "put-back", setUp: { id: "tag-on" } });
    expect(run.run.made).toEqual(["key-out", "tag-on"]);
    run.ready();
    expect(run.run.made).toEqual([]);
    expect(run.run.minutes).toBe(1 + 1 + 1);
  });

  it("that must be without another undo it before they are made", () => {
    const run = job(
      ask("first", "second", "needs: [plug-apart]") + ask("second", "good", "needs: [lamp-in]"),
    );
    run.say("first", "yes").say("second", "yes");
    expect(run.asked.slice(3)).toEqual(["put-back plug-apart", "make lamp-in", "ask second"]);
  });

  it("are undone as well before what they must be without is made: either of the two may say so", () => {
    const run = job(
      ask("first", "second", "needs: [lamp-in]") +
        ask("second", "third", "needs: [probe-in]") +
        ask("third", "good", "needs: [shield-off]"),
    );
    run.say("first", "yes").say("second", "yes").say("third", "yes");
    expect(run.asked.slice(2, 7)).toEqual([
      "cautions put-back lamp-in",
      "put-back lamp-in",
      "make shield-off",
      "make plug-apart",
      "make probe-in",
    ]);
    expect(run.run.made).toEqual(["shield-off", "plug-apart", "probe-in"]);
  });

  it("are listed at every end, last made first, with torque and with what is back already", () => {
    const steps =
      ask("first", "second", "needs: [lamp-in]") +
      ask("second", "third", "without: [lamp-in], needs: [probe-in, key-out]") +
      ask("third", "good", "without: [probe-in]");
    const run = job(steps).say("first", "yes").say("second", "yes").say("third", "yes");
    expect(run.prompt).toMatchObject({
      kind: "end",
      putBack: [
        { setUp: "probe-in", done: true },
        { setUp: "plug-apart", done: false },
        { setUp: "shield-off", done: false, torque: { value: 9, unit: "N.m" } },
        { setUp: "lamp-in", done: true },
      ],
    });
  });

  it("made anew are listed where they were made last", () => {
    const steps =
      ask("first", "second", "needs: [lamp-in]") +
      ask("second", "third", "without: [lamp-in], needs: [shield-off]") +
      ask("third", "good", "needs: [lamp-in]");
    const run = job(steps).say("first", "yes").say("second", "yes").say("third", "yes").ready();
    expect(run.prompt).toMatchObject({ putBack: [{ setUp: "lamp-in" }, { setUp: "shield-off" }] });
  });

  it("are put back at the end in any order, each once", () => {
    const run = job(ask("first", "good", "needs: [plug-apart]")).say("first", "yes");
    run.give({ type: "set-up", setUp: "shield-off", change: "put-back" });
    expect(run.tryTo({ type: "set-up", setUp: "shield-off", change: "put-back" })?.code).toBe("not-expected");
    run.give({ type: "set-up", setUp: "plug-apart", change: "put-back" });
    expect(run.run.minutes).toBe(12 + 6 + 1);
    expect(run.run.made).toEqual([]);
  });

  it("that a step does not ask for are refused", () => {
    const run = job(ask("first", "good", "needs: [shield-off]"));
    for (const setUp of ["plug-apart", "lamp-in", "constructor"])
      expect(run.tryTo({ type: "set-up", setUp, change: "make" })?.code).toBe("not-expected");
  });
});

describe("cautions", () => {
  it("of putting back stand before it, at a step and at the end", () => {
    const steps = ask("first", "second", "needs: [lamp-in]") + ask("second", "good", "without: [lamp-in]");
    const run = job(steps).say("first", "yes").say("second", "yes");
    expect(run.asked.slice(2)).toEqual(["cautions put-back lamp-in", "put-back lamp-in", "ask second"]);

    const ended = job(ask("first", "good", "needs: [lamp-in]")).say("first", "yes");
    expect(ended.run.end).toBe("no-fault-found");
    expect(ended.prompt).toMatchObject({ kind: "cautions", for: "put-back lamp-in", next: "Lamp out." });
    expect(ended.tryTo({ type: "set-up", setUp: "lamp-in", change: "put-back" })?.code).toBe("not-expected");
    expect(ended.ready().prompt).toMatchObject({ kind: "end", putBack: [{ setUp: "lamp-in", done: false }] });
    ended.give({ type: "set-up", setUp: "lamp-in", change: "put-back" });
    expect(ended.run.made).toEqual([]);
  });

  it("must all be acknowledged before what they stand", () => {
    const run = job(ask("first", "good", "cautions: [fan-starts]"));
    expect(run.prompt).toMatchObject({ kind: "cautions", for: "first", next: "Well?" });
    expect(run.tryTo({ type: "answer", step: "first", answer: "yes" })?.code).toBe("not-expected");
    expect(run.tryTo({ type: "acknowledge", for: "first", cautions: [] })?.code).toBe("not-expected");
    expect(run.tryTo({ type: "acknowledge", for: "second", cautions: ["fan-starts"] })?.code).toBe(
      "not-expected",
    );
    expect(run.say("first", "yes").run.end).toBe("no-fault-found");
  });
});
