import { describe, expect, it } from "vitest";
import { advance } from "../../../engine/machine/advance.ts";
import { openRun } from "../../../engine/machine/apply.ts";
import type { Run } from "../../../engine/machine/run.ts";
import { loadProcedure } from "../../../engine/procedure/load.ts";
import type { Procedure } from "../../../engine/procedure/model.ts";
import { reportOf } from "../../../runner/app/report.ts";
import { trailItems } from "../../../runner/kit/trail-items.ts";
import { notWorkedOut } from "../../../runner/terminal/show-reading.ts";

const AT = 1_790_000_000_000;
const TEXT = `
procedure: sender
title: Sender
revision: 1
complaint: The gauge is wrong.
faults:
  sender-bad: { title: Sender bad, prior: 1 }
start: sender
steps:
  sender:
    measure: resistance
    reading-unit: Ohm
    unit: degC
    value: "ntc_temperature(reading, 2200.0, 3500.0)"
    bands:
      cold: { under: 40 degC, goto: fine }
      warm: { from: 40 degC, goto: bad }
  fine: { end: no-fault-found }
  bad: { conclude: sender-bad, goto: referred }
  referred: { end: referred }
`;

function afterReading(reading: string): { readonly procedure: Procedure; readonly run: Run } {
  const none = () => undefined;
  const { procedure, findings } = loadProcedure(TEXT, "sender.yaml", { procedure: none, equipment: none });
  if (procedure === undefined) throw new Error(JSON.stringify(findings));
  const opened = openRun(procedure, { run: "run-1", at: AT });
  const next = advance(procedure, opened, { type: "reading", step: "sender", at: AT, reading });
  if (!next.ok) throw new Error(JSON.stringify(next.refusal));
  return { procedure, run: next.run };
}

describe("the trail", () => {
  it("shows each of several readings with its unit's sign", () => {
    const { procedure, run } = afterReading("2.10k; 2.12k");
    expect(trailItems(procedure, run)[0]).toMatchObject({
      reading: "2.10k\u00a0Ω; 2.12k\u00a0Ω",
      value: "Cold",
    });
    expect(notWorkedOut(run)).toBeUndefined();
  });
  it("says why nothing could be worked out of a reading that a formula does not hold for", () => {
    const { procedure, run } = afterReading("0.0");
    expect(run.path[0]).toMatchObject({ step: "sender", outcome: "cannot" });
    expect(trailItems(procedure, run)[0]?.value).toBe(
      "could not: ntc_temperature holds for resistance 0.01 to 1000000000 Ω, not 0.",
    );
    expect(reportOf(procedure, run).rows[0]).toMatchObject({
      reading: "0.0\u00a0Ω",
      result: "could not",
      note: "ntc_temperature holds for resistance 0.01 to 1000000000 Ω, not 0.",
    });
    expect(notWorkedOut(run)).toMatch(
      /^Nothing can be worked out of that reading: ntc_temperature holds for/,
    );
  });
});
