/** What is answered of a machine that a repair was made on, and what the proofs make of it. */
import { describe, expect, it } from "vitest";
import { posterior } from "../../../engine/reasoning/posterior.ts";
import { analyse } from "../../../engine/soundness/analysis.ts";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { evidenceTable } from "../../../engine/soundness/evidence-table.ts";
import { leastProbabilities } from "../../../engine/soundness/proven.ts";
import { waysToConclusions } from "../../../engine/soundness/ways-to-conclusions.ts";
import { Job } from "../machine/job.ts";
import { sound } from "../procedure/fan-text.ts";

const END = `
  ok: { end: fixed }
  give-up: { end: referred }
`;

const BEGIN = `procedure: fan
title: Lamp
revision: 1
complaint: It does not light.
faults:
  a: { title: Feed open, prior: 1, repair: mend }
  b: { title: Coil open, prior: 1, repair: mend }
  c: { title: Lamp open, prior: 1, repair: mend }
repairs:
  mend: { minutes: 5, do: [ { say: Mend it. } ] }
start: feed
steps:
`;

/** Whether there is feed leads to A; the repair is verified from `verify` on. */
function lamp(verify: string, checks: string) {
  return sound(`${BEGIN}
  feed:
    ask: Is there feed?
    answers: { "yes": { goto: give-up }, "no": { goto: ca } }
    evidence: { a: { "no": 0.98 }, otherwise: { "no": 0.02 } }
  ca: { conclude: a, verify: ${verify} }
  ${checks.trim()}${END}`);
}

const COIL = 'evidence: { b: { "yes": 0.9 }, otherwise: { "yes": 0.1 } }';

/** Verified by two looks, of which the second may be impossible: the search then goes on. */
const LEFT = `coil:
    ask: Does the coil hum?
    answers: { "yes": { goto: runs }, "no": { goto: give-up } }
    evidence: { b: { "yes": 0.99999 }, otherwise: { "yes": 0.00001 } }
  runs: { ask: Does it light?, answers: { "yes": { goto: ok }, "no": { goto: give-up } }, cannot: { goto: cb } }
  cb: { conclude: b, verify: again }
  again: { ask: And now?, answers: { "yes": { goto: ok }, "no": { goto: give-up } } }`;

/** The chances by fault, in the order a, b, c. */
function odds(job: Job): readonly number[] {
  const told = new Map(
    posterior(job.procedure, job.run).faults.map((each) => [each.fault, each.probability]),
  );
  return ["a", "b", "c"].map((fault) => Number((told.get(fault) ?? 0).toFixed(9)));
}

// Feed no: a 0.98, b and c 0.02 each, of 1.02 in all.
const AFTER_FEED = [0.98 / 1.02, 0.02 / 1.02, 0.02 / 1.02].map((each) => Number(each.toFixed(9)));

