import type { Procedure, Step } from "../../../engine/procedure/model.ts";
import { act, ask, build, conclude, end, evidence, measure } from "./build-procedure.ts";

/**
 * A sound procedure of about so many steps, as a shop would grow one: halving questions down to each fault, their
 * answers joined again by work that both need, a bounded second look, a reading that may be too close, a verified
 * repair. `unsound` concludes the last fault although its own test was good.
 */
export function largeProcedure(count: number, unsound = false): Procedure {
  const leaves = Math.max(1, Math.round(count / 8));
  const steps: Step[] = [];
  const faults = Object.fromEntries(Array.from({ length: leaves }, (_, leaf) => [`f${leaf}`, 1]));
  // Without recursion's order: each range of faults is halved by the step named after its middle.
  const ranges: (readonly [number, number])[] = [[0, leaves]];
  for (const [from, to] of ranges) {
    if (to - from === 1) {
      steps.push(...leafSteps(from, unsound && from === leaves - 1));
      continue;
    }
    const middle = (from + to) >> 1;
    const rows: Record<string, Record<string, number>> = {};
    for (let fault = from; fault < middle; fault += 1) rows[`f${fault}`] = { low: 0.99 };
    for (let fault = middle; fault < to; fault += 1) rows[`f${fault}`] = { high: 0.99 };
    const [low, high] = [entryOf(from, middle), entryOf(middle, to)];
    const bands = { low: ["under 1 V", low], high: ["from 1 V", high] } as const;
    const borderline = { goto: entryOf(from, to), atMost: 2, else: "refer" };
    steps.push(
      measure(entryOf(from, to), bands, { borderline, instrument: "meter", evidence: evidence(rows) }),
    );
    ranges.push([from, middle], [middle, to]);
  }
  return build([...steps, end("refer", "referred"), end("mended", "fixed")], {
    faults,
    start: entryOf(0, leaves),
  });
}

function entryOf(from: number, to: number): string {
  return to - from === 1 ? `a${from}` : `r${from}-${to}`;
}

function leafSteps(leaf: number, blind: boolean): readonly Step[] {
  const fault = `f${leaf}`;
  const proof = { evidence: evidence({ [fault]: { bad: 0.98 }, otherwise: { good: 0.99 } }) };
  return [
    ask(
      `a${leaf}`,
      { dry: `dry${leaf}`, wet: `wet${leaf}` },
      { evidence: evidence({ otherwise: { dry: 0.5 } }) },
    ),
    act(`dry${leaf}`, `test${leaf}`),
    act(`wet${leaf}`, `test${leaf}`),
    ask(
      `test${leaf}`,
      {
        bad: `found${leaf}`,
        good: blind ? `found${leaf}` : "refer",
        dirty: { goto: `clean${leaf}`, atMost: 2, else: "refer" },
      },
      proof,
    ),
    act(`clean${leaf}`, `test${leaf}`),
    conclude(`found${leaf}`, fault, { verify: `again${leaf}` }),
    ask(`again${leaf}`, { yes: "mended", no: "refer" }),
  ];
}
