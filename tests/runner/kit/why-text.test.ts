import { describe, expect, it } from "vitest";
import { promptOf } from "../../../engine/machine/prompt-of.ts";
import { concludedText, promptProof } from "../../../runner/kit/proof-text.ts";
import { whyText } from "../../../runner/kit/why-text.ts";
import type { Job } from "../../engine/machine/job.ts";
import { ask, jobOf } from "../../engine/reasoning/reasoning-job.ts";

const why = (job: Job) => whyText(job.procedure, job.run);
const claim = ({ procedure, run }: Job) =>
  concludedText(1, promptProof(procedure, run, promptOf(procedure, run)));

/** `yes` proves the fault, `no` rules it out. */
const settles = (id: string, next: string, fault: string) =>
  ask(id, next, `${fault}: { "yes": 1 }, otherwise: { "no": 1 }`);

describe("why a step comes next", () => {
  it("names the faults of its evidence that are still possible, and no fault that is out", () => {
    const text =
      settles("first", "second", "a") +
      ask("second", "good", 'a: { "yes": 0.9 }, b: { "yes": 0.9 }, otherwise: { "no": 0.9 }');
    const job = jobOf({ a: 1, b: 1, c: 1 }, text);
    expect(why(job)).toBe("“First” shows whether it is this: a.");
    expect(why(job.say("first", "no"))).toBe("“Second” shows whether it is this: b.");
  });

  it("says that it tells all apart where it speaks of all that are left, and counts those beyond three", () => {
    const rows = ["a", "b", "c", "d", "e"].map((id) => `${id}: { "yes": 0.5 }`).join(", ");
    const job = jobOf({ a: 1, b: 1, c: 1, d: 1, e: 1 }, ask("first", "good", rows));
    expect(why(job)).toBe("“First” tells these apart: a; b; c; 2 more.");
  });

  it("claims nothing to tell where one fault is left, or where it speaks of none that is", () => {
    const text =
      settles("first", "second", "a") +
      ask("second", "third", 'a: { "yes": 0.9 }, otherwise: { "no": 0.9 }') +
      settles("third", "good", "b");
    const job = jobOf({ a: 1, b: 1, c: 1 }, text).say("first", "no");
    expect(why(job)).toBe("“Second” says little of the faults that are left.");
    expect(why(jobOf({ a: 1, b: 1, c: 1 }, text).say("first", "yes"))).toContain("one fault is left by now");
  });

  it("claims of an act only that it is done here, of a first question only that the way hangs on it", () => {
    const text = `
  first: { do: Chock the wheels., title: Chocks, done: { goto: second } }
  second: { ask: Is it cold?, answers: { "yes": { goto: third }, "no": { goto: bad } } }
  third: { ask: Which colour?, answers: { red: { goto: fourth }, blue: { goto: fourth } } }
  fourth: { conclude: a, goto: bad }`;
    const job = jobOf({ a: 1, b: 1 }, text);
    expect(why(job)).toBe("“Chocks” is done here before the job goes on.");
    expect(why(job.say("first", "done"))).toBe("“Second” decides how the job goes on.");
    expect(why(job.say("second", "yes"))).toBe("“Third” is noted here before the job goes on.");
  });

  it("never calls a conclusion settled that the answers do not prove", () => {
    const text = ask("first", "second", 'a: { "yes": 0.6 }, otherwise: { "yes": 0.4 }');
    const conclude = "\n  second: { conclude: a, goto: bad }";
    const open = jobOf({ a: 1, b: 1 }, text + conclude).say("first", "yes");
    expect(why(open)).toBe("The written order comes to this fault, but what you found does not prove it.");
    expect(claim(open)).toBe(
      "This fault is not proven: 60\u00a0% by your answers, where 80\u00a0% are needed.",
    );
    const proven = jobOf({ a: 9, b: 1 }, text + conclude).say("first", "yes");
    expect(why(proven)).toBe("What you found leaves this fault as the one to repair.");
    expect(claim(proven)).toBe("This is the fault.");
  });
});