describe("an answer given to verify a repair", () => {
  it("says nothing against the repaired fault, though the machine now shows what it would without the fault", () => {
    const procedure = lamp(
      "feed-again",
      `feed-again:
    ask: Is there feed now?
    answers: { "yes": { goto: runs }, "no": { goto: give-up } }
    evidence: { a: { "no": 0.98 }, otherwise: { "no": 0.02 } }
  runs: { ask: Does it light?, answers: { "yes": { goto: ok }, "no": { goto: give-up } } }`,
    );
    const job = new Job(procedure).say("feed", "no").say("ca", "done").say("feed-again", "yes");
    expect(odds(job)).toEqual(AFTER_FEED);
    job.say("runs", "yes");
    expect(job.run.end).toBe("fixed");
    expect(odds(job)).toEqual(AFTER_FEED);
  });

  it("leaves what the same step had shown before the repair", () => {
    const procedure = sound(`${BEGIN}
  feed:
    ask: Is there feed?
    answers: { "yes": { goto: ok }, "no": { goto: ca, at-most: 1, else: give-up } }
    evidence: { a: { "no": 0.98 }, otherwise: { "no": 0.02 } }
  ca: { conclude: a, verify: feed }${END}`);
    const job = new Job(procedure).say("feed", "no").say("ca", "done").say("feed", "yes");
    expect(job.run.end).toBe("fixed");
    expect(odds(job)).toEqual(AFTER_FEED);
  });

  it("says nothing where the job is left, or can't be looked at to the end", () => {
    const procedure = lamp(
      "coil",
      `coil: { ask: Does the coil hum?, answers: { "yes": { goto: runs }, "no": { goto: runs } }, ${COIL} }
  runs: { ask: Does it light?, answers: { "yes": { goto: ok }, "no": { goto: give-up } } }`,
    );
    const job = () => new Job(procedure).say("feed", "no").say("ca", "done").say("coil", "yes");
    expect(odds(job().say("runs", "cannot"))).toEqual(AFTER_FEED);
    expect(odds(job().give({ type: "stop", reason: "end of shift" }))).toEqual(AFTER_FEED);
  });

  it("counts for the faults left where the verification has failed", () => {
    const procedure = lamp(
      "coil",
      `coil: { ask: Does the coil hum?, answers: { "yes": { goto: runs }, "no": { goto: give-up } }, ${COIL} }
  runs: { ask: Does it light?, answers: { "yes": { goto: ok }, "no": { goto: cb } } }
  cb: { conclude: b, verify: again }
  again: { ask: And now?, answers: { "yes": { goto: ok }, "no": { goto: give-up } } }`,
    );
    const job = new Job(procedure).say("feed", "no").say("ca", "done").say("coil", "yes").say("runs", "no");
    expect(job.run.struck).toEqual(["a"]);
    // Of b and c, alike before: 0.9 against 0.1.
    expect(odds(job)).toEqual([0, 0.9, 0.1]);
    expect(checkProcedure(procedure).filter(({ code }) => code === "unsupported-conclusion")).toEqual([]);
  });

  it("proves no later conclusion where the verification was left without a result: the check warns", () => {
    const procedure = lamp("coil", LEFT);
    const job = new Job(procedure)
      .say("feed", "no")
      .say("ca", "done")
      .say("coil", "yes")
      .say("runs", "cannot");
    expect(job.run.step).toBe("cb");
    expect(odds(job)).toEqual(AFTER_FEED);
    expect(checkProcedure(procedure).filter(({ code }) => code === "unsupported-conclusion")).toMatchObject([
      { step: "cb", severity: "warning", params: { probability: 0.01961 } },
    ]);
  });

  it("is left out of the bound over all ways where the verification can be left without a result", () => {
    const procedure = lamp("coil", LEFT);
    const analysis = analyse(procedure);
    const cb = analysis.flow.indexOf.get("cb") ?? -1;
    const { least } = leastProbabilities(
      analysis,
      evidenceTable(analysis.flow),
      waysToConclusions(analysis, new Set([cb]), (_, id) => analysis.walked[id] === 1),
    );
    expect(least.get(cb)).toBeLessThan(0.02 / 1.02 + 1e-9);
  });

  it("says nothing behind a call that has verified its repair, until its caller goes on to search", () => {
    const called = `procedure: wire
title: Wire
revision: 1
complaint: The wire is in doubt.
faults:
  cut: { title: Wire cut, prior: 1, repair: mend }
  fine: { title: Wire whole, prior: 1 }
repairs:
  mend: { minutes: 5, do: [ { say: Mend it. } ] }
start: look
steps:
  look:
    ask: Is it cut?
    answers: { "yes": { goto: bad }, "no": { goto: none } }
    evidence: { cut: { "yes": 0.98 }, otherwise: { "yes": 0.02 } }
  bad: { conclude: cut, verify: whole }
  whole: { ask: Is it whole?, answers: { "yes": { goto: done }, "no": { goto: none } } }
  done: { end: fixed }
  none: { end: no-fault-found }
`;
    const caller = (after: string) => `procedure: fan
title: Lamp
revision: 1
complaint: It does not light.
faults:
  b: { title: Coil open, prior: 1, repair: mend }
repairs:
  mend: { minutes: 5, do: [ { say: Mend it. } ] }
start: wire
steps:
  wire:
    call: wire
    returns: { fault-found: { goto: lights }, no-fault-found: { goto: give-up } }
  lights:
    ask: Does it light?
    answers: { "yes": { goto: ok }, "no": { goto: ${after} } }
    evidence: { "wire/cut": { "no": 0.98 }, otherwise: { "no": 0.5 } }
  coil: { ask: Is it the coil?, answers: { "yes": { goto: cb }, "no": { goto: give-up } } }
  cb: { conclude: b, verify: again }
  again: { ask: And now?, answers: { "yes": { goto: ok }, "no": { goto: give-up } } }${END}`;
    const job = () =>
      new Job(sound(caller("coil"), { wire: called }))
        .say("wire/look", "yes")
        .say("wire/bad", "done")
        .say("wire/whole", "yes");
    const cut = (of: Job) =>
      posterior(of.procedure, of.run).faults.find(({ fault }) => fault === "wire/cut")?.probability;
    // Look yes: 0.98 against twice 0.02.
    expect(cut(job())).toBeCloseTo(0.98 / 1.02, 9);
    expect(cut(job().say("lights", "yes"))).toBeCloseTo(0.98 / 1.02, 9);
    // Lights no, the search goes on: 0.98 × 0.98 against twice 0.02 × 0.5.
    expect(cut(job().say("lights", "no"))).toBeCloseTo(0.9604 / 0.9804, 9);
  });
});
