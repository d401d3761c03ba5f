import { describe, expect, it } from "vitest";
import { checkProcedure } from "../../../engine/soundness/check.ts";
import { sound } from "../procedure/fan-text.ts";

/** A caller whose called look says nothing of not being able to look. */
function checked(returns: string, more: string, look = "") {
  const caller = `
procedure: fan
title: Pump is slow
revision: 1
complaint: The pump runs slowly.
faults:
  worn: { title: Worn, prior: 1 }
cautions:
  live: { signal: danger, hazard: Live., avoid: Leave it., covers: [electric-high] }
start: inside
steps:
  inside: { call: look-inside, returns: { no-fault-found: { goto: refer }, ${returns} } }
  ${more}
  refer: { end: referred }
`;
  const called = `
procedure: look-inside
title: Look inside
revision: 1
complaint: Something is inside.
faults:
  dirt: { title: Dirt, prior: 1 }
cautions:
  live: { signal: danger, hazard: Live., avoid: Leave it., covers: [electric-high] }
start: look
steps:
  look: { measure: voltage, unit: V, ${look} goto: clean }
  clean: { end: no-fault-found }
`;
  return checkProcedure(sound(caller, { "look-inside": called })).map(({ code, step, witness }) => ({
    code,
    step,
    way: witness?.map((row) => `${row.step} ${row.outcome}`),
  }));
}

const codesAt = (told: ReturnType<typeof checked>, code: string) => told.filter((each) => each.code === code);

describe("a call that nobody could go on in", () => {
  it("comes back to its caller where that says so: what is asked then is no step that nothing leads to", () => {
    const told = checked(
      "unresolved: { goto: other }",
      "other: { ask: Dry?, answers: { dry: { goto: refer } } }",
    );
    expect(codesAt(told, "unreachable-step")).toEqual([]);
  });

  it("must be referred behind high voltage, too", () => {
    const told = checked(
      "unresolved: { goto: none }",
      "none: { end: no-fault-found }",
      "hazards: [electric-high], cautions: [live],",
    );
    expect(codesAt(told, "hazard-not-referred")).toEqual([
      { code: "hazard-not-referred", step: "inside/look", way: ["inside/look cannot", "inside unresolved"] },
    ]);
  });

  it("can go round for ever, and has taken no reading", () => {
    const round = checked("unresolved: { goto: inside }", "");
    expect(codesAt(round, "endless-loop")).toHaveLength(1);
    const taken = checked(
      "unresolved: { goto: other }",
      `other: { do: Dry it., done: { then: [ { if: 'readings["inside/look"] > 1.0', goto: refer }, { goto: refer } ] } }`,
    );
    expect(codesAt(taken, "reading-not-taken").map(({ step }) => step)).toEqual(["other"]);
  });

  it("ends the run where the caller says nothing, as a way out that is no fault of the procedure", () => {
    const told = checked("referred: { goto: refer }", "", "hazards: [electric-high], cautions: [live],");
    expect(codesAt(told, "hazard-not-referred")).toEqual([]);
  });
});
