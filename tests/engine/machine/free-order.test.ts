import { describe, expect, it } from "vitest";
import { nextStepAdvice } from "../../../engine/reasoning/next-step.ts";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { fanText, sound } from "../procedure/fan-text.ts";
import { Job } from "./job.ts";

const FAULTS = `
  a: { title: A, prior: 1, repair: fit-a }
  b: { title: B, prior: 1 }
  c: { title: C, prior: 1 }`;

const step = (id: string, yes: string, no: string, evidence: string, more = "") => `
  ${id}:
    ask: Well?
    ${more}
    answers: { "yes": { goto: ${yes} }, "no": { goto: ${no} } }
    evidence: { ${evidence} }`;

const rows = (fault: string, sure: number) => `${fault}: { "yes": ${sure} }, otherwise: { "no": ${sure} }`;

const WRITTEN =
  step("first", "a-found", "second", rows("a", 0.95)) +
  step("second", "b-found", "third", rows("b", 0.95)) +
  step("third", "c-found", "none", rows("c", 0.95), "needs: [shield-off]") +
  `
  a-found: { conclude: a, verify: again }
  b-found: { conclude: b, goto: handed-on }
  c-found: { conclude: c, goto: handed-on }
  again: { ask: Does it run?, answers: { runs: { goto: fixed }, still: { goto: first, at-most: 1, else: none } } }
  fixed: { end: fixed }
  handed-on: { end: referred }
  none: { end: unresolved }`;

function jobOf(steps = WRITTEN, more: Readonly<Record<string, string>> = {}): Job {
  return new Job(
    sound(
      fanText({
        "free-order": "true",
        faults: FAULTS,
        repairs: "\n  fit-a: { minutes: 1, do: [ { say: Fit it. } ] }",
        start: "first",
        ...more,
        steps,
      }),
    ),
  );
}

