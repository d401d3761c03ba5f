import { describe, expect, it } from "vitest";
import { loadProcedure } from "../../../engine/procedure/load.ts";

const text = (leads: string) => `
procedure: coil
title: Coil
revision: 1
complaint: It does not move.
instruments:
  meter:
    title: Meter
    accuracy: { resistance: { reading: 0.9 %, counts: 2, resolution: 0.1 Ohm, leads: ${leads} } }
faults: { other: { title: Something else, prior: 1 } }
start: coil
steps:
  coil: { measure: resistance, say: Across the coil., unit: Ohm, with: meter, correct: { leads: subtract }, bands: { any: { goto: end } } }
  end: { end: referred }
`;
const nothing = { procedure: () => undefined, equipment: () => undefined };
const rangeOf = (leads: string) =>
  loadProcedure(text(leads), "coil.yaml", nothing)
    .procedure?.instruments.get("meter")
    ?.accuracy.get("resistance")?.[0];

describe("the leads that an instrument states", () => {
  it("are exact, or have the doubt that is written with them", () => {
    expect(rangeOf("0.3 Ohm")).toMatchObject({ leads: { value: 0.3, unit: "Ohm" } });
    expect(rangeOf("0.3 Ohm")).not.toHaveProperty("leadsWithin");
    expect(rangeOf("0.3 Ohm ± 0.1 Ohm")).toMatchObject({
      leads: { value: 0.3, unit: "Ohm" },
      leadsWithin: { value: 0.1, unit: "Ohm" },
    });
  });

  it("measured in another dimension are a unit mismatch at their place", () => {
    const { findings } = loadProcedure(text("0.3 V ± 0.1 V"), "coil.yaml", nothing);
    expect(findings.map((finding) => finding.code)).toContain("unit-mismatch");
  });
});
