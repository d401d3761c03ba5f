import { describe, expect, it } from "vitest";
import { isUnproven } from "../../../engine/procedure/finding.ts";
import { checked } from "./seeded/checked.ts";
import { expectShown } from "./seeded/expect-shown.ts";

/** From 8 V at 0 degC to 10 V at 20 degC: 9 V at 10 degC. */
const TABLE = "{ by: facts.temp, table: [ [0 degC, 8 V], [20 degC, 10 V] ] }";

/** A step whose middle band concludes, or goes on to `next`; told are the findings of that conclusion. */
function told(steps: string, specifications = "") {
  const text = `procedure: warm
title: Warm
revision: 1
complaint: It stays off.
instruments:
  meter: { title: Meter, accuracy: { voltage: { reading: 0.5 %, counts: 3, resolution: 0.01 V } } }
facts:
  temp: { measure: temperature, unit: degC }
${specifications}faults:
  feed: { title: Feed open, prior: 3 }
  pump: { title: Pump worn, prior: 3 }
start: volts
steps:
${steps}
  pump-bad: { conclude: pump, goto: refer }
  refer: { end: referred }
`;
  const { findings, procedure } = checked({ id: "warm", text, called: {}, sheets: {} } as never);
  if (procedure === undefined) throw new Error(JSON.stringify(findings));
  const found = findings.filter(({ code }) => code === "unsupported-conclusion");
  for (const finding of found) if (finding.severity === "error") expectShown(procedure, finding);
  return found.map(({ severity, params, witness }) => ({
    severity,
    unproven: isUnproven({ severity, params }),
    told: Number(witness?.find(({ step }) => step === "facts/temp")?.outcome),
  }));
}

function between(id: string, low: string, high: string, goto: string): string {
  return `  ${id}:
    measure: voltage
    unit: V
    with: meter
    bands:
      low: { under: ${low}, goto: refer }
      mid: { from: ${low}, under: ${high}, goto: ${goto} }
      high: { from: ${high}, goto: refer }`;
}

describe("the witness of a way through a band with limits from a table", () => {
  it("measures the fact so that the band is there", () => {
    // Under 9 V the limit is only where it is colder than 10 degC; plain would be 20 degC.
    const [finding, ...others] = told(between("volts", TABLE, "9 V", "pump-bad"));
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ severity: "error", unproven: false });
    expect(finding?.told).toBeLessThan(10);
  });

  it("measures one fact for the bands of two steps", () => {
    // Colder than 16 degC for one, warmer than 14 degC for the other: 9.6 V and 9.4 V.
    const [finding] = told(
      `${between("volts", TABLE, "9.6 V", "more")}
${between("more", "9.4 V", TABLE, "pump-bad")}`,
    );
    expect(finding?.severity).toBe("error");
    expect(finding?.told).toBeGreaterThan(14);
    expect(finding?.told).toBeLessThan(16);
  });

  it("is a note that nothing is proven where no fact has both bands", () => {
    const found = told(
      `${between("volts", TABLE, "9 V", "more")}
${between("more", "9.4 V", TABLE, "pump-bad")}`,
    );
    expect(found).toMatchObject([{ severity: "note", unproven: true }]);
  });

  it("measures the fact by which a reading lies within a specification", () => {
    const [finding] = told(
      `  volts:
    measure: voltage
    unit: mV
    with: meter
    specification: full
    outcomes:
      below: { goto: refer }
      within: { goto: pump-bad }
      above: { goto: refer }`,
      `specifications:
  full: { title: Full, from: ${TABLE}, to: 8.5 V, source: The maker's book }
`,
    );
    expect(finding?.severity).toBe("error");
    expect(finding?.told).toBeLessThan(5);
  });
});
