import fc from "fast-check";
import type { Procedure, Step } from "../../../engine/procedure/model.ts";
import { act, ask, build, conclude, end, evidence, measure, type Way } from "./build-procedure.ts";

const FAULTS = ["f0", "f1", "f2"];
const share = fc.constantFrom(0.02, 0.1, 0.5, 0.9, 0.98);

/**
 * Procedures of 3 to 9 steps with any goto, bounded and endless loops, evidence, conclusions and verifications;
 * sound or not. Every reading has a band, so that a run can be walked.
 */
export function randomProcedure(): fc.Arbitrary<Procedure> {
  return fc.integer({ min: 3, max: 9 }).chain((count) => {
    const target = fc.oneof(
      { weight: 5, arbitrary: fc.nat(count - 1).map((number) => `s${number}`) },
      { weight: 2, arbitrary: fc.constantFrom("refer", "mended", "none") },
    );
    const way: fc.Arbitrary<Way> = fc.oneof(
      { weight: 4, arbitrary: target },
      {
        weight: 2,
        arbitrary: fc.record({ goto: target, atMost: fc.integer({ min: 1, max: 2 }), else: target }),
      },
      { weight: 1, arbitrary: fc.record({ goto: target, atMost: fc.integer({ min: 1, max: 2 }) }) },
    );
    const rows = fc.dictionary(fc.constantFrom(...FAULTS, "otherwise"), share, { maxKeys: 4 });
    const step = (id: string): fc.Arbitrary<Step> =>
      fc.oneof(
        {
          weight: 4,
          arbitrary: fc
            .tuple(way, way, rows, fc.option(way))
            .map(([yes, no, row, cannot]) =>
              ask(id, { yes, no }, { ...given(row, "yes"), ...(cannot === null ? {} : { cannot }) }),
            ),
        },
        {
          weight: 2,
          arbitrary: fc
            .tuple(way, way, rows)
            .map(([low, high, row]) =>
              measure(id, { low: ["under 1 V", low], high: ["from 1 V", high] }, given(row, "low")),
            ),
        },
        { weight: 1, arbitrary: way.map((done) => act(id, done)) },
        {
          weight: 2,
          arbitrary: fc
            .tuple(fc.constantFrom(...FAULTS), target)
            .map(([fault, verify]) => conclude(id, fault, { verify })),
        },
        {
          weight: 1,
          arbitrary: fc
            .tuple(fc.subarray(FAULTS, { minLength: 1 }), target)
            .map(([faults, goto]) => conclude(id, faults, { goto })),
        },
      );
    return fc.tuple(...Array.from({ length: count }, (_, number) => step(`s${number}`))).map((steps) =>
      build([...steps, end("refer", "referred"), end("mended", "fixed"), end("none", "no-fault-found")], {
        faults: { f0: 3, f1: 2, f2: 1 },
      }),
    );
  });
}

function given(row: Readonly<Record<string, number>>, outcome: string) {
  const rows = Object.fromEntries(Object.entries(row).map(([fault, value]) => [fault, { [outcome]: value }]));
  return Object.keys(rows).length === 0 ? {} : { evidence: evidence(rows) };
}
