import { describe, expect, it } from "vitest";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { CONNECTOR, fanText, sound } from "../procedure/fan-text.ts";
import { Job } from "./job.ts";

/** The connector's set-up is the fan's plug. */
const CALLING = `
  inspect:
    call: connector
    give: { which: The motor plug, heat: 30 }
    set-ups: { apart: plug-apart }
    returns: { no-fault-found: { goto: referred }, fault-found: { goto: fixed } }
  referred: { end: referred }
  fixed: { end: fixed }`;
const calling = (steps = CALLING) =>
  new Job(sound(fanText({ start: "inspect", steps }), { connector: CONNECTOR }));

describe("a conclusion", () => {
  it("of a list runs every distinct repair once, in order, with its cautions before it", () => {
    const job = new Job(sound(fanText())).say("hot", "yes").say("feed", "12.6");
    job.say("winding", "OL").ready();
    expect(job.prompt).toMatchObject({
      kind: "repair",
      faults: [{ id: "motor-open" }, { id: "fuse-open" }],
      repairs: [{ id: "fit-motor" }, { id: "fit-fuse" }],
    });
    const before = job.run.minutes;
    expect(job.give({ type: "done", step: "motor-bad" }).run.minutes - before).toBe(45 + 3);
    expect(job.run.verifying?.faults).toEqual(["motor-open", "fuse-open"]);
  });

  it("without a repair is concluded and goes on", () => {
    const job = new Job(sound(fanText())).say("hot", "yes").say("feed", "12.6");
    job.say("winding", "0.9", { temperature: "20" });
    expect(job.prompt).toMatchObject({ kind: "concluded", faults: [{ id: "other" }] });
    expect(job.say("other-found", "done").path.slice(-2)).toEqual([
      "other-found concluded",
      "referred referred",
    ]);
    expect(job.run.concluded).toEqual(["other"]);
  });
});

describe("a verification", () => {
  it("puts back whatever it does not need before it asks", () => {
    const job = new Job(sound(fanText()))
      .say("hot", "yes")
      .say("feed", "0.0")
      .say("fuse-bad", "done")
      .ready();
    expect(job.asked.slice(-2)).toEqual(["put-back plug-apart", "put-back shield-off"]);
    expect(job.prompt).toMatchObject({ kind: "ask", step: "again", apart: [] });
    expect(job.say("again", "runs").run.end).toBe("fixed");
    expect(job.run.struck).toEqual([]);
  });

  it("keeps made what it needs", () => {
    const steps = `
  hot: { ask: Hot?, needs: [plug-apart], answers: { "yes": { goto: fuse-bad } } }
  fuse-bad: { conclude: fuse-open, verify: again }
  again: { ask: "Runs?", needs: [shield-off], answers: { runs: { goto: fixed }, still: { goto: hot, at-most: 1, else: fixed } } }
  fixed: { end: fixed }`;
    const job = new Job(sound(fanText({ start: "hot", steps })))
      .say("hot", "yes")
      .say("fuse-bad", "done")
      .ready();
    expect(job.asked.at(-1)).toBe("put-back plug-apart");
    expect(job.run.made).toEqual(["shield-off"]);
  });

  it("that fails strikes what was concluded, keeps earlier evidence, and goes on", () => {
    const job = new Job(sound(fanText())).say("hot", "yes").say("feed", "0.0").say("fuse-bad", "done");
    job.say("again", "still").ready();
    expect(job.run.struck).toEqual(["fuse-open"]);
    expect(job.run.verifying).toBeUndefined();
    expect(job.prompt).toMatchObject({ kind: "ask", step: "hot", visit: 2 });
    const odds = posterior(job.procedure, job.run).faults;
    // Left are motor-open 3 and other 1; `feed` says 0.03 of each.
    expect(odds.map(({ fault, probability }) => [fault, probability])).toEqual([
      ["motor-open", 0.75],
      ["other", 0.25],
      ["fuse-open", 0],
    ]);
  });

  it("that can't be looked at, or is left, strikes nothing", () => {
    for (const leave of ["cannot", "stop"] as const) {
      const job = new Job(sound(fanText()))
        .say("hot", "yes")
        .say("feed", "0.0")
        .say("fuse-bad", "done")
        .ready();
      if (leave === "cannot") job.say("again", "cannot");
      else job.give({ type: "stop", reason: "end of shift" });
      expect(job.run.struck).toEqual([]);
    }
  });

  it("that is a chain fails at the first outcome from which it can't come out fixed", () => {
    const steps = `
  hot: { ask: "Hot?", answers: { "yes": { goto: fuse-bad } } }
  fuse-bad: { conclude: fuse-open, verify: again }
  again: { ask: "Runs?", answers: { runs: { goto: road }, still: { goto: motor-bad } } }
  road: { do: "Drive.", done: { goto: after } }
  after: { ask: "Still runs?", answers: { "yes": { goto: fixed }, "no": { goto: referred } } }
  motor-bad: { conclude: motor-open, verify: again, at-most: 2, else: referred }
  fixed: { end: fixed }
  referred: { end: referred }`;
    const job = () =>
      new Job(sound(fanText({ start: "hot", steps }))).say("hot", "yes").say("fuse-bad", "done");
    expect(job().say("again", "runs").say("road", "done").run.struck).toEqual([]);
    expect(job().say("again", "runs").say("road", "done").say("after", "no").run.struck).toEqual([
      "fuse-open",
    ]);
    const second = job().say("again", "still");
    expect(second.run.struck).toEqual(["fuse-open"]);
    second.say("motor-bad", "done").say("again", "still");
    expect(second.run.struck).toEqual(["fuse-open", "motor-open"]);
  });
});

