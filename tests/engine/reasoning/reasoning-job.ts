import { Job } from "../machine/job.ts";
import { fanText, sound } from "../procedure/fan-text.ts";

const ENDS = `
  good: { end: no-fault-found }
  bad: { end: referred }`;

/** A job on steps `first`, `second` … over faults by prior; `good` and `bad` are ends. */
export function jobOf(
  faults: Readonly<Record<string, number>>,
  steps: string,
  more: Readonly<Record<string, string>> = {},
): Job {
  const written = Object.entries(faults)
    .map(([id, prior]) => `\n  ${id}: { title: ${id}, prior: ${prior} }`)
    .join("");
  const parts = { faults: written, repairs: "{}", start: "first", ...more, steps: steps + ENDS };
  return new Job(sound(fanText(parts)));
}

/** An `ask` whose answers all lead to the next step. */
export function ask(id: string, next: string, evidence: string, answers = ["yes", "no"], more = ""): string {
  return `
  ${id}:
    ask: Well?
    ${more}
    answers: { ${answers.map((answer) => `"${answer}": { goto: ${next} }`).join(", ")} }
    ${evidence === "" ? "" : `evidence: { ${evidence} }`}`;
}
