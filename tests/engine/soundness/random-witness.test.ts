import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { randomTexts } from "../random-procedure.ts";
import { checked } from "./seeded/checked.ts";
import { expectShown } from "./seeded/expect-shown.ts";

describe("a witness in a procedure written at random", () => {
  it("shows what its finding says, with facts, calls, set-ups and cautions on the way", () => {
    let shown = 0;
    fc.assert(
      fc.property(randomTexts(), ({ text, called }) => {
        const { procedure, findings } = checked({
          id: "random-one",
          text,
          called: { "random-called": called },
        });
        if (procedure === undefined) throw new Error("It can't be run.");
        for (const finding of findings) {
          if (finding.witness === undefined) continue;
          expectShown(procedure, finding);
          // Its conditions hang on one fact: what is shown meets them, behind a `cannot` too.
          expect(finding.witness.filter(({ hangsOn }) => hangsOn !== undefined)).toEqual([]);
          shown += 1;
        }
      }),
      { numRuns: 300 },
    );
    expect(shown).toBeGreaterThan(100);
  });
});