describe("a called procedure", () => {
  it("has its rows under the call, its facts given, its set-up the caller's", () => {
    const job = calling().ready();
    expect(job.asked).toEqual(["make shield-off", "make plug-apart", "cautions inspect/look"]);
    expect(job.prompt).toMatchObject({
      text: "Look at The motor plug. Are the pins straight?",
      step: "inspect/look",
    });
    job.say("inspect/look", "straight");
    expect(job.path).toEqual(["inspect/look straight", "inspect no-fault-found", "referred referred"]);
  });

  it("tells its faults by what was given, in prompts and among the odds", () => {
    const job = calling().say("inspect/look", "bent").ready();
    expect(job.prompt).toMatchObject({ kind: "repair", faults: [{ title: "Pin loose in The motor plug" }] });
    const { faults } = posterior(job.procedure, job.run);
    expect(faults.find(({ fault }) => fault === "inspect/pin-loose")?.title).toBe(
      "Pin loose in The motor plug",
    );
  });

  it("that ends fixed has verified its own repair, and returns fault-found", () => {
    const job = calling()
      .say("inspect/look", "bent")
      .say("inspect/loose", "done")
      .say("inspect/again", "yes");
    expect(job.path.slice(-2)).toEqual(["inspect fault-found", "fixed fixed"]);
    expect(job.run).toMatchObject({ end: "fixed", concluded: ["inspect/pin-loose"], struck: [] });
  });

  it("ends the run so where its return is not written", () => {
    const job = calling().say("inspect/look", "bent").say("inspect/loose", "done").say("inspect/again", "no");
    expect(job.run.end).toBe("unresolved");
    expect(job.run.struck).toEqual(["inspect/pin-loose"]);
    expect(calling().say("inspect/look", "cannot").run.end).toBe("unresolved");
  });

  it("comes back where its return is written, cannot included", () => {
    const steps = CALLING.replace("returns: {", "returns: { unresolved: { goto: fixed },");
    const job = calling(steps).say("inspect/look", "cannot");
    expect(job.path).toEqual(["inspect/look cannot", "inspect unresolved", "fixed fixed"]);
  });

  it("is left altogether by stop", () => {
    const steps = CALLING.replace("returns: {", "returns: { unresolved: { goto: fixed },");
    const job = calling(steps).ready().give({ type: "stop", reason: "called away" });
    expect(job.run.end).toBe("stopped");
    expect(job.path).toEqual(["inspect/look stop", "end/stopped stopped"]);
  });
});

describe("nominal minutes", () => {
  it("are those of everything walked: steps, waits, set-ups, repairs, putting back", () => {
    const job = new Job(sound(fanText())).say("hot", "yes");
    expect(job.run.minutes).toBe(1);
    // shield-off 8, plug-apart 4, measuring 2.
    expect(job.say("feed", "12.6").run.minutes).toBe(1 + 12 + 2);
    // Waiting 1.5 and measuring 2.
    expect(job.say("winding", "OL").run.minutes).toBe(15 + 3.5);
    expect(job.say("motor-bad", "done").run.minutes).toBe(18.5 + 48);
    // Plug in 1, shield on 6, asking 1.
    expect(job.say("again", "runs").run.minutes).toBe(66.5 + 7 + 1);
  });

  it("take nothing for a step that was never begun, and nothing for leaving", () => {
    const job = new Job(sound(fanText())).say("hot", "yes");
    job.give({ type: "cannot", step: "feed", reason: "the shield is stuck" });
    expect(job.run.minutes).toBe(1);
    const other = new Job(sound(fanText())).say("hot", "yes").ready().give({ type: "stop", reason: "" });
    expect(other.run.minutes).toBe(1 + 12);
  });
});

describe("stop", () => {
  it("is taken at every prompt of a run, and at none after", () => {
    const whole = new Job(sound(fanText())).say("hot", "yes").say("feed", "0.0").say("fuse-bad", "done");
    whole.say("again", "runs");
    for (let count = 0; count < whole.run.events.length; count += 1) {
      const job = new Job(whole.procedure);
      for (const event of whole.run.events.slice(0, count)) job.give(event);
      job.give({ type: "stop", reason: "called away" });
      expect(job.run.end).toBe("stopped");
      expect(job.ready().prompt.kind).toBe("end");
      expect(job.tryTo({ type: "stop", reason: "again" })?.code).toBe("not-expected");
    }
  });
});