describe("a step taken by choice", () => {
  it("is refused where the order is not free", () => {
    const job = jobOf(WRITTEN, { "free-order": "false" });
    expect(job.tryTo({ type: "choose", step: "second" })).toMatchObject({ code: "not-expected" });
  });

  it("is refused where it can't be answered now, and is no way to where the run stands", () => {
    const job = jobOf(
      step("first", "second", "second", rows("a", 0.9)) +
        step("second", "third", "third", rows("b", 0.9), "after: [third]") +
        step("third", "none", "none", rows("c", 0.9)) +
        "\n  none: { end: unresolved }",
    );
    for (const id of ["first", "second", "none", "constructor"])
      expect(job.tryTo({ type: "choose", step: id })).toMatchObject({ code: "not-expected" });
    expect(job.tryTo({ type: "choose", step: "third" })).toBeUndefined();
  });

  const calling = (free: string) => {
    const called = `
procedure: inside
title: Inside
revision: 1
complaint: Something is inside.
${free}
faults: { dirt: { title: Dirt, prior: 1 } }
start: peep
steps:
  peep: { ask: Clean?, answers: { "yes": { goto: pry } }, evidence: { dirt: { "yes": 0.9 } } }
  pry: { ask: Dry?, answers: { "yes": { goto: clean }, "no": { goto: clean } }, evidence: { dirt: { "no": 0.9 } } }
  clean: { end: no-fault-found }`;
    const steps =
      step("before", "within", "within", rows("c", 0.9)) +
      "\n  within: { call: inside, returns: { no-fault-found: { goto: first } } }" +
      step("first", "none", "second", rows("a", 0.9)) +
      step("second", "none", "none", rows("b", 0.9), "after: [within]") +
      "\n  none: { end: unresolved }";
    const faults = FAULTS.replace(", repair: fit-a", "");
    return new Job(
      sound(fanText({ "free-order": "true", faults, start: "before", steps }), { inside: called }),
    );
  };

  it("may come after a call, once that has returned", () => {
    const job = calling("free-order: true").say("before", "yes");
    expect(job.tryTo({ type: "choose", step: "first" })).toBeUndefined();
    job.give({ type: "choose", step: "within/peep" });
    expect(job.tryTo({ type: "choose", step: "second" })).toMatchObject({ code: "not-expected" });
    job.say("within/peep", "yes").say("within/pry", "yes").give({ type: "choose", step: "second" });
    expect(job.run.waiting).toBe("first");
  });

  it("is none inside a call that keeps its order, nor any other while that is walked", () => {
    const job = calling("");
    for (const id of ["within/peep", "within/pry"])
      expect(job.tryTo({ type: "choose", step: id })).toMatchObject({ code: "not-expected" });
    expect(job.tryTo({ type: "choose", step: "first" })).toBeUndefined();
    job.give({ type: "choose", step: "before" }).say("before", "yes");
    for (const id of ["within/pry", "first"])
      expect(job.tryTo({ type: "choose", step: id })).toMatchObject({ code: "not-expected" });
    job.say("within/peep", "yes").say("within/pry", "no");
    expect(job.run.step).toBe("first");
    const free = calling("free-order: true").give({ type: "choose", step: "within/pry" });
    expect(free.run.waiting).toBe("before");
  });

  it("is asked with all that stands before it, and noted as chosen", () => {
    const job = jobOf().give({ type: "choose", step: "third" });
    expect(job.prompt).toMatchObject({ kind: "set-up", setUp: { id: "shield-off" } });
    expect(job.run).toMatchObject({ step: "third", waiting: "first" });
    job.say("third", "no");
    expect(job.run.path).toMatchObject([{ step: "third", outcome: "no", chosen: true }]);
  });

  it("leads back to the written step, whatever its own branch says", () => {
    const job = jobOf().give({ type: "choose", step: "third" }).say("third", "no");
    expect(job.run).toMatchObject({ step: "first", ahead: ["third"], visits: { first: 1, third: 1 } });
    expect(job.run.waiting).toBeUndefined();
  });

  it("counts as evidence at once", () => {
    const job = jobOf().give({ type: "choose", step: "third" }).say("third", "no");
    const c = posterior(job.procedure, job.run).faults.find(({ fault }) => fault === "c");
    expect(c?.probability).toBeCloseTo(0.05 / 1.95, 12);
  });

  it("is not asked again when the written order comes to it", () => {
    const job = jobOf().give({ type: "choose", step: "second" }).say("second", "no").say("first", "no");
    expect(job.run).toMatchObject({
      step: "third",
      hops: [{ step: "first" }, { step: "second", ahead: true }],
    });
    expect(job.run.ahead).toBeUndefined();
    expect(job.path).toEqual(["second no", "first no"]);
    expect(job.run.minutes).toBe(2);
  });

  it("leads to the conclusion that all answers together prove", () => {
    const job = jobOf().give({ type: "choose", step: "third" }).say("third", "yes").ready();
    // c: .95 against .05 twice, so .95 / 1.05 = .905.
    expect(job.prompt).toMatchObject({ kind: "concluded", step: "c-found" });
    expect(job.say("c-found", "done").run.end).toBe("referred");
  });

  it("leads to no conclusion that stands behind an act which was not done", () => {
    const job = jobOf(
      step("first", "act", "second", rows("a", 0.95)) +
        step("second", "third", "none", rows("b", 0.95)) +
        step("third", "act", "act", rows("c", 0.95)) +
        `
  act: { do: Chock the wheels., done: { goto: b-found } }
  b-found: { conclude: b, goto: none }
  none: { end: unresolved }`,
    );
    job.give({ type: "choose", step: "second" }).say("second", "yes");
    expect(job.run.step).toBe("first");
  });

  it("can take away the proof of a written conclusion: it is not entered then", () => {
    const steps = WRITTEN.replace("c-found, ", "none, ").replace(rows("b", 0.95), rows("b", 0.75));
    const contrary = steps.replace('"yes": { goto: b-found }', '"yes": { goto: third }');
    const job = jobOf(contrary.replace("verify: again", "verify: again"));
    job.give({ type: "choose", step: "second" }).say("second", "yes");
    expect(job.run.step).toBe("first");
    // By the written answer alone a has .95 / 1.05; with b's look before it .95 × .25 against .05 × .75 + .05 × .25.
    job.say("first", "yes");
    const a = posterior(job.procedure, job.run).faults.find(({ fault }) => fault === "a");
    expect(a?.probability).toBeCloseTo(0.2375 / 0.2875, 12);
    expect(job.run.step).toBe("a-found");
    const less = jobOf(contrary.replace(rows("b", 0.75), rows("b", 0.79)));
    less.give({ type: "choose", step: "second" }).say("second", "yes").say("first", "yes");
    expect(less.run).toMatchObject({ step: "end/unresolved", end: "unresolved" });
    expect(less.prompt).toMatchObject({ kind: "end", unproven: ["A"] });
  });

  it("may give way to another one, and to the written one, before it is answered", () => {
    const job = jobOf().give({ type: "choose", step: "third" }).give({ type: "choose", step: "second" });
    expect(job.run).toMatchObject({ step: "second", waiting: "first" });
    job.give({ type: "choose", step: "first" });
    expect(job.run).toMatchObject({ step: "first", visits: { first: 1 } });
    expect(job.run.waiting).toBeUndefined();
  });

  it("says nothing where it could not be done, and is asked in its turn", () => {
    const job = jobOf().give({ type: "choose", step: "second" }).say("second", "cannot");
    expect(job.run.step).toBe("first");
    expect(job.say("first", "no").run.step).toBe("second");
  });

  it("is asked anew after a repair that failed", () => {
    const job = jobOf().give({ type: "choose", step: "second" }).say("second", "no").say("first", "yes");
    job.say("a-found", "done").say("again", "still").say("first", "no");
    expect(job.run.step).toBe("second");
  });

  it("is never taken while a repair is being proven", () => {
    const job = jobOf().say("first", "yes").say("a-found", "done");
    expect(job.tryTo({ type: "choose", step: "second" })).toMatchObject({ code: "not-expected" });
  });

  it("can be amended like any other answer", () => {
    const job = jobOf().give({ type: "choose", step: "third" }).say("third", "no");
    const seq = job.run.path.find((row) => row.step === "third")?.seq ?? 0;
    job.give({ type: "amend", seq, event: { type: "answer", at: job.now, step: "third", answer: "yes" } });
    expect(job.run.step).toBe("c-found");
  });

  const refuses = (job: Job, ...ids: readonly string[]) => {
    for (const id of ids)
      expect(job.tryTo({ type: "choose", step: id })).toMatchObject({ code: "not-expected" });
  };

  it("can be amended where it was open by a set-up that an earlier amendment left behind", () => {
    const job = jobOf(
      step("first", "second", "extra", rows("a", 0.6)) +
        step("extra", "second", "second", rows("a", 0.6)) +
        step("second", "third", "third", rows("b", 0.9), "needs: [locked]") +
        step("third", "none", "extra, at-most: 1, else: none", rows("c", 0.9)) +
        "\n  none: { end: unresolved }",
      {
        "set-ups":
          "\n  locked: { do: Lock it., minutes: 1, hazards: [rotating], put-back: { do: Unlock it., minutes: 1 } }",
      },
    );
    job.say("first", "yes").ready();
    job.give({ type: "amend", seq: 1, event: { type: "answer", at: 0, step: "first", answer: "no" } });
    job.say("extra", "no").give({ type: "choose", step: "third" }).say("third", "yes");
    const { seq } = job;
    job.give({ type: "amend", seq, event: { type: "answer", at: 0, step: "third", answer: "no" } });
    expect(job.run).toMatchObject({ step: "second", made: ["locked"], ahead: ["third"] });
    expect(job.path).toEqual(["first no", "extra no", "third no"]);
  });

  it("never overtakes an act that stands on one of the ways to it, another act on the other", () => {
    const job = jobOf(
      step("first", "tank", "line", rows("a", 0.6)) +
        "\n  tank: { do: Let the tank off., done: { goto: second } }" +
        "\n  line: { do: Let the line off., done: { goto: second } }" +
        step("second", "third", "none", rows("b", 0.95)) +
        step("third", "none", "none", rows("c", 0.95)) +
        "\n  none: { end: unresolved }",
    );
    refuses(job, "second", "third");
    job.say("first", "yes");
    refuses(job, "second", "third");
    job.say("tank", "done");
    expect(job.tryTo({ type: "choose", step: "third" })).toBeUndefined();
  });

  it("is not one that the facts known lead past", () => {
    const job = jobOf(
      step("first", "second", "none", rows("a", 0.9)).replace(
        '"yes": { goto: second }',
        `"yes": { then: [ { if: "facts.kind == 'old'", goto: second }, { goto: third } ] }`,
      ) +
        step("second", "third", "third", rows("b", 0.9)) +
        step("third", "none", "none", rows("c", 0.9)) +
        "\n  none: { end: unresolved }",
      { facts: "\n  kind: { ask: Which?, choices: { old: Old, new: New } }" },
    );
    job.give({ type: "fact", fact: "kind", value: "new" });
    refuses(job, "second");
    expect(job.tryTo({ type: "choose", step: "third" })).toBeUndefined();
  });

  it("is none once a set-up met high voltage, or while the step that is asked for needs one", () => {
    const job = jobOf(WRITTEN.replace("ask: Well?", "ask: Well?\n    needs: [lid-off]"), {
      "set-ups":
        "\n  lid-off: { do: Off., minutes: 1, put-back: { do: On., minutes: 1, hazards: [electric-high] } }" +
        "\n  shield-off: { do: Off., minutes: 1, put-back: none }",
    });
    refuses(job, "second", "third");
    job.say("first", "no");
    refuses(job, "third");
  });

  it("takes no proof away from a conclusion behind a repair that failed, either", () => {
    const job = jobOf(
      step("first", "a-found", "second", rows("a", 0.99)) +
        step("second", "b-found", "third", rows("b", 0.9)) +
        step("third", "none", "none", rows("c", 0.9)) +
        `
  a-found: { conclude: a, verify: again }
  b-found: { conclude: b, goto: none }
  again: { ask: Does it run?, answers: { runs: { goto: fixed }, still: { goto: second } } }
  fixed: { end: fixed }
  none: { end: unresolved }`,
    );
    job.give({ type: "choose", step: "third" }).say("third", "yes");
    // a: .99 × .1 against c: .01 × .9 and b: .01 × .1; .099 / .109 = .908.
    job.say("first", "yes").say("a-found", "done").say("again", "still");
    // a is struck: b .9 × .1 against c .1 × .9, one half; without the chosen answer .9.
    job.say("second", "yes");
    expect(job.run).toMatchObject({ step: "end/unresolved", unproven: "b-found" });
  });

  it("whose answer leads to a referral goes there at once, whether other ways share that end or not", () => {
    const alone = jobOf(WRITTEN.replace('"yes": { goto: b-found }', '"yes": { goto: danger }') + DANGER);
    alone.give({ type: "choose", step: "second" }).say("second", "yes");
    expect(alone.prompt).toMatchObject({ kind: "end", step: "danger", say: "Stop." });
    expect(alone.path).toEqual(["second yes", "danger referred"]);
    const shared = jobOf(WRITTEN.replace('"yes": { goto: b-found }', '"yes": { goto: handed-on }'));
    shared.give({ type: "choose", step: "second" }).say("second", "yes");
    expect(shared.run).toMatchObject({ step: "handed-on", end: "referred" });
  });

  it("whose answer leads to an act and then to a referral has the act done at once", () => {
    const job = jobOf(
      WRITTEN.replace('"yes": { goto: b-found }', '"yes": { goto: shut }') +
        "\n  shut: { do: Shut the valve., done: { goto: danger } }" +
        DANGER,
    );
    job.give({ type: "choose", step: "second" }).say("second", "yes");
    expect(job.prompt).toMatchObject({ kind: "do", step: "shut" });
    expect(job.say("shut", "done").run.step).toBe("danger");
  });

  it("whose answer leads to a referral by a conclusion without a repair goes there at once, proven or not", () => {
    const weak = WRITTEN.replace(rows("b", 0.95), rows("b", 0.6)).replace(
      "b-found: { conclude: b, goto: handed-on }",
      "b-found: { conclude: b, goto: danger }",
    );
    const job = jobOf(weak + DANGER);
    // b: .6 against .4 twice, three sevenths.
    job.give({ type: "choose", step: "second" }).say("second", "yes");
    expect(job.prompt).toMatchObject({ kind: "concluded", step: "b-found" });
    expect(job.say("b-found", "done").prompt).toMatchObject({ kind: "end", step: "danger", say: "Stop." });
  });

  it("ends nothing where all its answers lead to the same referral: that comes in its turn", () => {
    const steps =
      step("first", "a-found", "second", rows("a", 0.95)) +
      step("second", "b-found", "b-found", rows("b", 0.6)) +
      `
  a-found: { conclude: a, verify: again }
  b-found: { conclude: b, goto: danger }
  again: { ask: Does it run?, answers: { runs: { goto: fixed }, still: { goto: danger } } }
  fixed: { end: fixed }`;
    const job = jobOf(steps + DANGER)
      .give({ type: "choose", step: "second" })
      .say("second", "yes");
    expect(job.run).toMatchObject({ step: "first", ahead: ["second"] });
    expect(job.say("first", "no").run.step).toBe("b-found");
  });

  it("speaks against a conclusion that leads to a referral, and keeps it from nobody", () => {
    const steps =
      step("first", "a-found", "second", rows("a", 0.95)) +
      step("second", "b-found", "third", rows("b", 0.9)) +
      step("third", "fourth", "none", rows("c", 0.9)) +
      step("fourth", "none", "none", rows("c", 0.6)) +
      `
  a-found: { conclude: a, goto: danger }
  b-found: { conclude: b, goto: danger }
  none: { end: unresolved }`;
    const job = jobOf(steps + DANGER, { faults: FAULTS.replace(", repair: fit-a", "") });
    job.give({ type: "choose", step: "third" }).say("third", "yes");
    job.give({ type: "choose", step: "second" }).say("second", "yes");
    // b: .9 × .1 against c: .1 × .9; by the second answer alone it had .9 / 1.1.
    expect(job.run).toMatchObject({ step: "b-found", phase: "open" });
  });

  it("is none of which an answer asks for an act or a first question at once", () => {
    const by = (to: string, more: string) => {
      const job = jobOf(WRITTEN.replace('"yes": { goto: b-found }', `"yes": { goto: ${to} }`) + more);
      return job;
    };
    refuses(by("air", "\n  air: { do: Air the room., done: { goto: a-found } }"), "second");
    refuses(by("all-out", '\n  all-out: { ask: All out?, answers: { "yes": { goto: a-found } } }'), "second");
    const other = by("air", "\n  air: { do: Air the room., done: { goto: a-found } }");
    expect(other.say("first", "no").run.step).toBe("second");
    expect(other.say("second", "yes").prompt).toMatchObject({ kind: "do", step: "air" });
  });

  it("may be one of which all answers lead to the same act: that comes in its turn", () => {
    const job = jobOf(
      step("first", "second", "second", rows("a", 0.9)) +
        step("second", "air", "air", rows("b", 0.9)) +
        "\n  air: { do: Air the room., done: { goto: none } }\n  none: { end: unresolved }",
    );
    job.give({ type: "choose", step: "second" }).say("second", "no");
    expect(job.say("first", "no").prompt).toMatchObject({ kind: "do", step: "air" });
  });

  it("waits with a referral for its turn where it found nothing: other looks are still open", () => {
    const last = WRITTEN.replace("c-found, none", "c-found, handed-on").replace(
      '"no": { goto: none }',
      '"no": { goto: handed-on }',
    );
    const job = jobOf(last).give({ type: "choose", step: "third" }).say("third", "no");
    expect(job.run).toMatchObject({ step: "first", ahead: ["third"] });
    expect(job.say("first", "no").say("second", "no").run).toMatchObject({ step: "handed-on" });
    // By the rows of all faults: two of three say no.
    const rowed = last.replace(rows("c", 0.95), 'a: { "no": 0.9 }, b: { "no": 0.9 }, c: { "yes": 0.95 }');
    const other = jobOf(rowed).give({ type: "choose", step: "third" }).say("third", "no");
    expect(other.run.step).toBe("first");
  });

  const SPINS = {
    hazards: "[rotating]",
    cautions: "\n  spins: { signal: warning, hazard: It spins., avoid: Keep away., covers: [rotating] }",
  };

  it("shows the caution about the machine first, or is not open before that was shown", () => {
    const steps =
      step("first", "none", "second", rows("a", 0.9), "cautions: [spins]") +
      `
  second:
    measure: voltage
    unit: V
    bands: { low: { under: 5 V, goto: none }, high: { from: 5 V, goto: third } }
    evidence: { b: { low: 0.9 }, otherwise: { high: 0.9 } }` +
      step("third", "none", "none", rows("c", 0.9), "cautions: [spins]") +
      "\n  none: { end: unresolved }";
    const job = jobOf(steps, SPINS);
    refuses(job, "second");
    job.give({ type: "choose", step: "third" });
    expect(job.prompt).toMatchObject({ kind: "cautions", for: "third" });
    refuses(job, "second");
    job.ready().give({ type: "choose", step: "second" });
    expect(job.prompt).toMatchObject({ kind: "measure", step: "second" });
  });

  it("leads to no repair that would come before every caution about the machine", () => {
    const turned =
      step("second", "b-found", "first", rows("b", 0.95)) +
      WRITTEN.replace(step("second", "b-found", "third", rows("b", 0.95)), "").replace(
        "goto: second }",
        "goto: third }",
      );
    for (const [more, at] of [
      [{}, "a-found"],
      [{ hazards: "[rotating]" }, "second"],
    ] as const) {
      const job = jobOf(turned, { start: "second", ...more }).give({ type: "choose", step: "first" });
      expect(job.say("first", "yes").run.step).toBe(at);
    }
  });

  it("never overtakes a look that has set-ups made which have to do with a hazard, or shows a caution first", () => {
    const setUps = (more: string) => ({
      cautions: "\n  live: { signal: danger, hazard: Live., avoid: Lock out., covers: [electric-energised] }",
      "set-ups": `\n  locked: { do: Lock it out., minutes: 1, put-back: { do: Unlock it., minutes: 1 }, ${more} }`,
    });
    const looks = (more: string, then = "") =>
      step("first", "none", "second", rows("a", 0.9), more) +
      step("second", "none", "third", rows("b", 0.9), then) +
      step("third", "none", "none", rows("c", 0.9)) +
      "\n  none: { end: unresolved }";
    for (const more of ["cautions: [live]", "hazards: [electric-energised]"]) {
      const job = jobOf(looks("needs: [locked]", "needs: [locked]"), setUps(more));
      refuses(job, "third");
      expect(job.tryTo({ type: "choose", step: "second" })).toBeUndefined();
      // Made for the one, it stands for the other.
      job.ready().give({ type: "choose", step: "third" });
    }
    const drained = { "set-ups": "\n  let-off: { do: Let it off., minutes: 1, put-back: none }" };
    refuses(jobOf(looks("needs: [let-off]"), drained), "second", "third");
    const shown = jobOf(looks("cautions: [live]"), setUps("cautions: [live]"));
    refuses(shown, "second", "third");
    shown.ready().give({ type: "choose", step: "third" });
  });

  it("does no other work before what a look in front of it has done for safety first", () => {
    const parts = {
      cautions:
        "\n  sprays: { signal: danger, hazard: It sprays., avoid: Let it off., covers: [stored-pressure] }",
      "set-ups": `
  let-off: { do: Let the pressure off., minutes: 4, cautions: [sprays], put-back: { do: Pump it up., minutes: 1 } }
  opened: { do: Open the housing., minutes: 5, put-back: { do: Close it., minutes: 3 } }`,
      facts: "\n  wall: { title: Wall, measure: temperature, unit: degC }",
    };
    const looks = (first: string, second: string) =>
      jobOf(
        step("first", "none", "second", rows("a", 0.9), first) +
          step("second", "none", "none", rows("b", 0.9), second) +
          "\n  none: { end: unresolved }",
        parts,
      );
    const isOpen = (job: Job) => job.tryTo({ type: "choose", step: "second" }) === undefined;
    // What is needed is made as written: here the housing would be opened under pressure.
    expect(isOpen(looks("needs: [let-off]", "needs: [opened, let-off]"))).toBe(false);
    expect(isOpen(looks("needs: [let-off]", "needs: [let-off, opened]"))).toBe(true);
    expect(isOpen(looks("needs: [opened, let-off]", "needs: [opened, let-off]"))).toBe(true);
    // A step's own caution comes behind its set-ups, and a measured fact before them.
    expect(isOpen(looks("cautions: [sprays]", "needs: [opened]\n    cautions: [sprays]"))).toBe(false);
    expect(
      isOpen(looks("needs: [opened]\n    cautions: [sprays]", "needs: [opened]\n    cautions: [sprays]")),
    ).toBe(true);
    const table = "{ by: facts.wall, table: [[0 degC, 1 V], [9 degC, 2 V]] }";
    const measured = `
  second:
    measure: voltage
    say: At the pin.
    unit: V
    needs: [let-off]
    bands: { "yes": { under: ${table}, goto: none }, "no": { from: ${table}, goto: none } }
    evidence: { ${rows("b", 0.9)} }
  none: { end: unresolved }`;
    expect(
      isOpen(jobOf(step("first", "none", "second", rows("a", 0.9), "needs: [let-off]") + measured, parts)),
    ).toBe(false);
  });

  it("makes and undoes nothing that has to do with a hazard, or can't be put back, unless the step that waits does, too", () => {
    const setUps = `
  bled: { do: Bleed the line., minutes: 4, put-back: none }
  running: { do: Start it., minutes: 1, hazards: [rotating], put-back: { do: Stop it., minutes: 0 } }
  lid-off: { do: Take the lid off., minutes: 1, put-back: { do: Put it on., minutes: 0 } }`;
    const job = (first: string, second: string, third = "") =>
      jobOf(
        step("start", "first", "first", rows("a", 0.6), "needs: [running]") +
          step("first", "none", "second", rows("a", 0.9), first) +
          step("second", "none", "third", rows("b", 0.9), second) +
          step("third", "none", "none", rows("c", 0.9), third) +
          "\n  none: { end: unresolved }",
        { start: "start", "set-ups": setUps },
      );
    const open = (at: Job) => at.tryTo({ type: "choose", step: "second" }) === undefined;
    const behind = (at: Job) => at.say("start", "yes");
    // The pressure would be measured with the line bled.
    expect(open(behind(job("", "needs: [bled]")))).toBe(false);
    expect(open(behind(job("needs: [bled]", "needs: [bled]")))).toBe(true);
    expect(open(behind(job("", "needs: [lid-off]")))).toBe(true);
    // And with the engine stopped, or running where nobody looks out for it.
    expect(open(behind(job("", "without: [running]")))).toBe(false);
    expect(open(behind(job("without: [running]", "without: [running]")))).toBe(true);
    expect(open(behind(job("without: [running]", "")).say("first", "no"))).toBe(false);
  });

  it("undoes nothing that is dangerous to put back, unless the step that waits does, too", () => {
    const job = (first: string, putBack: string) =>
      jobOf(
        step("start", "first", "first", rows("a", 0.6), "needs: [raised]") +
          step("first", "none", "second", rows("a", 0.9), first) +
          step("second", "none", "none", rows("b", 0.9), "without: [raised]") +
          "\n  none: { end: unresolved }",
        {
          start: "start",
          cautions: "\n  crushed: { signal: danger, hazard: It crushes., avoid: Stay out from under it. }",
          "set-ups": `\n  raised: { do: Raise it., minutes: 1, put-back: { do: Let it down., minutes: 1${putBack} } }`,
        },
      ).say("start", "yes");
    const open = (at: Job) => at.tryTo({ type: "choose", step: "second" }) === undefined;
    expect(open(job("", ""))).toBe(true);
    for (const danger of [", cautions: [crushed]", ", hazards: [lifting]"]) {
      expect(open(job("", danger))).toBe(false);
      expect(open(job("without: [raised]", danger))).toBe(true);
    }
  });

  it("overtakes no look that wants made what it must be without, or the other way round", () => {
    const setUps =
      "\n  running: { do: Start it., minutes: 1, hazards: [rotating], put-back: { do: Stop it., minutes: 0 } }";
    const job = (first: string, second: string, third: string) =>
      jobOf(
        step("first", "none", "second", rows("a", 0.9), first) +
          step("second", "none", "third", rows("b", 0.9), second) +
          step("third", "none", "none", rows("c", 0.9), third) +
          "\n  none: { end: unresolved }",
        { "set-ups": setUps },
      );
    // Started again for the second, it would run on at whatever stands behind the third.
    refuses(job("without: [running]", "needs: [running]", "without: [running]"), "third");
    refuses(job("needs: [running]", "without: [running]", "needs: [running]"), "third");
    expect(
      job("needs: [running]", "", "needs: [running]").tryTo({ type: "choose", step: "third" }),
    ).toBeUndefined();
  });

  it("never overtakes a look that shows a caution first which names nothing that it covers, but may a notice", () => {
    for (const signal of ["danger", "warning", "caution", "notice"]) {
      const job = jobOf(
        step("first", "none", "second", rows("a", 0.9), "cautions: [starts]") +
          step("second", "none", "none", rows("b", 0.9)) +
          "\n  none: { end: unresolved }",
        { cautions: `\n  starts: { signal: ${signal}, hazard: It starts., avoid: Take the key out. }` },
      );
      if (signal === "notice") job.give({ type: "choose", step: "second" });
      else refuses(job, "second");
    }
  });

  it("leads to no conclusion that no answer speaks for, however likely it is left, and settles none", () => {
    const job = jobOf(
      step("first", "a-found", "second", rows("a", 0.95)) +
        step("second", "b-found", "c-found", rows("b", 0.95)) +
        `
  a-found: { conclude: a, verify: again }
  b-found: { conclude: b, verify: again }
  c-found: { conclude: c, goto: none }
  again: { ask: Does it run?, answers: { runs: { goto: fixed }, still: { goto: none } } }
  fixed: { end: fixed }
  none: { end: unresolved }`,
      {
        faults: `
  a: { title: A, prior: 18, repair: fit-a }
  b: { title: B, prior: 2, repair: fit-a }
  c: { title: C, prior: 1 }`,
      },
    );
    // Without b a has 18 × .95 of 18 × .95 + 2 × .05 + .95, 94 %: by its prior alone.
    const advised = nextStepAdvice(job.procedure, job.run).find((one) => one.step === "second");
    expect(advised?.outcomes).toMatchObject([{ outcome: "no", settles: false }, { outcome: "yes" }]);
    job.give({ type: "choose", step: "second" }).say("second", "no");
    expect(job.run).toMatchObject({ step: "first", phase: "open" });
    expect(job.say("first", "yes").run.step).toBe("a-found");
  });

  it("settles no conclusion that the written order can't come to any more with its answer, or that waits for a caution", () => {
    const steps =
      step("first", "second", "second", rows("b", 0.6)) +
      step("second", "third", "a-found", 'a: { "yes": 0.9 }, otherwise: { "no": 0.9 }') +
      step("third", "a-found", "none", rows("a", 0.99)) +
      `
  a-found: { conclude: a, verify: again }
  again: { ask: Does it run?, answers: { runs: { goto: fixed }, still: { goto: none } } }
  fixed: { end: fixed }
  none: { end: unresolved }`;
    const settled = (job: Job, id: string) =>
      nextStepAdvice(job.procedure, job.run)
        .find((one) => one.step === id)
        ?.outcomes.flatMap(({ outcome, settles }) => (settles ? outcome : []));
    const faults = FAULTS.replace("A, prior: 1", "A, prior: 4");
    expect(settled(jobOf(steps, { faults }), "second")).toEqual(["yes"]);
    // Without the third look a yes leads past it.
    const past = steps.replace('"yes": { goto: third }', '"yes": { goto: none }');
    expect(settled(jobOf(past, { faults }), "second")).toEqual([]);
    const unwarned = jobOf(steps, { ...SPINS, faults });
    expect(settled(unwarned, "second")).toEqual([]);
    expect(unwarned.give({ type: "choose", step: "second" }).say("second", "yes").run.step).toBe("first");
  });

  it("stops what brings a hazard before it, as the look in front of it would have done", () => {
    const job = jobOf(
      step("start", "first", "first", rows("a", 0.6), "needs: [engine-on]") +
        step("first", "none", "second", rows("a", 0.9), "without: [engine-on]") +
        step("second", "none", "third", rows("b", 0.9)) +
        step("third", "none", "none", rows("c", 0.9), "without: [engine-on]") +
        "\n  none: { end: unresolved }",
      {
        start: "start",
        "set-ups":
          "\n  engine-on: { do: Start it., minutes: 1, hazards: [rotating], put-back: { do: Stop it., minutes: 0 } }",
      },
    );
    job.say("start", "yes");
    for (const chosen of ["second", "third"]) {
      job.give({ type: "choose", step: chosen });
      expect(job.prompt).toMatchObject({ kind: "set-up", change: "put-back", setUp: { id: "engine-on" } });
    }
  });

  it("leaves nothing apart at the written step that the written order never has apart there", () => {
    const setUps = `
  lid-off: { do: Take the lid off., minutes: 2, put-back: { do: Put it on., minutes: 1 } }
  plug-out: { do: Pull the plug., minutes: 4, needs: [lid-off], put-back: { do: Push it in., minutes: 2 } }`;
    const job = jobOf(
      step("first", "none", "second", rows("a", 0.9), "needs: [lid-off]") +
        step("second", "none", "third", rows("b", 0.9), "needs: [plug-out]") +
        step("third", "none", "none", rows("c", 0.9)) +
        "\n  none: { end: unresolved }",
      { "set-ups": setUps },
    );
    job.give({ type: "choose", step: "second" }).say("second", "no");
    // What it shows with the plug in is what the author knew; the lid is off as written.
    expect(job.prompt).toMatchObject({ kind: "set-up", change: "put-back", setUp: { id: "plug-out" } });
    expect(job.say("first", "no").run).toMatchObject({ step: "third", made: ["lid-off"] });
    // The third can find the plug pulled as written: nothing has to be done for it.
    const other = new Job(job.procedure).give({ type: "choose", step: "second" }).say("second", "no");
    expect(other.give({ type: "choose", step: "third" }).prompt).toMatchObject({
      kind: "ask",
      step: "third",
    });
    expect(other.run.made).toEqual(["lid-off", "plug-out"]);
  });
});

const DANGER = '\n  danger: { end: referred, say: "Stop." }';
